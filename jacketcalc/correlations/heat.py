"""Nusselt numbers of channel and tube, each for one regime, and the factors on them.

`laws.py` joins them. Symbols follow the sources: `Re` and `Nu` on the hydraulic diameter, `d`
hydraulic diameter over diameter of curvature, `De` = Re d^0.5, `Pr` Prandtl number.
"""

from __future__ import annotations

from fractions import Fraction

import ht
import numpy as np
from numpy.polynomial.polynomial import polyval

from jacketcalc.arrays import Array, Number
from jacketcalc.correlations.blends import LOWEST_RE, smooth_step
from jacketcalc.correlations.friction import annulus_friction, coil_turbulent
from jacketcalc.formula import PowerLaw, formula, polynomial, thousands

CONVEX_FACTOR = 0.85
"""Convex over straight, turbulent, nominal [-]. Judgement: middle of 0.75 (measured on convex
plates, Heat Mass Transfer 39:869, 2003), 0.82 to 0.88 (a NASA rule, from memory) and 1."""
CONVEX_FACTOR_LOW = 0.75
"""Convex over straight, turbulent, low [-]: the whole reduction measured on convex plates."""
ONE_WALL = 5.3846
"""Laminar flow between plates, one of them heated, exact: 70/13 [-]."""
LONG_WALL = (1.0, -1.1930, 1.5626, -1.4715, 0.7509, -0.1501)
"""Long wall heated, over that of plates: coefficients of powers of the aspect [-]."""
SHORT_WALL = (0.0, 5.9949, -7.7320, 8.8992, -6.5439, 2.06818)
"""Short wall heated: coefficients of powers of short over long side [-]."""
CURVED = PowerLaw(1.37, 0.315)
"""Inner wall of a curved channel, over the Dean number [-]."""
INNER_WALL, INNER_WALL_1964 = PowerLaw(0.75, -0.17), PowerLaw(0.86, -0.16)
"""Inner wall alone heated, over the annulus' own, over its radius ratio [-]."""
PRANDTL_SLOPE = 12.7
"""Factor of (f/8)^0.5 (Pr^(2/3) - 1) in the turbulent form of Petukhov and Gnielinski [-]."""
TRANSITION_OFFSET = 1000.0
"""What Gnielinski 1976 takes off the Reynolds number [-]."""
LOWEST_ANNULUS = 1100.0
"""Reynolds number below which the annulus law is held [-]: Gnielinski's form falls to nothing at
1000, far inside the range where the laminar law is the larger."""
ENTRANCE_POWER = Fraction(2, 3)
"""Power of diameter over length in the entrance's factor [-]."""
LAMINAR_NUSSELT = float(ht.laminar_T_const())
"""Nusselt number of developed laminar flow in a tube, wall at one temperature, exact [-]."""
COIL_LAMINAR = (0.08, 0.8, 0.9, 0.5, 0.2903, 0.194)
"""Laminar coil: c, k, n, m, r, s in c (1 + k d^n) Re^(m + r d^s) Pr^(1/3) [-]."""
COIL_TURBULENT = 22000.0
"""Reynolds number from which the VDI coil form is fully turbulent, and Schmidt's second range
begins [-]."""
SCHMIDT_BLEND = 0.1
"""Half-width in ln(Re) over which Schmidt's two ranges pass into each other [-]; the published
pair has a step at 22 000."""
HEATING_EXPONENT = 0.45
"""Exponent of bulk over wall temperature for turbulent heating of a gas [-]."""
HEATING_LAMINAR = 2300.0
"""Reynolds number below which the gas-property ratio is 1 [-]."""
HEATING_TURBULENT = 10000.0
"""Reynolds number above which the gas-property ratio is complete [-]."""
STILL_CHANNEL = 4.861
"""Still air in a gap, one wall's share: plates, one at a temperature and the other insulated,
exact; Incropera's table 8.2 prints 4.86 [-]."""
STILL_TUBE = LAMINAR_NUSSELT
"""Still air in a tube, on its bore [-]."""

_COIL_REMARK = "Average round the whole wall of a coil, which its outer side rules."
_TURBULENT = "(f/8)^0.5 (Pr^(2/3) - 1))"


@formula(
    name="rectangle, one wall heated, laminar",
    quantity="Nu [-]",
    source="duct-one-wall",
    equation=f"Nu = {ONE_WALL:g} ({polynomial(LONG_WALL, 'a')})",
    ranges={"aspect": (0.0, 20.0)},
    scatter=(-0.001, 0.001),
    scatter_from="computed for this project",
    remark="Fully developed, uniform axial flux; above aspect 1 the short wall's own fit is used. "
    "The entry region, where Nu is higher, is left out.",
)
def one_wall_laminar(aspect: Number) -> Array:
    """Return the Nusselt number of a straight rectangular channel, one wall heated.

    Parameters
    ----------
    aspect : gap / width of the heated wall [-]; above 1 the heated wall is the short one

    Returns
    -------
    Nusselt number on the hydraulic diameter, fully developed, uniform axial flux [-].
    """
    ratio = np.asarray(aspect, dtype=float)
    long = ONE_WALL * polyval(np.minimum(ratio, 1.0), LONG_WALL)
    short = polyval(1.0 / np.maximum(ratio, 1.0), SHORT_WALL)
    value: Array = np.where(ratio > 1.0, short, long)
    return value


