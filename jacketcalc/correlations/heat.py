"""Nusselt numbers of the helical channel, heated on its inner wall, and of the round tube."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.polynomial.polynomial import polyval

from jacketcalc.correlations.friction import LOWEST_TURBULENT, haaland
from jacketcalc.correlations.passage import (
    LOWEST_RE,
    TUBE_LAMINAR,
    Number,
    Values,
    critical_reynolds,
    smooth_step,
    tube_turbulence,
)
from jacketcalc.errors import RangeError

CONVEX_FACTOR = 0.85
"""Convex over straight, turbulent, nominal [-]. Judgement: middle of 0.75 (measured on convex
plates, Heat Mass Transfer 39:869, 2003), 0.82 to 0.88 (a NASA rule, from memory) and 1."""
CONVEX_FACTOR_LOW = 0.75
"""Convex over straight, turbulent, low [-]: the whole reduction measured on convex plates."""
COIL_TURBULENT = 22000.0
"""Reynolds number from which the VDI coil form is fully turbulent [-]."""
SCHMIDT_BLEND = 0.1
"""Half-width in ln(Re) over which Schmidt's two ranges pass into each other [-]; the published
pair has a step at 22 000."""
LOWEST_ANNULUS = 1100.0
"""Reynolds number below which the annulus law is held [-]: Gnielinski's form falls to nothing at
1000, far inside the range where the laminar law is the larger."""
HEATING_EXPONENT = 0.45
"""Exponent of bulk over wall temperature for turbulent heating of a gas [-]."""
HEATING_LAMINAR = 2300.0
"""Reynolds number below which the gas-property ratio is 1 [-]."""
HEATING_TURBULENT = 10000.0
"""Reynolds number above which the gas-property ratio is complete [-]."""

# One wall heated at uniform axial flux; long wall first, then the short wall over the aspect.
_LONG_WALL = 5.3846 * np.array([1.0, -1.1930, 1.5626, -1.4715, 0.7509, -0.1501])
_SHORT_WALL = np.array([0.0, 5.9949, -7.7320, 8.8992, -6.5439, 2.06818])
_LARGEST_RADIUS_RATIO = 0.999
"""Radius ratio at which the annulus is taken for a flat gap, short of a division by zero [-]."""
_LOG_SCALE = 1.8 / np.log(10.0)
_ROOT_8 = float(np.sqrt(8.0))

_Closure = Callable[[Values, Number, Values, Number, Number, Number], Values]


def one_wall_laminar(aspect: Number) -> Values:
    """Return the Nusselt number of a straight rectangular channel, one wall heated.

    Parameters
    ----------
    aspect : gap / width of the heated wall [-]; above 1 the heated wall is the short one

    Returns
    -------
    Nusselt number on the hydraulic diameter, fully developed, uniform axial flux [-].
    """
    ratio = np.asarray(aspect, dtype=float)
    long = polyval(np.minimum(ratio, 1.0), _LONG_WALL)
    short = polyval(1.0 / np.maximum(ratio, 1.0), _SHORT_WALL)
    value: Values = np.where(ratio > 1.0, short, long)
    return value


def curved_laminar(De: Number, aspect: Number) -> Values:
    """Return the laminar Nusselt number of the inner wall of a curved channel.

    Parameters
    ----------
    De : Dean number, Re sqrt(Dh/Dc) [-]
    aspect : gap / width of the heated wall [-]

    Returns
    -------
    Nusselt number [-]. Fitted to a numerical experiment at aspect 0.2 to 0.33; above aspect 1
    it falls as the straight channel's does, so that a narrow floor is not flattered.
    """
    narrow = one_wall_laminar(np.maximum(aspect, 1.0)) / one_wall_laminar(1.0)
    value: Values = 1.37 * np.power(De, 0.315) * narrow
    return value


def annulus_friction(Re: Number, radius_ratio: Number) -> Values:
    """Return the Darcy friction factor of an annulus on its own Reynolds number [-].

    f = (1.8 lg Re* - 1.5)^-2, Re* = Re ((1 + a^2) ln a + 1 - a^2) / ((1 - a)^2 ln a), with a the
    ratio of radii (Gnielinski 2009).
    """
    a = np.minimum(radius_ratio, _LARGEST_RADIUS_RATIO)
    log_a = np.log(a)
    shift = ((1.0 + a * a) * log_a + 1.0 - a * a) / ((1.0 - a) ** 2 * log_a)
    value: Values = 1.0 / np.square(_LOG_SCALE * np.log(Re * shift) - 1.5)
    return value


def annulus_base(Re: Number, Pr: Number, radius_ratio: Number) -> Values:
    """Return the turbulent annulus Nusselt number before its wall factor (Gnielinski 2009) [-].

    `radius_ratio` is cylinder outside over shell inside diameter [-].
    """
    flow = np.maximum(Re, LOWEST_TURBULENT)
    a = np.minimum(radius_ratio, _LARGEST_RADIUS_RATIO)
    log_a = np.log(a)
    shift = ((1.0 + a * a) * log_a + 1.0 - a * a) / ((1.0 - a) ** 2 * log_a)
    root = (1.0 / _ROOT_8) / (_LOG_SCALE * np.log(flow * shift) - 1.5)
    k1 = 1.07 + 900.0 / flow - 0.63 / (1.0 + 10.0 * np.asarray(Pr, dtype=float))
    power = np.cbrt(Pr)
    value: Values = root * root * flow * Pr / (k1 + 12.7 * root * (power * power - 1.0))
    return value


def entrance_factor(diameter: Number, length: Number) -> Values:
    """Return the factor of a passage's entrance on its mean turbulent Nusselt number.

    Parameters
    ----------
    diameter : hydraulic diameter [m]
    length : developed length [m]

    Returns
    -------
    1 + (D/L)^(2/3), with D/L at most 1 [-].
    """
    short = np.minimum(diameter / np.maximum(length, diameter), 1.0)
    value: Values = 1.0 + np.power(short, 2.0 / 3.0)
    return value


def inner_wall_factor(radius_ratio: Number) -> Values:
    """Return the annulus factor with the inner wall alone heated (Gnielinski 2009) [-]."""
    value: Values = 0.75 * np.power(radius_ratio, -0.17)
    return value


def inner_wall_factor_1964(radius_ratio: Number) -> Values:
    """Return the annulus factor with the inner wall alone heated (Petukhov, Roizen 1964) [-]."""
    value: Values = 0.86 * np.power(radius_ratio, -0.16)
    return value


def coil_average(Re: Number, Pr: Number, d: Number) -> Values:
    """Return the Nusselt number of a coil averaged round its wall (VDI Heat Atlas) [-]."""
    critical = critical_reynolds(d)
    root_d = np.sqrt(d)
    third = np.cbrt(Pr)
    slow = np.minimum(Re, critical)
    exponent = 0.5 + 0.2903 * np.power(d, 0.194)
    strength = 0.08 * (1.0 + 0.8 * np.power(d, 0.9))
    laminar = 3.66 + strength * np.power(slow, exponent) * third
    fast = np.maximum(Re, COIL_TURBULENT)
    eighth = (0.3164 / 8.0) / np.sqrt(np.sqrt(fast)) + (0.03 / 8.0) * root_d
    turbulent = eighth * fast * Pr / (1.0 + 12.7 * np.sqrt(eighth) * (third * third - 1.0))
    span = np.maximum(COIL_TURBULENT - critical, 1.0)
    share = np.minimum(np.maximum((Re - critical) / span, 0.0), 1.0)
    value: Values = laminar + share * (turbulent - laminar)
    return value


def coil_mori_nakayama(Re: Number, Pr: Number, d: Number) -> Values:
    """Return the coil average of Mori and Nakayama 1967 for gases, Pr < 1 [-]."""
    third = np.cbrt(Pr)
    lead = Pr / (26.2 * (third * third - 0.074)) * np.power(Re, 0.8) * np.power(d, 0.1)
    value: Values = lead * (1.0 + 0.098 * np.power(Re * np.square(d), -0.2))
    return value


def coil_schmidt_slow(Re: Number, Pr: Number, d: Number) -> Values:
    """Return the coil average of Schmidt 1967 below Reynolds number 22 000 [-]."""
    exponent = 0.8 - 0.22 * np.power(d, 0.1)
    lead = 0.023 * (1.0 + 14.8 * (1.0 + d) * np.cbrt(d))
    value: Values = lead * np.power(Re, exponent) * np.cbrt(Pr)
    return value


def coil_schmidt_fast(Re: Number, Pr: Number, d: Number) -> Values:
    """Return the coil average of Schmidt 1967 above Reynolds number 22 000 [-]."""
    lead = 0.023 * (1.0 + 3.6 * (1.0 - d) * np.power(d, 0.8))
    value: Values = lead * np.power(Re, 0.8) * np.cbrt(Pr)
    return value


def coil_schmidt(Re: Number, Pr: Number, d: Number) -> Values:
    """Return the coil average of Schmidt 1967, its two ranges joined smoothly [-]."""
    log_re = np.log(Re)
    exponent = 0.8 - 0.22 * np.power(d, 0.1)
    slow = (1.0 + 14.8 * (1.0 + d) * np.cbrt(d)) * np.exp(exponent * log_re)
    fast = (1.0 + 3.6 * (1.0 - d) * np.power(d, 0.8)) * np.exp(0.8 * log_re)
    share = smooth_step(0.5 + (log_re - np.log(COIL_TURBULENT)) / (2.0 * SCHMIDT_BLEND))
    value: Values = 0.023 * np.cbrt(Pr) * (slow + share * (fast - slow))
    return value


def coil_xin_ebadian(Re: Number, Pr: Number, d: Number) -> Values:
    """Return the coil average of Xin and Ebadian 1997, turbulent [-]."""
    value: Values = 0.00619 * np.power(Re, 0.92) * np.power(Pr, 0.4) * (1.0 + 3.455 * d)
    return value


def nusselt(
    closure: str,
    Re: Number,
    Pr: Number,
    Dh: Number,
    Dc: Number,
    aspect: Number,
    radius_ratio: Number,
    entrance: Number = 1.0,
) -> Values:
    """Return the Nusselt number of the heated inner wall of the helical channel.

    Parameters
    ----------
    closure : `low`, `nominal`, `high`, `mori-nakayama`, `schmidt` or `xin-ebadian`
    Re : Reynolds number on the hydraulic diameter [-]
    Pr : Prandtl number [-]
    Dh : hydraulic diameter [m]
    Dc : diameter of curvature [m]
    aspect : gap / clear width [-]
    radius_ratio : cylinder outside / shell inside diameter [-]
    entrance : factor of the channel's entrance on turbulent flow [-]

    Returns
    -------
    Nusselt number on the hydraulic diameter, never below the straight laminar one [-].

    Notes
    -----
    `low` and `nominal` are for the inner wall alone; every other closure is an average over
    the whole wall of a coil, which its outer side rules, and was published without a factor
    of the entrance.
    """
    try:
        formula = _CLOSURES[closure]
    except KeyError:
        known = ", ".join(_CLOSURES)
        raise RangeError(f"no jacket closure is called {closure!r}; choose from {known}") from None
    d = np.asarray(Dh, dtype=float) / Dc
    value: Values = formula(np.maximum(Re, LOWEST_RE), Pr, d, aspect, radius_ratio, entrance)
    return np.maximum(value, one_wall_laminar(aspect))


def tube_nusselt(
    Re: Number, Pr: Number, relative_roughness: Number = 0.0, entrance: Number = 1.0
) -> Values:
    """Return the Nusselt number of a round tube.

    Parameters
    ----------
    Re : Reynolds number on the bore [-]
    Pr : Prandtl number [-]
    relative_roughness : sand-grain roughness / bore [-]
    entrance : factor of the tube's entrance on turbulent flow [-]

    Returns
    -------
    Nusselt number: 3.66, Gnielinski 1976, and a smooth passage between [-].
    """
    fast = np.maximum(Re, TUBE_LAMINAR)
    turbulent = gnielinski(fast, Pr, haaland(fast, relative_roughness)) * entrance
    value: Values = 3.66 + tube_turbulence(Re) * (turbulent - 3.66)
    return value


def gnielinski(Re: Number, Pr: Number, friction: Number) -> Values:
    """Return Gnielinski's turbulent Nusselt number at a given Darcy friction factor [-]."""
    eighth = np.asarray(friction, dtype=float) / 8.0
    third = np.cbrt(Pr)
    bottom = 1.0 + 12.7 * np.sqrt(eighth) * (third * third - 1.0)
    value: Values = eighth * (np.asarray(Re, dtype=float) - 1000.0) * Pr / bottom
    return value


