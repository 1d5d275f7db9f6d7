"""Tube, helical channel and outlet, resolved in time and along the flow.

Friction and heat use the package's own correlations at the instantaneous local Reynolds
number, on purpose: against the package's quasi-steady phases only the dependence on time is
new. The gas is ideal with constant specific heat; viscosity and conductivity are the table's.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from jacketcalc.correlations import laws
from jacketcalc.correlations.heat import property_ratio
from jacketcalc.correlations.outside import fin_efficiency
from jacketcalc.gas.table import air

from .annulus_2009 import OF_2009
from .ends import Volume, outlet, port, widening
from .euler import Array, Ducts, Gas, State

STALE = 0.05
"""Change of flux, over the largest in the passage, that asks for new friction factors [-]."""
SLOW = 0.5
"""Flux below which such changes do not matter [kg/(s m2)]."""
LONGEST = 50
"""Steps after which they are renewed all the same, since temperatures drift."""
COURANT = 0.8
STILL_TUBE, STILL_NUSSELT = 3.66, 4.861
"""Least Nusselt numbers of tube and channel, those of conduction alone (exact) [-]."""


@dataclass(frozen=True, kw_only=True)
class Surroundings:
    """Sizes of one passage, its walls and the surroundings."""

    sizes: dict[str, float]
    """Fields of the package's passage geometry, without tip leak and silencer, SI."""
    closure: str
    """Name of the jacket's closure."""
    barrel: Array
    """Barrel under each of the package's channel cells, shape (channel cells,) [K]."""
    outer: Array
    """Tube wall, then shell, at the package's cells, shape (cells,) [K]."""
    ambient: tuple[float, float]
    """Pressure [Pa], temperature [K]."""

    @property
    def tube_cells(self) -> int:
        """How many of the package's cells lie in the tube."""
        return len(self.outer) - len(self.barrel)


