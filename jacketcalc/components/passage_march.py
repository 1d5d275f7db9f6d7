"""The march along tube, helical channel and vent: one dimension, compressible, two-sided heat.

Pressure is marched upstream from the vent, where it is known (the room's, or sonic), and
stagnation temperature downstream from the port. A few sweeps over both settle a passage;
a warm start settles it in one. The momentum balance of a cell is integrated in pressure,

    integral of rho dp + G^2 ln(v_out / v_in) + f G^2 dx / (2 D) = 0,

where rho(p) stays smooth up to the sonic point, so that choking needs no fine cells.
Arrays run (cell or face, row, node, design); rows are flow levels or phases of a pulse.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.designs import Array
from jacketcalc.components.passage_geometry import PassageGeometry
from jacketcalc.correlations import (
    fin_efficiency,
    friction_factor,
    nusselt,
    property_ratio,
    tube_friction_factor,
    tube_nusselt,
)
from jacketcalc.flow import iso6358
from jacketcalc.gas.table import AirTable

TUBE_CELLS = 6
CHANNEL_CELLS = 20
LEAK_ENTRY_LOSS = 1.5
"""Loss of a sharp slot, entry and exit together (common practice, no source) [-]."""
SLOT_LAMINAR = 96.0
"""Darcy f Re between parallel plates, exact [-]."""
LEAK_PASSES = 6
"""Passes over slot speed and slot loss; the share is within 0.1 % after 6."""
SWEEPS_COLD = 4
PRESSURE_NEWTON = 3
STAGNATION_NEWTON = 8


@dataclass(kw_only=True)
class Profile:
    """State of the air along the passage, faces first axis, kept for a warm start."""

    T0: Array
    """Stagnation temperature at faces [K]."""
    T: Array
    """Static temperature at faces [K]."""
    p: Array
    """Static pressure at faces [Pa]."""


@dataclass(frozen=True, kw_only=True)
class March:
    """What one march found; cells run tube first, in flow direction."""

    profile: Profile
    """Faces: TUBE_CELLS + CHANNEL_CELLS + 2 (the joint counts twice)."""
    port_pressure: Array
    """Stagnation pressure the flow needs at the port, shape (row, node, B) [Pa]."""
    barrel_conductance: Array
    """h A towards the barrel, shape (CHANNEL_CELLS, row, node, B) [W/K]."""
    outer_conductance: Array
    """h A towards tube wall or shell, shape (cells, row, node, B) [W/K]."""
    adiabatic_temperature: Array
    """Mean temperature each wall sees in a cell, recovery included, (cells, row, node, B) [K]."""
    coefficient: Array
    """Convective coefficient in the channel, shape (CHANNEL_CELLS, row, node, B) [W/(m2 K)]."""
    reynolds: Array
    """Reynolds number in the channel, shape (CHANNEL_CELLS, row, node, B) [-]."""
    mach_peak: Array
    """Highest Mach number anywhere, vent included, shape (row, node, B) [-]."""
    choked_inside: NDArray[np.bool_]
    """The tube's end chokes into the jacket, shape (row, node, B)."""
    choked_end: NDArray[np.bool_]
    """The channel's end chokes into the vent, shape (row, node, B)."""
    leak_share: Array
    """Share of the flow that short-cuts over the land tips, (CHANNEL_CELLS, row, node, B) [-]."""


@dataclass(frozen=True, kw_only=True)
class Walls:
    """Temperatures of the walls around the passage."""

    barrel: Array
    """Cylinder outside under each channel cell, shape (CHANNEL_CELLS, node, B) [K]."""
    outer: Array
    """Tube wall or shell inside, shape (cells, node, B) [K]."""
    heat: Array
    """1 where the barrel exchanges heat with the passage, else 0, shape (node, B) [-]."""