def property_ratio(Tb: Number, Tw: Number, Re: Number) -> Values:
    """Return the correction for gas properties that vary across the channel.

    Parameters
    ----------
    Tb : bulk temperature [K]
    Tw : wall temperature [K]
    Re : Reynolds number [-]

    Returns
    -------
    Factor on the Nusselt number: (Tb/Tw)^0.45 when turbulent gas is heated, 1 when it is
    cooled or laminar [-].
    """
    span = np.log(HEATING_TURBULENT / HEATING_LAMINAR)
    share = smooth_step(np.log(np.maximum(Re, LOWEST_RE) / HEATING_LAMINAR) / span)
    colder = np.minimum(np.asarray(Tb, dtype=float) / Tw, 1.0)
    factor: Values = np.power(colder, HEATING_EXPONENT * share)
    return factor


def _low(
    Re: Values, Pr: Number, d: Values, aspect: Number, radius_ratio: Number, entrance: Number
) -> Values:
    factor = CONVEX_FACTOR_LOW * inner_wall_factor(radius_ratio) * entrance
    return annulus_base(Re, Pr, radius_ratio) * factor


def _nominal(
    Re: Values, Pr: Number, d: Values, aspect: Number, radius_ratio: Number, entrance: Number
) -> Values:
    factors = inner_wall_factor(radius_ratio) + inner_wall_factor_1964(radius_ratio)
    turbulent = annulus_base(Re, Pr, radius_ratio) * (0.5 * CONVEX_FACTOR * factors) * entrance
    return np.maximum(curved_laminar(Re * np.sqrt(d), aspect), turbulent)


def _average(formula: Callable[[Number, Number, Number], Values]) -> _Closure:
    """Give a coil average, of Re, Pr and curvature alone, a closure's arguments."""

    def closure(
        Re: Values, Pr: Number, d: Values, aspect: Number, radius_ratio: Number, entrance: Number
    ) -> Values:
        return formula(Re, Pr, d)

    return closure


_CLOSURES: dict[str, _Closure] = {
    "low": _low,
    "nominal": _nominal,
    "high": _average(coil_average),
    "mori-nakayama": _average(coil_mori_nakayama),
    "schmidt": _average(coil_schmidt),
    "xin-ebadian": _average(coil_xin_ebadian),
}
