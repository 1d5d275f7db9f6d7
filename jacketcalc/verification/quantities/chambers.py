"""Heat transfer in the chambers, for published cases. Arguments in SI."""

from __future__ import annotations

import math
from collections.abc import Callable

from jacketcalc.correlations.cylinder import (
    adair,
    annand,
    drive_eichelberg,
    gas_spring,
    lee_exact,
    natural_convection,
)


def measured_spring(peclet: float) -> float:
    """Return the real part of a gas spring's Nusselt number [-]."""
    return float(gas_spring(peclet)[0])


def measured_spring_phase(peclet: float) -> float:
    """Return the imaginary part of a gas spring's Nusselt number [-]."""
    return float(gas_spring(peclet)[1])


def spring_with_convection(
    peclet: float, D: float, rho: float, mu: float, k: float, Pr: float, T: float, dT: float
) -> float:
    """Return the Nusselt number of a chamber at rest, gas spring and natural convection joined as
    the strokes join them, in cubes, on D = 4 V/A [-]."""
    spring = measured_spring(peclet)
    free = float(natural_convection(k, rho, mu, Pr * k / mu, T, dT)) * D / k
    return math.cbrt(spring**3 + free**3)


def exact_spring(peclet: float) -> float:
    """Return the real part of the exact theory between plates [-]."""
    return float(lee_exact(peclet)[0])


def free_convection(k: float, rho: float, nu: float, Pr: float, T: float, dT: float) -> float:
    """Return the coefficient of turbulent natural convection [W/(m2 K)]."""
    return float(natural_convection(k, rho, nu * rho, Pr * k / (nu * rho), T, dT))


def free_convection_heat(
    k: float, rho: float, nu: float, Pr: float, T: float, dT: float, A: float
) -> float:
    """Return the heat of turbulent natural convection [W]."""
    return free_convection(k, rho, nu, Pr, T, dT) * A * dT


def adair_nusselt(Re: float, Pr: float) -> float:
    """Return Adair's Nusselt number at the Reynolds number of its swirl [-]."""
    # Unit conductivity, diameter and density; the swirl of the head's dead point is 4.08 w.
    mu = 0.5 * 2.0 * 2.04 / Re
    return float(adair(1.0, 1.0, mu, Pr / mu, 1.0, 1.0, 0.0))


def annand_nusselt(Re: float, a: float) -> float:
    """Return Annand's Nusselt number [-]."""
    return float(annand(1.0, 1.0, 1.0 / Re, 1.0, 1.0, a))


def eichelberg(c: float, p: float, T: float) -> float:
    """Return Eichelberg's coefficient, used in the drive chambers [W/(m2 K)]."""
    return float(drive_eichelberg(c, p, T))


def plates_limit() -> float:
    """Return the exact theory's slow limit between plates [-]."""
    return float(lee_exact(0.0)[0])


def fast_limit(peclet: float) -> float:
    """Return the exact theory over its fast limit, the root of 2 Pe [-]."""
    return float(lee_exact(peclet)[0]) / math.sqrt(2.0 * peclet)


QUANTITIES: dict[str, Callable[..., float]] = {
    "gas spring": measured_spring,
    "gas spring, phase": measured_spring_phase,
    "gas spring with natural convection": spring_with_convection,
    "gas spring, exact": exact_spring,
    "gas spring, slow limit": plates_limit,
    "gas spring, fast limit": fast_limit,
    "natural convection, turbulent": free_convection,
    "natural convection, turbulent, heat": free_convection_heat,
    "Adair": adair_nusselt,
    "Annand": annand_nusselt,
    "Eichelberg": eichelberg,
}