def cold_profile(rows: tuple[int, ...], T0: Array, p: Array) -> Profile:
    """Return a uniform profile to start from."""
    faces = (TUBE_CELLS + CHANNEL_CELLS + 2, *rows)
    return Profile(
        T0=np.broadcast_to(T0, faces).copy(),
        T=np.broadcast_to(T0 - 1.0, faces).copy(),
        p=np.broadcast_to(p, faces).copy(),
    )


def march(
    air: AirTable,
    geometry: PassageGeometry,
    closures: dict[str, NDArray[np.intp]],
    flow: Array,
    T0_port: Array,
    walls: Walls,
    room_pressure: Array,
    start: Profile,
    sweeps: int = 1,
) -> March:
    """Follow the air of every row through its passage.

    Parameters
    ----------
    air : property table
    geometry : stacked passage sizes, fields of shape (node, B)
    closures : for each closure name, the indices of the designs that use it
    flow : mass flow, shape (row, node, B), positive [kg/s]
    T0_port : stagnation temperature at the port, shape (row, node, B) [K]
    walls : wall temperatures
    room_pressure : shape (B,) [Pa]
    start : profile to start from; not changed
    sweeps : sweeps over temperature and pressure; one does from a warm start
    """
    g = geometry
    T0, T, p = start.T0.copy(), start.T.copy(), start.p.copy()
    for _ in range(sweeps):
        cells = _Cells(air, g, closures, flow, T0, T, p, walls)
        cells.sweep_temperature(T0_port, T0, p)
        port, mach, inside, end = _sweep_pressure(g, cells, flow, room_pressure, T0, T, p)
    return March(
        profile=Profile(T0=T0, T=T, p=p),
        port_pressure=port,
        barrel_conductance=cells.barrel,
        outer_conductance=cells.outer,
        adiabatic_temperature=cells.adiabatic_temperature,
        coefficient=cells.coefficient,
        reynolds=cells.reynolds,
        mach_peak=mach,
        choked_inside=inside,
        choked_end=end,
        leak_share=cells.leak,
    )


