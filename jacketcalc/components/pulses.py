"""A pulse of exhaust cut into phases, and what the phases and the rest between do to walls.

Phases are consecutive in time and carry equal parts of the integral of flow^0.8, which is
what turbulent heat transfer goes with. Mass and enthalpy of the cycle are kept exactly.
Between pulses the air that stayed in the passage warms towards its walls.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.components.designs import Array
from jacketcalc.components.passage_cells import CHANNEL_CELLS, TUBE_CELLS, Walls
from jacketcalc.components.passage_march import March
from jacketcalc.gas.table import AirTable
from jacketcalc.passage_geometry import PassageGeometry

PHASES = 10
"""Phases of each pulse: more move jacket heat by 0.2 %, other headline numbers by less than
0.1 % (grid convergence index)."""
IDLE_SHARE = 0.005
"""Flow, as a share of the peak, at which an instant counts half as rest [-]."""
LEFT_BEHIND = 0.1
"""End of a pulse, by its integral of flow^0.8, that leaves behind the air at rest [-]."""
CAPACITY = 1005.0
"""Specific heat of the exhaust, to weigh what is left of an excess of temperature [J/(kg K)]."""
STILL_NUSSELT = 4.861
"""Still air in a gap, one wall's share, on the hydraulic diameter (parallel plates) [-]."""
STILL_TUBE = 3.66
"""Still air in a tube, on its bore [-]."""


@dataclass(frozen=True, kw_only=True)
class Pulses:
    """Phases of the exhaust of each node over one cycle, arrays (phase, node, B)."""

    time: Array
    """Duration of each phase [s]."""
    mass: Array
    """Mass it carries [kg]."""
    T0: Array
    """Its mean stagnation temperature at the port [K]."""
    rest: Array
    """Time at rest in a cycle, shape (node, B) [s]."""
    period: Array
    """Cycle time, shape (B,) [s]."""

    @property
    def flow(self) -> Array:
        """Mass flow of each phase, shape (phase, node, B) [kg/s]."""
        return np.asarray(self.mass / self.time)


@dataclass(frozen=True, kw_only=True)
class PassageHeat:
    """Cycle means of what the passage's air does to its walls, over cells in flow direction."""

    barrel: Array
    """Mean h A towards the barrel, shape (CHANNEL_CELLS, node, B) [W/K]."""
    barrel_pull: Array
    """Mean of h A x air temperature there [W]."""
    outer: Array
    """Mean h A towards tube or shell, shape (cells, node, B) [W/K]."""
    outer_pull: Array
    """Mean of h A x air temperature there [W]."""
    rest_share: Array
    """Heat taken from the barrel at rest, shape (node, B) [W]."""
    rest_outer: Array
    """Heat taken from tube and shell at rest, shape (node, B) [W]."""


def cut_pulses(flow: Array, T: Array, dt: Array, pulses: int) -> Pulses:
    """Cut a cycle's exhaust into phases.

    Parameters
    ----------
    flow : mass flow from each node, starting with its pulse, shape (instant, node, B) [kg/s]
    T : node temperature [K]
    dt : time weights, shape (instant, node, B) [s]
    pulses : pulses in a cycle
    """
    flow = np.maximum(flow, 0.0)
    peak = flow.max(axis=0)
    flowing = flow / (flow + IDLE_SHARE * peak + 1e-12)
    total = [flow**0.8 * dt, flow * dt, flow * T * dt, flowing * dt]
    start = np.zeros((1, *flow.shape[1:]))
    measure, mass, heat, time = (np.concatenate([start, np.cumsum(row, axis=0)]) for row in total)
    phases = PHASES * pulses
    share = np.arange(1, phases)[:, None, None] / phases
    wanted = share * measure[-1]
    place = (measure[None, 1:-1] <= wanted[:, None]).sum(axis=1)
    low = np.take_along_axis(measure, place, axis=0)
    high = np.take_along_axis(measure, place + 1, axis=0)
    part = np.clip((wanted - low) / np.maximum(high - low, 1e-300), 0.0, 1.0)

    def at_edges(total: Array) -> Array:
        a = np.take_along_axis(total, place, axis=0)
        b = np.take_along_axis(total, place + 1, axis=0)
        edges = np.concatenate([start, a + part * (b - a), total[-1:]])
        return np.maximum(np.diff(edges, axis=0), 1e-15)

    phase_mass = at_edges(mass)
    period = dt.sum(axis=0)
    return Pulses(
        time=at_edges(time),
        mass=phase_mass,
        T0=at_edges(heat) / phase_mass,
        rest=np.maximum(period - time[-1], 0.0),
        period=period[0],
    )


