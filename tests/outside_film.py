"""Natural convection and radiation outside a horizontal cylinder, worked out by hand.

Churchill and Chu 1975, as Incropera's equation 9.34 prints it, from memory; air from CoolProp at
film temperature.
"""

from __future__ import annotations

from CoolProp.CoolProp import PropsSI

SIGMA, GRAVITY = 5.670374419e-8, 9.80665
"""CODATA 2018 [W/(m2 K4)]; standard gravity [m/s2]."""


def film(T: float, ambient: float, pressure: float, diameter: float, emissivity: float) -> float:
    """Coefficient outside a horizontal cylinder [W/(m2 K)]."""
    middle = (T + ambient) / 2
    k, mu, cp, rho = (PropsSI(q, "T", middle, "P", pressure, "Air") for q in "LVCD")
    Pr = mu * cp / k
    Ra = GRAVITY / middle * abs(T - ambient) * diameter**3 * (rho / mu) ** 2 * Pr
    Nu = (0.6 + 0.387 * Ra ** (1 / 6) / (1 + (0.559 / Pr) ** (9 / 16)) ** (8 / 27)) ** 2
    return float(Nu * k / diameter + emissivity * SIGMA * (T**2 + ambient**2) * (T + ambient))