class _Cells:
    """Coefficients of every cell from the profile of the sweep before."""

    def __init__(
        self,
        air: AirTable,
        g: PassageGeometry,
        closures: dict[str, NDArray[np.intp]],
        flow: Array,
        T0: Array,
        T: Array,
        p: Array,
        walls: Walls,
    ) -> None:
        n = TUBE_CELLS
        mid_T = np.concatenate([(T[:n] + T[1 : n + 1]) / 2, (T[n + 1 : -1] + T[n + 2 :]) / 2])
        mid_p = np.concatenate([(p[:n] + p[1 : n + 1]) / 2, (p[n + 1 : -1] + p[n + 2 :]) / 2])
        thermo = air.thermo(mid_T, mid_p)
        mu, k = air.transport(mid_T, mid_p)
        self.cp, rho = thermo.h_T, thermo.rho
        self.R = mid_p / (rho * mid_T)
        self.throttling = -thermo.h_p / self.cp
        self.flow, self.walls = flow, walls
        prandtl = mu * self.cp / k
        self._tube(g, mu[:n], k[:n], prandtl[:n])
        self._channel(g, closures, mu[n:], k[n:], prandtl[n:], rho[n:], mid_T[n:])
        speed = np.concatenate([self.tube_G / rho[:n], self.G / rho[n:]])
        self.lag = (1.0 - np.cbrt(prandtl)) * speed**2 / (2 * self.cp)

    def _tube(self, g: PassageGeometry, mu: Array, k: Array, prandtl: Array) -> None:
        self.tube_G = np.broadcast_to(self.flow / g.tube_area, mu.shape)
        reynolds = self.tube_G * g.tube_bore / mu
        f = tube_friction_factor(reynolds, g.tube_roughness)
        dx = g.tube_length / TUBE_CELLS
        self.tube_drag = f * self.tube_G**2 * dx / (2 * g.tube_bore)
        h = tube_nusselt(reynolds, prandtl) * k / g.tube_bore
        self.tube_outer = h * (np.pi * g.tube_bore * dx)

    def _channel(
        self,
        g: PassageGeometry,
        closures: dict[str, NDArray[np.intp]],
        mu: Array,
        k: Array,
        prandtl: Array,
        rho: Array,
        T: Array,
    ) -> None:
        total = self.flow / g.area
        rough = (g.hydraulic_diameter, g.curvature_diameter, g.aspect, g.roughness)
        f = friction_factor(total * g.hydraulic_diameter / mu, *rough)
        self.leak = _leak_share(g, f, total, rho, mu)
        self.G = total * (1.0 - self.leak)
        self.reynolds = self.G * g.hydraulic_diameter / mu
        f = friction_factor(self.reynolds, *rough)
        dx = g.length / CHANNEL_CELLS
        self.drag = f * self.G**2 * dx / (2 * g.hydraulic_diameter)
        ratio = property_ratio(T, self.walls.barrel[:, None], self.reynolds)
        nu = _nusselt(closures, g, self.reynolds, prandtl) * ratio
        self.coefficient = nu * k / g.hydraulic_diameter
        eta = fin_efficiency(self.coefficient, g.fin_conductivity, g.fin_thickness, g.fin_height)
        surface = g.barrel_perimeter + g.fin_perimeter * eta
        self.barrel = self.coefficient * surface * dx * self.walls.heat
        self.outer = np.concatenate([self.tube_outer, self.coefficient * (g.shell_perimeter * dx)])

    def sweep_temperature(self, T0_port: Array, T0: Array, p: Array) -> None:
        """Carry stagnation temperature downstream; fill `T0` and the walls' view of it."""
        n, cells = TUBE_CELLS, len(self.outer)
        inner = np.concatenate([np.zeros_like(self.tube_outer), self.barrel])
        both = inner + self.outer
        seen = self.outer * self.walls.outer[:, None]
        seen[n:] += self.barrel * self.walls.barrel[:, None]
        tiny = both <= 0.0
        equal = np.where(tiny, 0.0, seen / np.where(tiny, 1.0, both)) + self.lag
        units = both / (self.flow * self.cp)
        kept = np.exp(-units)
        mean = np.where(units > 1e-9, -np.expm1(-units) / np.maximum(units, 1e-9), 1.0)
        self.adiabatic_temperature = np.empty_like(equal)
        T0[0] = T0_port
        face = 0
        for cell in range(cells):
            if cell == n:
                T0[face + 1] = T0[face] - self.throttling[n] * (p[face] - p[face + 1])
                face += 1
            above = T0[face] - equal[cell]
            cooled = self.throttling[cell] * (p[face] - p[face + 1])
            T0[face + 1] = equal[cell] + above * kept[cell] - cooled
            self.adiabatic_temperature[cell] = equal[cell] + above * mean[cell] - self.lag[cell]
            face += 1


def _nusselt(
    closures: dict[str, NDArray[np.intp]], g: PassageGeometry, reynolds: Array, prandtl: Array
) -> Array:
    """Nusselt number, each design by the closure it asks for."""
    sizes = (g.hydraulic_diameter, g.curvature_diameter, g.aspect, g.radius_ratio)
    if len(closures) == 1:
        return np.asarray(nusselt(next(iter(closures)), reynolds, prandtl, *sizes))
    nu = np.empty_like(reynolds)
    for name, index in closures.items():
        parts = [np.asarray(size)[..., index] for size in sizes]
        nu[..., index] = nusselt(name, reynolds[..., index], prandtl[..., index], *parts)
    return nu


def _leak_share(g: PassageGeometry, f: Array, total: Array, rho: Array, mu: Array) -> Array:
    """Share of the flow that crosses the land tips instead of spiralling.

    The drop along the channel between neighbouring lands drives the slot; both flows
    share that drop, so their ratio follows from their resistances.
    """
    drop = f * (g.leak_share_of_turn / g.hydraulic_diameter)
    areas = g.leak_area / g.area
    share: Array | float = 0.1
    loss: Array | float = LEAK_ENTRY_LOSS + 1.0
    for _ in range(LEAK_PASSES):
        speed = np.sqrt(drop / loss) * (1.0 - share) * total / rho
        slot_re = np.maximum(rho * speed * 2 * g.leak_height / mu, 1e-3)
        loss = LEAK_ENTRY_LOSS + SLOT_LAMINAR / slot_re * g.leak_slot
        ratio = areas * np.sqrt(drop / loss)
        share = ratio / (1.0 + ratio)
    return np.asarray(share)


