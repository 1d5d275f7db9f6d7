"""The real march on ducts with exact solutions, for published cases. In SI.

Nothing of the march is replaced: the ducts are given the sizes and walls that make the exact
case. A duct `STRETCH` times as long and as wide at its wall, its flow area kept, has the same
f L/D in fully rough flow and walls that set the air's temperature.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from jacketcalc.core.gas import core_air
from jacketcalc.core.parts import PassageParts
from jacketcalc.correlations.laws import HIGHEST_RE
from jacketcalc.gas.table import properties
from jacketcalc.inputs import Tube
from jacketcalc.passage_geometry import PassageGeometry, passage_geometries
from jacketcalc.verification.machines import bench_machine, plastic
from jacketcalc.verification.quantities.ducts import (
    CELLS,
    GAMMA,
    GAS_CONSTANT,
    SWEEPS,
    roughness_of,
)

Temperatures = NDArray[np.float64]
March = Any
"""The core's record of a march."""
Rule = Callable[[March, Temperatures, float], tuple[Temperatures, float]]

CP = 4
"""Place of the specific heat among the properties of a state."""
STRETCH = 1000.0
"""Times a duct is longer and wider at its wall than the case's, for walls that rule [-]."""
LENGTHS = 4
"""Lengths tried until a tube has one transfer unit [-]."""
SHORT = 10.0
"""Length over bore of a duct that heats without friction, before its wall is widened [-]."""
PASSES = 80
"""Passes after which walls and the end's pressure have found their values [-]."""


def adiabatic_inlet(M: float, p: float, T0: float, D: float, L: float, f: float) -> float:
    """March an adiabatic pipe from its end's state [Pa].

    Parameters
    ----------
    M, p : Mach number and static pressure at the end [-], [Pa]
    T0 : stagnation temperature all along [K]
    D, L, f : bore, length and Darcy friction factor [m], [m], [-]

    Returns
    -------
    Stagnation pressure at the inlet [Pa].
    """
    area = math.pi / 4.0 * D**2
    flow = _flow(M, p, T0 / (1.0 + 0.5 * (GAMMA - 1.0) * M**2), area)
    g = _stretched(flow, area, D, L, f, T0)
    found = _settled(g, flow, T0, _all_along(T0), p, _reach(_all_along(T0)))
    return float(found["port_pressure"])


def isothermal_inlet(M: float, p: float, T: float, D: float, L: float, fanning: float) -> float:
    """March a pipe that walls keep at one static temperature, from its end's state [Pa].

    Parameters
    ----------
    M, p : Mach number and static pressure at the end [-], [Pa]
    T : static temperature all along [K]
    D, L, fanning : bore, length and Fanning friction factor [m], [m], [-]

    Returns
    -------
    Static pressure at the inlet [Pa].
    """
    area = math.pi / 4.0 * D**2
    flow = _flow(M, p, T, area)
    g = _stretched(flow, area, D, L, 4.0 * fanning, T)

    def keep(found: March, outer: Temperatures, T0: float) -> tuple[Temperatures, float]:
        static = found["T"][: CELLS.tube_cells + 1]
        return outer + T - static[1:], T0 + T - float(static[0])

    found = _settled(g, flow, T, _all_along(T), p, keep)
    return float(found["p"][0])


def heated_inlet(M: float, p: float, T01: float, T02: float) -> float:
    """March a duct that is heated without friction, from its end's state [Pa].

    Parameters
    ----------
    M, p : Mach number and static pressure at the end [-], [Pa]
    T01, T02 : stagnation temperatures at both ends [K]

    Returns
    -------
    Static pressure at the inlet [Pa].
    """
    return float(_heated(M, p, T01, T02)["p"][0])


def heated_inlet_stagnation(M: float, p: float, T01: float, T02: float) -> float:
    """March as `heated_inlet`; return the stagnation pressure at the inlet [Pa]."""
    return float(_heated(M, p, T01, T02)["port_pressure"])


def _heated(M: float, p: float, T01: float, T02: float) -> March:
    D = 0.03
    area = math.pi / 4.0 * D**2
    T = T02 / (1.0 + 0.5 * (GAMMA - 1.0) * M**2)
    g = _duct(area, STRETCH * D, SHORT * D, 0.0)
    goal = np.linspace(T01, T02, CELLS.tube_cells + 1)[1:]
    return _settled(g, _flow(M, p, T, area), T01, goal, p, _reach(goal))