class Channel:
    """State of the air in one passage.

    Parameters
    ----------
    gas : ideal gas
    around : sizes, walls, ambient
    dx : wanted length of a cell [m]
    memory : time over which the flow that heat transfer answers to is averaged; 0 for none [s]
    """

    def __init__(self, gas: Gas, around: Surroundings, dx: float, memory: float = 0.0) -> None:
        self.gas, self.around, self.s = gas, around, around.sizes
        s = self.s
        if s["tube_area"] > s["area"] or s["area"] > s["outlet_area"]:
            raise ValueError("sections must widen from tube to channel to outlet")
        self.n = max(4, round(s["tube_length"] / dx))
        m = max(4, round(s["length"] / dx))
        self.ducts = Ducts(gas, [s["tube_length"], s["length"]], [self.n, m])
        self.area = np.repeat([s["tube_area"], s["area"]], [self.n, m])
        self.bore = np.repeat([s["tube_bore"], s["hydraulic_diameter"]], [self.n, m])
        self.outer_wall = np.concatenate(
            [
                spread(around.outer[: around.tube_cells], self.n),
                spread(around.outer[around.tube_cells :], m),
            ]
        )
        self.barrel_wall = spread(around.barrel, m)
        self.taken = 0.0
        self.inflow: State = (0.0, 0.0, 0.0)
        self.memory, self.flux = memory, np.zeros(self.area.size)
        self.known, self.age = np.full(self.area.size, np.inf), 0
        channel = laws.Channel(**{f.name: s[f.name] for f in fields(laws.Channel)})
        self.friction_laws = (
            laws.tube_friction(s["tube_roughness"]),
            laws.channel_friction(channel),
        )
        self.heat_laws = (
            laws.tube_nusselt(s["tube_entrance"]),
            laws.channel_nusselt(around.closure, channel, OF_2009),
        )
        p, T = around.ambient
        self.W = np.stack([np.full(self.area.size, v) for v in (p / (gas.R * T), 0.0, p)])
        self.U = gas.conserved(self.W)

    def step(self, dt: float, behind: Volume) -> None:
        """Advance by one time step behind a volume.

        Sources and flow are split: flow first, then friction and heat, each solved exactly
        for frozen coefficients.
        """
        flux = self.gas.flux
        sizes, gas = self.s, self.gas

        def ends(face: int, a: State | None, b: State | None) -> tuple[State, State]:
            if a is None and b is not None:
                W = port(gas, behind, sizes["tube_loss"], b)
                area = sizes["tube_area"]
                G, _, H = flux(W)
                self.inflow = (G * area, H * area, W[2])
                return flux(W), flux(W)
            if a is not None and b is not None:
                share = sizes["tube_area"] / sizes["area"]
                A, B = widening(gas, share, sizes["inlet_loss"], a, b)
                return flux(A), _same(flux(A), flux(B), share)
            assert a is not None
            share = sizes["area"] / sizes["outlet_area"]
            A, _ = outlet(gas, share, sizes["outlet_loss"], self.around.ambient, a)
            return flux(A), flux(A)

        self.U = self.ducts.step(self.U, self.W, dt, ends)
        self._sources(dt)

    def _sources(self, dt: float) -> None:
        """Apply friction and heat to the cells, and keep what the barrel gave."""
        gas = self.gas
        rho, u, p = gas.primitive(self.U)
        forget = -np.expm1(-dt / self.memory) if self.memory else 1.0
        self.flux = self.flux + forget * (rho * u - self.flux)
        G = rho * u
        self.age += 1
        moved = np.abs(G - self.known).max() > STALE * max(np.abs(G).max(), SLOW)
        if moved or self.age > LONGEST:
            self.known, self.age = G, 0
            self.refresh(rho, u, p)
        slowed = u / (1.0 + dt * self.f * np.abs(u) / (2.0 * self.bore))
        T = (p + 0.5 * (gas.gamma - 1.0) * rho * (u * u - slowed * slowed)) / (rho * gas.R)
        recovered = (1.0 - self.lag) * slowed * slowed / (2.0 * gas.cp)
        above = T + recovered - self.equal
        capacity = rho * gas.cp / gas.gamma
        kept = np.exp(-dt * self.both / capacity)
        T = T - above * (1.0 - kept)
        mean = self.equal + above * (1.0 + kept) / 2.0
        per_cell = self.ducts.dx[self.n :] * self.area[self.n :]
        given = self.inner[self.n :] * (self.barrel_wall - mean[self.n :]) * per_cell
        self.taken = float(given.sum())
        self.W = np.stack([rho, slowed, rho * gas.R * T])
        self.U = gas.conserved(self.W)

    def refresh(self, rho: Array, u: Array, p: Array) -> None:
        """Friction factor, and conductances to the walls per volume of air [W/(m3 K)]."""
        s, n = self.s, self.n
        T = p / (rho * self.gas.R)
        mu, k = air().transport(T, p)
        Pr = mu * self.gas.cp / k
        Re = rho * np.abs(u) * self.bore / mu
        parts = (slice(None, n), slice(n, None))
        tube, channel = (
            law.value(Re[at]) for law, at in zip(self.friction_laws, parts, strict=True)
        )
        self.f = np.concatenate([tube, channel])
        Re = np.abs(self.flux) * self.bore / mu
        tube, nu = (
            law.value(Re[at], Pr[at]) for law, at in zip(self.heat_laws, parts, strict=True)
        )
        tube = np.maximum(tube, STILL_TUBE)
        nu = np.maximum(nu * property_ratio(T[n:], self.barrel_wall, Re[n:]), STILL_NUSSELT)
        h = np.concatenate([tube, nu]) * k / self.bore
        eta = fin_efficiency(h[n:], s["fin_conductivity"], s["fin_thickness"], s["fin_height"])
        surface = s["barrel_perimeter"] + s["fin_perimeter"] * eta
        inner = np.concatenate([np.zeros(n), h[n:] * surface])
        perimeter = np.repeat([np.pi * s["tube_bore"], s["shell_perimeter"]], [n, T.size - n])
        self.inner, outer = inner / self.area, h * perimeter / self.area
        self.both = self.inner + outer
        seen = outer * self.outer_wall
        seen[n:] += self.inner[n:] * self.barrel_wall
        self.equal = seen / self.both
        self.lag = 1.0 - np.cbrt(Pr)


def spread(values: Array, cells: int) -> Array:
    """Read values given at the middles of equal cells at the middles of more or fewer cells."""
    given = (np.arange(values.size) + 0.5) / values.size
    wanted = (np.arange(cells) + 0.5) / cells
    slope = np.gradient(values, given)
    ends = np.concatenate([[0.0], given, [1.0]])
    value = np.concatenate(
        [[values[0] - slope[0] * given[0]], values, [values[-1] + slope[-1] * given[0]]]
    )
    return np.interp(wanted, ends, value)


def _same(above: State, below: State, share: float) -> State:
    """Give the cell below exactly the mass and energy that left the cell above."""
    return (above[0] * share, below[1], above[2] * share)
