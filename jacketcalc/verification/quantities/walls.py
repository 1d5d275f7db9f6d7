"""Walls, fins and the surroundings, for published cases. Arguments in SI."""

from __future__ import annotations

import math
from collections.abc import Callable

from jacketcalc.correlations.cylinder import GRAVITY
from jacketcalc.correlations.outside import (
    cylinder_nusselt,
    cylinder_resistance,
    fin_efficiency,
    radiation,
)


def pipe_coefficient(D: float, T: float, T_ambient: float, k: float, nu: float, Pr: float) -> float:
    """Return the natural-convection coefficient round a horizontal pipe [W/(m2 K)]."""
    grashof = GRAVITY * abs(T - T_ambient) / (0.5 * (T + T_ambient)) * D**3 / nu**2
    return cylinder_nusselt(grashof, Pr) * k / D


def pipe_heat(
    D: float, L: float, T: float, T_ambient: float, k: float, nu: float, Pr: float
) -> float:
    """Return the natural-convection heat of a horizontal pipe [W]."""
    area = math.pi * D * L
    return pipe_coefficient(D, T, T_ambient, k, nu, Pr) * area * (T - T_ambient)


def radiant_heat(D: float, L: float, T: float, T_ambient: float, emissivity: float) -> float:
    """Return the radiant heat of a pipe [W]."""
    return float(radiation(emissivity, T, T_ambient)) * math.pi * D * L * (T - T_ambient)


def pipe_loss(
    D: float, T: float, T_ambient: float, k: float, nu: float, Pr: float, emissivity: float
) -> float:
    """Return convection and radiation of a horizontal pipe over its length [W/m]."""
    free = pipe_heat(D, 1.0, T, T_ambient, k, nu, Pr)
    return free + radiant_heat(D, 1.0, T, T_ambient, emissivity)


def wall_resistance(D1: float, D2: float, k: float, L: float) -> float:
    """Return the resistance of a cylinder wall [K/W]."""
    return cylinder_resistance(D1, D2, k, L)


def lagged_pipe_loss(
    h1: float, D1: float, D2: float, k1: float, lagging: float, k2: float, h2: float, dT: float
) -> float:
    """Return the heat of a lagged pipe over its length [W/m]."""
    outer = D2 + 2.0 * lagging
    resistance = 1.0 / (h1 * math.pi * D1) + wall_resistance(D1, D2, k1, 1.0)
    resistance += wall_resistance(D2, outer, k2, 1.0) + 1.0 / (h2 * math.pi * outer)
    return dT / resistance


def straight_fin_heat(h: float, k: float, t: float, L: float, dT: float) -> float:
    """Return the heat of a straight fin over its width, its length grown by half its thickness
    for the tip [W/m]."""
    height = L + 0.5 * t
    return float(fin_efficiency(h, k, t, height)) * 2.0 * h * height * dT


QUANTITIES: dict[str, Callable[..., float]] = {
    "horizontal pipe, coefficient": pipe_coefficient,
    "horizontal pipe, heat": pipe_heat,
    "pipe, radiant heat": radiant_heat,
    "horizontal pipe, loss": pipe_loss,
    "cylinder wall, resistance": wall_resistance,
    "lagged pipe, loss": lagged_pipe_loss,
    "straight fin, heat": straight_fin_heat,
}