def _sweep_pressure(
    g: PassageGeometry,
    cells: _Cells,
    flow: Array,
    room_pressure: Array,
    T0: Array,
    T: Array,
    p: Array,
) -> tuple[Array, Array, NDArray[np.bool_], NDArray[np.bool_]]:
    """Carry pressure upstream from the vent; fill `T` and `p`, return the port's pressure."""
    n = TUBE_CELLS
    last = T0.shape[0] - 1
    cp, R = cells.cp, cells.R
    silenced = iso6358.upstream_pressure(
        g.silencer_sonic, g.silencer_ratio, flow, room_pressure, T0[last]
    )
    vent = _Section(flow / g.vent_area, T0[last], cp[-1], R[-1])
    p_vent = np.maximum(silenced, vent.sonic_pressure)
    mach = vent.mach(p_vent)
    channel_end = _Section(cells.G[-1], T0[last], cp[-1], R[-1])
    share = np.asarray(g.area / g.vent_area)
    p[last], at_end = _upstream_of(vent, p_vent, g.vent_loss, channel_end, share)
    T[last] = channel_end.temperature(p[last])
    mach = np.maximum(mach, channel_end.mach(p[last]))
    for cell in range(CHANNEL_CELLS - 1, -1, -1):
        face = n + 1 + cell
        _step_up(face, cells.G[cell], cells.drag[cell], cp[n + cell], R[n + cell], T0, T, p)
    joint = n + 1
    channel = _Section(cells.G[0], T0[joint], cp[n], R[n])
    tube_end = _Section(cells.tube_G[-1], T0[n], cp[n - 1], R[n - 1])
    share = np.asarray(g.tube_area / g.area)
    p[n], choked = _upstream_of(channel, p[joint], g.entry_loss, tube_end, share)
    T[n] = tube_end.temperature(p[n])
    mach = np.maximum(mach, tube_end.mach(p[n]))
    for cell in range(n - 1, -1, -1):
        _step_up(cell, cells.tube_G[cell], cells.tube_drag[cell], cp[cell], R[cell], T0, T, p)
    tube = _Section(cells.tube_G[0], T0[0], cp[0], R[0])
    port = tube.stagnation(p[0]) + g.tube_loss * tube.dynamic(p[0])
    return port, mach, choked, at_end


def _upstream_of(
    below: _Section, p: Array, loss: float, above: _Section, share: Array
) -> tuple[Array, NDArray[np.bool_]]:
    """Pressure at the end of a part from that where the next begins, and whether it chokes.

    A widening follows the momentum balance of a sudden expansion (Borda and Carnot), so that
    air that ends in the open loses its velocity head; a narrowing is smooth. Both add the loss,
    on the dynamic pressure below. `share` is the section above over the one below.
    """
    lost = loss * below.dynamic(p)
    narrow, choked_narrow = above.static(below.stagnation(p) + lost)
    impulse = p + 2.0 * below.dynamic(p) + lost
    wide, choked_wide = above.static_before_widening(impulse, np.minimum(share, 1.0))
    widens = np.broadcast_to(share < 1.0, p.shape)
    return np.where(widens, wide, narrow), np.where(widens, choked_wide, choked_narrow)