@formula(
    name="inner wall, laminar curved",
    quantity="Nu [-]",
    source="duct-curved",
    equation=f"Nu = {CURVED.text('De')}",
    ranges={"De": (79.0, 1070.0), "aspect": (0.2, 1.0)},
    scatter=(-0.14, 0.06),
    scatter_from="computed for this project",
    remark="Within 4 % at aspect 0.2 to 0.33. Not external: a computation of this project.",
)
def curved_laminar(De: Number, aspect: Number) -> Array:
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
    value: Array = CURVED(De) * narrow
    return value


@formula(
    name="tube, turbulent",
    quantity="Nu [-]",
    source="gnielinski-1976",
    equation=f"Nu = (f/8) (Re - {TRANSITION_OFFSET:g}) Pr / (1 + {PRANDTL_SLOPE:g} {_TURBULENT}",
    ranges={"Re": (2300.0, 5e6), "Pr": (0.5, 2000.0)},
    scatter=(-0.10, 0.10),
    scatter_from="from memory",
    remark="f of the tube; times the entrance's factor. Ports of the heads and the line between "
    "stages too.",
    tested_with="air, other gases and liquids",
    library=ht.turbulent_Gnielinski,
)
def gnielinski(Re: float, Pr: float, friction: float) -> float:
    """Return Gnielinski's turbulent Nusselt number at a given Darcy friction factor [-]."""
    return float(ht.turbulent_Gnielinski(Re, Pr, friction))


@formula(
    name="inner wall, annulus turbulent",
    quantity="Nu [-]",
    source="gnielinski-1976",
    equation=f"Nu = (f/8) (Re - {TRANSITION_OFFSET:g}) Pr / (1 + {PRANDTL_SLOPE:g} {_TURBULENT}",
    ranges={"Re": (4000.0, 1e6)},
    scatter=(-0.10, 0.10),
    scatter_from="judgement",
    remark="f of the annulus; range from memory. Gnielinski's form of 2009, with its own constant "
    "for 1 and for 1000, lies within 3 % of it. Factors for one wall and for its curvature follow.",
    library=ht.turbulent_Gnielinski,
)
def annulus_turbulent(Re: float, Pr: float, radius_ratio: float) -> float:
    """Return the turbulent Nusselt number of an annulus before its wall factor [-].

    `radius_ratio` is cylinder outside over shell inside diameter [-].
    """
    friction = float(annulus_friction(Re, radius_ratio))
    return float(ht.turbulent_Gnielinski(Re, Pr, friction))


@formula(
    name="inner wall, annulus factor",
    quantity="factor on Nu [-]",
    source="gnielinski-2009",
    equation=INNER_WALL.text("a"),
    ranges={"radius ratio": (0.05, 1.0)},
    scatter=(-0.10, 0.10),
    scatter_from="judgement",
    remark="Range from memory. Straight annulus; a convex factor follows.",
)
def inner_wall_factor(radius_ratio: Number) -> Array:
    """Return the annulus factor with the inner wall alone heated (Gnielinski 2009) [-]."""
    return INNER_WALL(radius_ratio)


@formula(
    name="inner wall, annulus turbulent, 1964",
    quantity="factor on Nu [-]",
    source="petukhov-roizen-1964",
    equation=INNER_WALL_1964.text("a"),
    ranges={"radius ratio": (0.05, 1.0)},
    scatter=(-0.10, 0.10),
    scatter_from="judgement",
)
def inner_wall_factor_1964(radius_ratio: Number) -> Array:
    """Return the annulus factor with the inner wall alone heated (Petukhov, Roizen 1964) [-]."""
    return INNER_WALL_1964(radius_ratio)


@formula(
    name="entrance of a channel",
    quantity="factor on Nu [-]",
    source="vdi-straight",
    equation=f"1 + (D/L)^({ENTRANCE_POWER}), mean over the developed length",
    ranges={"D/L": (0.0, 1.0)},
    scatter=(-0.10, 0.10),
    scatter_from="judgement",
    remark="Turbulent annulus and tube: +7 % at L/D 50, +2 % at 350. Laws of coils and laminar "
    "forms are published without, and are taken so.",
)
def entrance_factor(diameter: Number, length: Number) -> Array:
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
    value: Array = 1.0 + np.power(short, float(ENTRANCE_POWER))
    return value