def passage_heat(
    air: AirTable, g: PassageGeometry, pulses: Pulses, march: March, walls: Walls
) -> PassageHeat:
    """Average a marched pulse and the rest after it over the cycle, at each wall cell."""
    weight = pulses.time / pulses.period
    seen = march.adiabatic_temperature
    barrel = np.einsum("ckpb,kpb->cpb", march.barrel_conductance, weight)
    pull = np.einsum("ckpb,ckpb,kpb->cpb", march.barrel_conductance, seen[TUBE_CELLS:], weight)
    outer = np.einsum("ckpb,kpb->cpb", march.outer_conductance, weight)
    outer_pull = np.einsum("ckpb,ckpb,kpb->cpb", march.outer_conductance, seen, weight)
    inner_still, outer_still, T_still = _still_air(air, g, pulses, march, walls)
    share = pulses.rest / pulses.period
    # What air gains at rest it lacks as a gain on its way out in the next pulse.
    kept = _kept_to_outlet(pulses, march)
    share = share * kept
    inner_still, outer_still = inner_still * share[TUBE_CELLS:], outer_still * share
    channel = T_still[TUBE_CELLS:]
    return PassageHeat(
        barrel=barrel + inner_still,
        barrel_pull=pull + inner_still * channel,
        outer=outer + outer_still,
        outer_pull=outer_pull + outer_still * T_still,
        rest_share=(inner_still * (walls.barrel - channel)).sum(axis=0),
        rest_outer=(outer_still * (walls.outer - T_still)).sum(axis=0),
    )


def _kept_to_outlet(pulses: Pulses, march: March) -> Array:
    """Share of an excess of temperature at each cell that the next pulse carries out of the vent.

    Air that stands in a cell leaves with the pulse's first phase; the walls downstream take
    back the rest, or give so much less.
    """
    units = march.outer_conductance[:, 0].copy()
    units[TUBE_CELLS:] += march.barrel_conductance[:, 0]
    units /= pulses.flow[0] * CAPACITY
    downstream = np.cumsum(units[::-1], axis=0)[::-1] - 0.5 * units
    return np.asarray(np.exp(-downstream))


def _still_air(
    air: AirTable, g: PassageGeometry, pulses: Pulses, march: March, walls: Walls
) -> tuple[Array, Array, Array]:
    """Conductances of still air to barrel and outer wall, and its mean temperature at rest."""
    n = TUBE_CELLS
    last = -max(1, round(LEFT_BEHIND * PHASES))
    faces_T, faces_p = (
        march.profile.T[:, last:].mean(axis=1),
        march.profile.p[:, last:].mean(axis=1),
    )
    T = np.concatenate(
        [(faces_T[:n] + faces_T[1 : n + 1]) / 2, (faces_T[n + 1 : -1] + faces_T[n + 2 :]) / 2]
    )
    p = np.minimum(faces_p[-1], faces_p[0])
    thermo = air.thermo(T, np.broadcast_to(p, T.shape))
    _, k = air.transport(T, np.broadcast_to(p, T.shape))
    dx_tube, dx = g.tube_length / n, g.length / CHANNEL_CELLS
    in_tube = STILL_TUBE * k[:n] * np.pi * dx_tube
    h = STILL_NUSSELT * k[n:] / g.hydraulic_diameter
    inner = h * (g.barrel_perimeter + g.fin_perimeter) * dx * walls.heat
    outer = np.concatenate([in_tube, h * g.shell_perimeter * dx])
    held = np.concatenate(
        [
            np.broadcast_to(g.tube_area * dx_tube, in_tube.shape),
            np.broadcast_to(g.area * dx, h.shape),
        ]
    )
    capacity = thermo.rho * thermo.h_T * held
    both = outer.copy()
    both[n:] += inner
    seen = outer * walls.outer
    seen[n:] += inner * walls.barrel
    absent = both <= 0.0
    equal = np.where(absent, T, seen / np.where(absent, 1.0, both))
    units = both * pulses.rest / np.maximum(capacity, 1e-12)
    mean = np.where(units > 1e-9, -np.expm1(-units) / np.maximum(units, 1e-9), 1.0)
    return inner, outer, equal - (equal - T) * mean