def _step_up(
    face: int, G: Array, drag: Array, cp: Array, R: Array, T0: Array, T: Array, p: Array
) -> None:
    """Solve one cell's momentum balance for the pressure at its upstream face."""
    here = _Section(G, T0[face], cp, R)
    p_down, T_down = p[face + 1], T[face + 1]
    rho_down = p_down / (R * T_down)
    GG = G * G
    slope = np.maximum(rho_down * (1.0 - here.mach_squared(p_down)), 0.0)
    bend = rho_down / p_down + GG / p_down**2
    guess = p_down + 2 * drag / (slope + np.sqrt(slope**2 + 2 * bend * drag) + 1e-300)
    value = guess
    for _ in range(PRESSURE_NEWTON):
        t = here.temperature(value)
        rho = value / (R * t)
        twice = GG / (rho * rho * cp * t)
        fall = (1.0 - twice / (1.0 + twice)) / value
        balance = 0.5 * (rho + rho_down) * (value - p_down) - GG * np.log(rho / rho_down) - drag
        rate = 0.5 * (rho + rho_down) + (0.5 * (value - p_down) * rho - GG) * fall
        value = value - balance / np.maximum(rate, 0.02 * rho)
        value = np.maximum(value, p_down)
    p[face] = value
    T[face] = here.temperature(value)


class _Section:
    """One cross-section with known flux and stagnation temperature."""

    def __init__(self, G: Array, T0: Array, cp: Array, R: Array) -> None:
        self.G, self.T0, self.cp, self.R = G, T0, cp, R

    def temperature(self, p: Array) -> Array:
        """Static temperature at pressure p [K]."""
        k = (self.G * self.R / p) ** 2 / (2 * self.cp)
        return np.asarray(2 * self.T0 / (1.0 + np.sqrt(1.0 + 4.0 * k * self.T0)))

    def mach_squared(self, p: Array) -> Array:
        """Square of the Mach number [-]."""
        T = self.temperature(p)
        gamma = self.cp / (self.cp - self.R)
        return np.asarray(self.G**2 * self.R * T / (gamma * p * p))

    def mach(self, p: Array) -> Array:
        """Mach number [-]."""
        return np.sqrt(self.mach_squared(p))

    @property
    def sonic_pressure(self) -> Array:
        """Static pressure at Mach 1 [Pa]."""
        gamma = self.cp / (self.cp - self.R)
        return np.asarray(self.G * np.sqrt(self.R * self.T0 * 2 / (gamma * (gamma + 1.0))))

    def stagnation(self, p: Array) -> Array:
        """Stagnation pressure [Pa]."""
        return np.asarray(p * (self.T0 / self.temperature(p)) ** (self.cp / self.R))

    def dynamic(self, p: Array) -> Array:
        """Dynamic pressure rho V^2 / 2 [Pa]."""
        return np.asarray(0.5 * self.G**2 * self.R * self.temperature(p) / p)

    def static_before_widening(
        self, impulse: Array, share: Array
    ) -> tuple[Array, NDArray[np.bool_]]:
        """Static pressure before a sudden widening; sonic where the impulse is too small.

        `impulse` is p + rho V^2 behind it [Pa], `share` the section here over the one behind.
        """
        floor = self.sonic_pressure
        p = np.maximum(impulse, floor)
        for _ in range(STAGNATION_NEWTON):
            flux = 2.0 * share * self.dynamic(p)
            rate = np.maximum(1.0 - flux / p, 0.05)
            p = np.maximum(p - (p + flux - impulse) / rate, floor)
        short = impulse < floor + 2.0 * share * self.dynamic(floor)
        return p, np.asarray(short)

    def static(self, stagnation: Array) -> tuple[Array, NDArray[np.bool_]]:
        """Subsonic static pressure at a stagnation pressure; sonic where it is too low."""
        floor = self.sonic_pressure
        p = np.maximum(stagnation, floor)
        exponent = self.cp / self.R
        for _ in range(STAGNATION_NEWTON):
            T = self.temperature(p)
            twice = (self.G * self.R / p) ** 2 * T / self.cp
            value = p * (self.T0 / T) ** exponent
            rate = value / p * (1.0 - exponent * twice / (1.0 + twice))
            p = np.maximum(p - (value - stagnation) / np.maximum(rate, 0.02), floor)
        return p, np.asarray(stagnation < self.stagnation(floor))
