"""Friction, heat and leak in every cell of a passage, from the profile of the sweep before."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.designs import Array
from jacketcalc.correlations import (
    fin_efficiency,
    friction_factor,
    nusselt,
    property_ratio,
    tube_friction_factor,
    tube_nusselt,
)
from jacketcalc.gas.cells import HIGHEST_PRESSURE, HIGHEST_TEMPERATURE
from jacketcalc.gas.table import AirTable
from jacketcalc.passage_geometry import PassageGeometry

TUBE_CELLS = 6
CHANNEL_CELLS = 20
LARGEST_FALL = 10.0
"""Largest fall of temperature by throttling into a tube: real air, 40 bar to 1 [K]."""
COLDEST = 100.0
"""Properties are taken at least at this temperature: sonic air of the coldest pulses [K]."""
LEAK_ENTRY_LOSS = 1.5
"""Loss of a sharp slot, entry and exit together (common practice, no source) [-]."""
SLOT_LAMINAR = 96.0
"""Darcy f Re between parallel plates, exact [-]."""
LEAK_PASSES = 6
"""Passes over slot speed and slot loss: the share is then within 0.1 %, 1 % in a laminar slot."""


@dataclass(frozen=True, kw_only=True)
class Walls:
    """Temperatures of the walls around the passage."""

    barrel: Array
    """Cylinder outside under each channel cell, shape (CHANNEL_CELLS, node, B) [K]."""
    outer: Array
    """Tube wall or shell inside, shape (cells, node, B) [K]."""
    heat: Array
    """1 where the barrel exchanges heat with the passage, else 0, shape (node, B) [-]."""


class Cells:
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
        # Levels no machine reaches can lie beyond the table, whose edge stands for them.
        mid_p = np.minimum(mid_p, HIGHEST_PRESSURE)
        mid_T = np.minimum(np.maximum(mid_T, COLDEST), HIGHEST_TEMPERATURE)
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
        h = tube_nusselt(reynolds, prandtl, entrance=g.tube_entrance) * k / g.tube_bore
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

    def sweep_temperature(self, T0_port: Array, port: Array, T0: Array, p: Array) -> None:
        """Carry stagnation temperature downstream; fill `T0` and the walls' view of it.

        `T0` is what the enthalpy gives at a face's own pressure, so that it falls by throttling
        from the port's pressure `port` [Pa] on.
        """
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
        # Levels no machine reaches have port pressures far beyond the table.
        fall = np.minimum(self.throttling[0] * (port - p[0]), LARGEST_FALL)
        T0[0] = T0_port - np.maximum(fall, 0.0)
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
    sizes = (g.hydraulic_diameter, g.curvature_diameter, g.aspect, g.radius_ratio, g.entrance)
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
