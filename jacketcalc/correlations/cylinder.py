"""Heat transfer between gas and walls inside the stages and the drive.

Every argument may be a float or an array; arrays broadcast. Peclet number throughout is
w Dh^2 / (4 alpha), with w = 2 pi x cycle rate, Dh = 4 volume / wetted area and alpha the
thermal diffusivity; Nusselt numbers of gas springs are on that Dh.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from jacketcalc.arrays import Array, Number
from jacketcalc.formula import PowerLaw, formula

GRAVITY = 9.80665
"""Standard gravity [m/s2]."""
SPRING = PowerLaw(0.56, 0.69)
"""Gas spring as measured, both parts of the Nusselt number over the Peclet number [-]."""
SLOW_SPRING = 0.2
"""Imaginary part over the Peclet number in the slow limit of the exact theory [-]."""
NUSSELT_FLOOR = 8.0
"""Least Nusselt number of a gas spring [-]: the exact theory ends at 12 between plates and the
measured law, alone, at 0; 8 is judgement."""
LEAST_SWIRL = 0.2
"""Least swirl rate in Adair's form, as a share of the cycle's angular speed [-]; the published
one almost vanishes at mid-stroke and has a step there."""
NATURAL = 0.13
"""Coefficient of Ra^(1/3) in turbulent natural convection [-]."""
JET = PowerLaw(0.08, 0.9, 0.6)
"""Suction that a jet stirs [-]."""
JET_SPEED = (-0.4, 1.4)
"""Powers of piston speed and of inflow speed in the jet's own speed [-]."""
SWIRL = PowerLaw(0.053, 0.8, 0.6)
"""Swirling flow of Adair, Qvale and Pearson [-]."""
SWIRL_MEAN = 1.04
"""Steady part of that swirl's rate over the cycle's angular speed [-]."""
ENGINE = PowerLaw(0.7, 0.7)
"""Annand's form with the upper half of its range of factors [-]."""
DRIVE = 2.43
"""Eichelberg's coefficient, of c^(1/3) (p/bar)^(1/2) T^(1/2) [SI]."""


@formula(
    name="gas spring",
    quantity="complex Nu [-]",
    source="kornhauser-smith-1994",
    equation=f"Nu_r = Nu_i = {SPRING.text('Pe')}",
    ranges={"Pe": (100.0, 1e4)},
    scatter=(-0.33, 0.50),
    scatter_from="judgement",
    remark=f"Real part held at {NUSSELT_FLOOR:g} or more; imaginary part passes to Pe/"
    f"{1 / SLOW_SPRING:g} below Pe 100. Accumulators measured 1.6 to 1.8 times it, natural "
    "convection included (see `verify`).",
    tested_with="helium, nitrogen, argon and hydrogen (from memory)",
)
def gas_spring(peclet: Number) -> tuple[Array, Array]:
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
    measured = SPRING(peclet)
    slow = SLOW_SPRING * np.asarray(peclet, dtype=float)
    to_measured = (SLOW_SPRING / SPRING.coefficient) * np.power(peclet, 1.0 - SPRING.reynolds)
    share = np.square(np.square(np.square(to_measured)))
    imaginary: Array = slow / np.sqrt(np.sqrt(np.sqrt(1.0 + share)))
    return np.maximum(measured, NUSSELT_FLOOR), imaginary


@formula(
    name="small compression between plates",
    quantity="complex Nu [-]",
    source="lee-1983",
    equation="Nu = 4 z tanh(z) / (1 - tanh(z) / z), z = (1 + i) (Pe/8)^0.5",
    remark="Exact for small amplitude; used as a check.",
)
def lee_exact(peclet: Number) -> tuple[Array, Array]:
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


@formula(
    name="natural convection in the chamber",
    quantity="h [W/(m2 K)]",
    source="natural-convection",
    equation=f"h = {NATURAL:g} k (g dT/T (rho/mu)^2 Pr)^(1/3)",
    scatter=(-0.30, 0.30),
    scatter_from="judgement",
    remark="The law is for large plates.",
    tested_with="air and liquids",
)
def natural_convection(
    k: Number, rho: Number, mu: Number, cp: Number, T: Number, dT: Number
) -> Array:
    """Return the coefficient of turbulent natural convection in a chamber.

    Parameters
    ----------
    k, rho, mu, cp : gas properties [W/(m K)], [kg/m3], [Pa s], [J/(kg K)]
    T : gas temperature [K]
    dT : difference of gas and wall temperature, either sign [K]

    Returns
    -------
    Heat transfer coefficient [W/(m2 K)].
    """
    group = GRAVITY * np.abs(dT) / T * np.square(rho) * cp / (mu * k)
    coefficient: Array = NATURAL * k * np.cbrt(group)
    return coefficient


