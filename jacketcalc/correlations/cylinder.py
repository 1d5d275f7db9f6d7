"""Heat transfer between gas and walls inside the stages and the drive.

Every argument may be a float or an array; arrays broadcast. Peclet number throughout is
w Dh^2 / (4 alpha), with w = 2 pi x cycle rate, Dh = 4 volume / wetted area and alpha the
thermal diffusivity; Nusselt numbers of gas springs are on that Dh.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from jacketcalc.correlations.passage import Number, Values

GRAVITY = 9.80665
"""Standard gravity [m/s2]."""
NUSSELT_FLOOR = 8.0
"""Least Nusselt number of a gas spring [-]: the exact theory ends at 12 between plates and the
measured law, alone, at 0; 8 is judgement."""
LEAST_SWIRL = 0.2
"""Least swirl rate in Adair's form, as a share of the cycle's angular speed [-]; the published
one almost vanishes at mid-stroke and has a step there."""


def spring_measured(peclet: Number) -> Values:
    """Return the real part of a gas spring's Nusselt number as measured, without its floor [-].

    Kornhauser and Smith 1994; `peclet` is the Peclet number [-].
    """
    value: Values = 0.56 * np.power(peclet, 0.69)
    return value


def gas_spring(peclet: Number) -> tuple[Values, Values]:
    """Return the complex Nusselt number of a closed chamber that is slowly compressed.

    Parameters
    ----------
    peclet : Peclet number [-]

    Returns
    -------
    Real part, on the difference of gas and wall temperature [-], and imaginary part, on the
    rate of change of gas temperature over w [-]. Kornhauser and Smith 1994; below Peclet 100
    the imaginary part passes into the slow limit of the exact theory, peclet / 5.
    """
    measured = spring_measured(peclet)
    slow = 0.2 * np.asarray(peclet, dtype=float)
    share = np.square(np.square(np.square((0.2 / 0.56) * np.power(peclet, 0.31))))
    imaginary: Values = slow / np.sqrt(np.sqrt(np.sqrt(1.0 + share)))
    return np.maximum(measured, NUSSELT_FLOOR), imaginary


def lee_exact(peclet: Number) -> tuple[Values, Values]:
    """Return the complex Nusselt number of small compression between plates (Lee 1983).

    Parameters
    ----------
    peclet : Peclet number [-]

    Returns
    -------
    Real and imaginary part [-].
    """
    pe = np.asarray(peclet, dtype=float)
    z = (1.0 + 1.0j) * np.sqrt(np.maximum(pe, 1e-3) / 8.0)
    tangent: NDArray[np.complex128] = np.tanh(z)
    exact = 4.0 * z * tangent / (1.0 - tangent / z)
    # Below 1e-3 the quotient cancels; there its limit 12 + i pe/5 is exact to 1e-9.
    slow = pe < 1e-3
    return np.where(slow, 12.0, exact.real), np.where(slow, 0.2 * pe, exact.imag)


def gas_spring_loss(peclet: Number, gamma: Number) -> Values:
    """Return the heat loss of a gas spring per cycle, small compression between plates.

    Parameters
    ----------
    peclet : Peclet number [-]
    gamma : ratio of specific heats [-]

    Returns
    -------
    Work lost per cycle over p0 V0 (pressure amplitude / p0)^2 [-].
    """
    y = np.sqrt(np.asarray(peclet, dtype=float) / 2.0)
    safe = np.maximum(y, 0.01)
    fall = np.exp(-safe)
    top = 0.5 * (1.0 - fall * fall) - fall * np.sin(safe)
    bottom = safe * (0.5 * (1.0 + fall * fall) + fall * np.cos(safe))
    shape = np.where(y < 0.01, y * y / 6.0, top / bottom)
    loss: Values = math.pi * (gamma - 1.0) / gamma * shape
    return loss


def natural_convection(
    k: Number, rho: Number, mu: Number, cp: Number, T: Number, dT: Number
) -> Values:
    """Return the coefficient of turbulent natural convection in a chamber.

    Parameters
    ----------
    k, rho, mu, cp : gas properties [W/(m K)], [kg/m3], [Pa s], [J/(kg K)]
    T : gas temperature [K]
    dT : difference of gas and wall temperature, either sign [K]

    Returns
    -------
    Heat transfer coefficient, 0.13 k (g dT/T (rho/mu)^2 Pr)^(1/3) [W/(m2 K)].
    """
    group = GRAVITY * np.abs(dT) / T * np.square(rho) * cp / (mu * k)
    coefficient: Values = 0.13 * k * np.cbrt(group)
    return coefficient


def jet_stirred(
    k: Number,
    rho: Number,
    mu: Number,
    cp: Number,
    bore: Number,
    piston_speed: Number,
    inflow_speed: Number,
    least_piston_speed: Number,
) -> Values:
    """Return the coefficient while a suction jet stirs the chamber.

    Parameters
    ----------
    k, rho, mu, cp : gas properties [W/(m K)], [kg/m3], [Pa s], [J/(kg K)]
    bore : cylinder bore [m]
    piston_speed : piston speed, either sign [m/s]
    inflow_speed : inflow / (density x piston area) [m/s]
    least_piston_speed : floor of the piston speed, above 0, which stands to a negative
        power in the law [m/s]

    Returns
    -------
    Heat transfer coefficient [W/(m2 K)].

    References
    ----------
    Disconzi, Deschamps and Pereira 2012, suction form; coefficients from memory.
    """
    piston = np.maximum(np.abs(piston_speed), least_piston_speed)
    speed = piston + np.power(piston, -0.4) * np.power(np.maximum(inflow_speed, 0.0), 1.4)
    coefficient: Values = (
        0.08 * (k / bore) * np.power(rho * speed * bore / mu, 0.9) * np.power(mu * cp / k, 0.6)
    )
    return coefficient


def adair(
    k: Number,
    rho: Number,
    mu: Number,
    cp: Number,
    equivalent_diameter: Number,
    angular_speed: Number,
    angle: Number,
    least_swirl: Number = LEAST_SWIRL,
) -> Values:
    """Return the coefficient of Adair, Qvale and Pearson 1972.

    Parameters
    ----------
    k, rho, mu, cp : gas properties [W/(m K)], [kg/m3], [Pa s], [J/(kg K)]
    equivalent_diameter : 6 volume / wetted area [m]
    angular_speed : 2 pi x cycle rate [rad/s]
    angle : position in the cycle, 0 at least volume, pi at largest [rad]
    least_swirl : floor of the swirl rate over `angular_speed` [-]

    Returns
    -------
    Heat transfer coefficient [W/(m2 K)].
    """
    near_head = np.where(np.cos(angle) > 0.0, 2.0, 1.0)
    swirl = np.maximum(near_head * (1.04 + np.cos(2.0 * np.asarray(angle))), least_swirl)
    Re = rho * np.square(equivalent_diameter) * (0.5 * angular_speed) * swirl / mu
    coefficient: Values = (
        0.053 * (k / equivalent_diameter) * np.power(Re, 0.8) * np.power(mu * cp / k, 0.6)
    )
    return coefficient


def annand(
    k: Number, rho: Number, mu: Number, bore: Number, piston_speed: Number, factor: Number = 0.7
) -> Values:
    """Return the coefficient of Annand 1963 without its radiation term, an upper bound here.

    Parameters
    ----------
    k, rho, mu : gas properties [W/(m K)], [kg/m3], [Pa s]
    bore : cylinder bore [m]
    piston_speed : mean piston speed, 2 x stroke x cycle rate [m/s]
    factor : Annand's a, 0.35 to 0.8 [-]

    Returns
    -------
    Heat transfer coefficient [W/(m2 K)].
    """
    Re = rho * np.abs(piston_speed) * bore / mu
    coefficient: Values = factor * (k / bore) * np.power(Re, 0.7)
    return coefficient


def drive_eichelberg(piston_speed: Number, p: Number, T: Number) -> Values:
    """Return the coefficient in the drive chambers after Eichelberg (from memory).

    Parameters
    ----------
    piston_speed : mean piston speed, 2 x stroke x cycle rate [m/s]
    p : pressure [Pa]
    T : gas temperature [K]

    Returns
    -------
    Heat transfer coefficient, 2.43 c^(1/3) sqrt(p[bar] T) [W/(m2 K)].
    """
    coefficient: Values = 2.43 * np.cbrt(np.abs(piston_speed)) * np.sqrt(p * 1e-5 * T)
    return coefficient