def one_transfer_unit(m: float, T0: float, T_wall: float, p: float, D: float) -> float:
    """March a tube of one transfer unit whose wall has one temperature.

    Its length is that at which the conductances of the cells sum to flow times specific heat.

    Returns
    -------
    Rise of temperature over the difference at the inlet [-].
    """
    length, found = D, None
    for _ in range(LENGTHS):
        g = _duct(math.pi / 4.0 * D**2, D, length, 0.0)
        found = _settled(g, m, T0, _all_along(T_wall), p, _held, passes=2)
        cp = float(core_air().state(0.5 * (T0 + T_wall), p)[CP])
        length *= m * cp / float(found["outer"][: CELLS.tube_cells].sum())
    assert found is not None
    return (float(found["T0"][CELLS.tube_cells]) - T0) / (T_wall - T0)


def warming_by_difference(m: float, T0: float, dT: float, p: float, D: float, L: float) -> float:
    """March a tube whose wall stands so much above the air all along.

    Returns
    -------
    Rise of the air's temperature [K].
    """

    def above(found: March, outer: Temperatures, T0: float) -> tuple[Temperatures, float]:
        T = found["T0"][: CELLS.tube_cells + 1]
        return 0.5 * (T[1:] + T[:-1]) + dT, T0

    g = _duct(math.pi / 4.0 * D**2, D, L, 0.0)
    found = _settled(g, m, T0, _all_along(T0 + dT), p, above)
    return float(found["T0"][CELLS.tube_cells]) - T0


def _all_along(T: float) -> Temperatures:
    return np.full(CELLS.tube_cells, T)


def _held(found: March, outer: Temperatures, T0: float) -> tuple[Temperatures, float]:
    return outer, T0


def _reach(goal: Temperatures) -> Rule:
    """Return the rule of walls that bring the air to a stagnation temperature in every cell."""

    def reach(found: March, outer: Temperatures, T0: float) -> tuple[Temperatures, float]:
        return outer + goal - found["T0"][1 : CELLS.tube_cells + 1], T0

    return reach


def _stretched(flow: float, area: float, D: float, L: float, f: float, T: float) -> PassageGeometry:
    """Return a pipe of the case's f L/D whose walls set the air's temperature."""
    Re = flow / area * STRETCH * D / float(properties(T, 1e5).viscosity)
    held = min(Re, HIGHEST_RE)  # above it the core holds its laws
    return _duct(area, STRETCH * D, STRETCH * L, roughness_of(held, f))


def _flow(M: float, p: float, T: float, area: float) -> float:
    """Mass flow of a section as the textbooks take air [kg/s]."""
    return M * p * area * math.sqrt(GAMMA / (GAS_CONSTANT * T))


def _duct(area: float, bore: float, length: float, roughness: float) -> PassageGeometry:
    """Return a tube that ends in the open, of developed flow, its area given apart."""
    tube = Tube(
        bore=bore, wall=1e-3, length=length, material=plastic(), fitting_loss=0.0, roughness=0.0
    )
    g = passage_geometries(bench_machine(tube=tube))[0]
    return replace(g, tube_area=area, tube_roughness=roughness, tube_entrance=1.0)


def _settled(
    g: PassageGeometry,
    flow: float,
    T0: float,
    outer: Temperatures,
    p_end: float,
    rule: Rule,
    passes: int = PASSES,
) -> March:
    """March until the end's static pressure is as asked and the walls are what `rule` wants."""
    parts = PassageParts(bench_machine(), CELLS, g)
    ambient = p_end
    for _ in range(passes):
        walls = np.concatenate([outer, np.full(CELLS.channel_cells, outer[-1])])
        parts.record["ambient_pressure"] = ambient
        found = parts.march(flow, T0, parts.walls(T0, walls, heat=0.0), sweeps=SWEEPS)
        outer, T0 = rule(found, outer, T0)
        ambient *= p_end / float(found["p"][CELLS.tube_cells])
    return found


QUANTITIES: dict[str, Callable[..., float]] = {
    "marched adiabatic pipe, inlet stagnation pressure": adiabatic_inlet,
    "marched isothermal pipe, inlet pressure": isothermal_inlet,
    "marched heated duct, inlet pressure": heated_inlet,
    "marched heated duct, inlet stagnation pressure": heated_inlet_stagnation,
    "marched tube of one transfer unit": one_transfer_unit,
    "marched tube, wall above the air": warming_by_difference,
}