@formula(
    name="coil average, laminar",
    quantity="Nu [-]",
    source="vdi-helical",
    equation="Nu = {:g} + {:g} (1 + {:g} d^{:g}) Re^m Pr^(1/3), m = {:g} + {:g} d^{:g}".format(
        LAMINAR_NUSSELT, *COIL_LAMINAR
    ),
    scatter=(-0.15, 0.15),
    scatter_from="from memory",
    remark=_COIL_REMARK + " Up to the critical Reynolds number.",
)
def coil_average_laminar(Re: Number, Pr: Number, d: Number) -> Array:
    """Return the laminar Nusselt number of a coil averaged round its wall (VDI Heat Atlas) [-]."""
    lead, bend, bend_power, start, rise, rise_power = COIL_LAMINAR
    exponent = start + rise * np.power(d, rise_power)
    strength = lead * (1.0 + bend * np.power(d, bend_power))
    value: Array = LAMINAR_NUSSELT + strength * np.power(Re, exponent) * np.cbrt(Pr)
    return value


@formula(
    name="coil average",
    quantity="Nu [-]",
    source="vdi-helical",
    equation=f"Nu = (f/8) Re Pr / (1 + {PRANDTL_SLOPE:g} {_TURBULENT}",
    ranges={"Re": (500.0, 1.5e5), "curvature": (0.0, 0.14)},
    scatter=(-0.15, 0.15),
    scatter_from="from memory",
    remark=f"{_COIL_REMARK} f of the coil; from {thousands(COIL_TURBULENT)}, linear in Re between "
    "it and the laminar form, whose Reynolds numbers its range includes.",
)
def coil_average_turbulent(Re: Number, Pr: Number, d: Number) -> Array:
    """Return the turbulent Nusselt number of a coil averaged round it (VDI Heat Atlas) [-]."""
    eighth = coil_turbulent(Re, d) / 8.0
    third = np.cbrt(Pr)
    bottom = 1.0 + PRANDTL_SLOPE * np.sqrt(eighth) * (third * third - 1.0)
    value: Array = eighth * Re * Pr / bottom
    return value


@formula(
    name="coil average, Mori and Nakayama",
    quantity="Nu [-]",
    source="mori-nakayama-1967",
    equation="Nu = Pr/(26.2 (Pr^(2/3) - 0.074)) Re^0.8 d^0.1 (1 + 0.098 (Re d^2)^-0.2)",
    ranges={"Re": (1e4, 2e5), "Pr": (0.6, 1.0)},
    scatter=(-0.15, 0.15),
    scatter_from="from memory",
    remark=_COIL_REMARK + " Gas form; Reynolds range from memory.",
    library=ht.helical_turbulent_Nu_Mori_Nakayama,
)
def coil_mori_nakayama(Re: float, Pr: float, d: float) -> float:
    """Return the coil average of Mori and Nakayama 1967 for gases, Pr < 1 [-]."""
    return float(ht.helical_turbulent_Nu_Mori_Nakayama(Re, Pr, d, 1.0))


@formula(
    name="coil average, Schmidt",
    quantity="Nu [-]",
    source="schmidt-1967",
    equation="Nu = 0.023 (1 + 14.8 (1 + d) d^(1/3)) Re^(0.8 - 0.22 d^0.1) Pr^(1/3) up to "
    f"{thousands(COIL_TURBULENT)}; 0.023 (1 + 3.6 (1 - d) d^0.8) Re^0.8 Pr^(1/3) above",
    ranges={"Re": (6000.0, 1.5e5), "curvature": (0.0, 0.14)},
    scatter=(-0.15, 0.15),
    scatter_from="from memory",
    remark=f"{_COIL_REMARK} The step at {thousands(COIL_TURBULENT)} is smoothed over "
    f"{100 * SCHMIDT_BLEND:g} % of Re.",
    library=ht.helical_turbulent_Nu_Schmidt,
)
def coil_schmidt(Re: float, Pr: float, d: float) -> float:
    """Return the coil average of Schmidt 1967, with its step at 22 000 [-]."""
    return float(ht.helical_turbulent_Nu_Schmidt(Re, Pr, d, 1.0))


@formula(
    name="coil average, Xin and Ebadian",
    quantity="Nu [-]",
    source="xin-ebadian-1997",
    equation="Nu = 0.00619 Re^0.92 Pr^0.4 (1 + 3.455 d)",
    ranges={"Re": (5000.0, 1e5), "Pr": (0.7, 5.0), "curvature": (0.0267, 0.0884)},
    scatter=(-0.15, 0.15),
    scatter_from="from memory",
    remark=_COIL_REMARK,
    library=ht.helical_turbulent_Nu_Xin_Ebadian,
)
def coil_xin_ebadian(Re: float, Pr: float, d: float) -> float:
    """Return the coil average of Xin and Ebadian 1997, turbulent [-]."""
    return float(ht.helical_turbulent_Nu_Xin_Ebadian(Re, Pr, d, 1.0))


@formula(
    name="gas property ratio",
    quantity="factor on Nu [-]",
    source="gas-property-ratio",
    equation=f"(Tb/Tw)^{HEATING_EXPONENT:g}, turbulent, gas heated",
    ranges={"temperature ratio": (0.5, 1.0)},
    scatter=(-0.02, 0.02),
    scatter_from="judgement",
    remark="1 in laminar flow and for a gas that is cooled.",
)
def property_ratio(Tb: Number, Tw: Number, Re: Number) -> Array:
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
    factor: Array = np.power(colder, HEATING_EXPONENT * share)
    return factor