@formula(
    name="jet-stirred suction",
    quantity="h [W/(m2 K)]",
    source="disconzi-2012",
    equation=f"Nu = {JET.text()}, u = u_p + u_p^{JET_SPEED[0]:g} u_c^{JET_SPEED[1]:g}",
    scatter=(-0.50, 1.00),
    scatter_from="judgement",
    remark="Found by computation for a refrigeration cylinder at 50 Hz.",
    tested_with="a refrigerant, by computation",
)
def jet_stirred(
    k: Number,
    rho: Number,
    mu: Number,
    cp: Number,
    bore: Number,
    piston_speed: Number,
    inflow_speed: Number,
    least_piston_speed: Number,
) -> Array:
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
    drawn = np.maximum(inflow_speed, 0.0)
    speed = piston + np.power(piston, JET_SPEED[0]) * np.power(drawn, JET_SPEED[1])
    coefficient: Array = k / bore * JET(rho * speed * bore / mu, mu * cp / k)
    return coefficient


@formula(
    name="Adair",
    quantity="h [W/(m2 K)]",
    source="adair-1972",
    equation=f"Nu = {SWIRL.text()}, swirl 2 w ({SWIRL_MEAN:g} + cos(2 theta)), halved near the "
    "open end; theta = w t from the dead point",
    scatter=(-0.50, 0.50),
    scatter_from="judgement",
    remark="Fast refrigeration compressors.",
    tested_with="a refrigerant",
)
def adair(
    k: Number,
    rho: Number,
    mu: Number,
    cp: Number,
    equivalent_diameter: Number,
    angular_speed: Number,
    angle: Number,
    least_swirl: Number = LEAST_SWIRL,
) -> Array:
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
    swirl = np.maximum(near_head * (SWIRL_MEAN + np.cos(2.0 * np.asarray(angle))), least_swirl)
    Re = rho * np.square(equivalent_diameter) * (0.5 * angular_speed) * swirl / mu
    coefficient: Array = k / equivalent_diameter * SWIRL(Re, mu * cp / k)
    return coefficient


@formula(
    name="Annand",
    quantity="h [W/(m2 K)]",
    source="annand-1963",
    equation=f"Nu = a Re^{ENGINE.reynolds:g}, a = 0.35 to 0.8, here {ENGINE.coefficient:g}",
    scatter=(-0.90, 0.00),
    scatter_from="judgement",
    remark="Engine form: an upper bound in a slow dense gas, where nothing measured supports it. "
    "Range of a from memory.",
)
def annand(
    k: Number,
    rho: Number,
    mu: Number,
    bore: Number,
    piston_speed: Number,
    factor: Number = ENGINE.coefficient,
) -> Array:
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
    coefficient: Array = factor * (k / bore) * np.power(Re, ENGINE.reynolds)
    return coefficient


@formula(
    name="drive chamber",
    quantity="h [W/(m2 K)]",
    source="eichelberg-1939",
    equation=f"h = {DRIVE:g} c_m^(1/3) (p[bar] T)^0.5",
    scatter=(-0.50, 0.50),
    scatter_from="from memory",
    remark="Scatter spans the 20 to 100 W/(m2 K) usual for pneumatic cylinders.",
)
def drive_eichelberg(piston_speed: Number, p: Number, T: Number) -> Array:
    """Return the coefficient in the drive chambers after Eichelberg (from memory).

    Parameters
    ----------
    piston_speed : mean piston speed, 2 x stroke x cycle rate [m/s]
    p : pressure [Pa]
    T : gas temperature [K]

    Returns
    -------
    Heat transfer coefficient [W/(m2 K)].
    """
    coefficient: Array = DRIVE * np.cbrt(np.abs(piston_speed)) * np.sqrt(p * 1e-5 * T)
    return coefficient
