"""Heat transfer outside: ambient air, radiation, fins and plain walls."""

from __future__ import annotations

import ht
import numpy as np

from jacketcalc.arrays import Array, Number
from jacketcalc.formula import formula

STEFAN_BOLTZMANN = 5.670374419e-8
"""Stefan-Boltzmann constant, CODATA 2018 [W/(m2 K4)]."""


@formula(
    name="ambient air round a horizontal cylinder",
    quantity="Nu [-]",
    source="churchill-chu-1975",
    equation="Nu = (0.6 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))^2",
    ranges={"Ra": (0.0, 1e12)},
    scatter=(-0.15, 0.15),
    scatter_from="from memory",
    library=ht.Nu_horizontal_cylinder_Churchill_Chu,
)
def cylinder_nusselt(grashof: float, Pr: float) -> float:
    """Return the Nusselt number of natural convection round a horizontal cylinder [-].

    Arguments are Grashof and Prandtl number [-].
    """
    return float(ht.Nu_horizontal_cylinder_Churchill_Chu(Pr, grashof))


@formula(
    name="air blown across a cylinder",
    quantity="Nu [-]",
    source="churchill-bernstein-1977",
    equation="Nu = 0.3 + 0.62 Re^0.5 Pr^(1/3) / (1 + (0.4/Pr)^(2/3))^0.25 "
    "(1 + (Re/282000)^(5/8))^0.8",
    ranges={"Re": (100.0, 1e7)},
    scatter=(-0.20, 0.20),
    scatter_from="from memory",
    remark="Film temperature; Re Pr above 0.2.",
    library=ht.Nu_cylinder_Churchill_Bernstein,
)
def crossflow_nusselt(Re: float, Pr: float) -> float:
    """Return the Nusselt number of a cylinder in a stream square to it [-].

    Arguments are Reynolds number on the diameter and Prandtl number [-].
    """
    return float(ht.Nu_cylinder_Churchill_Bernstein(Re, Pr))


@formula(
    name="counterflow exchanger",
    quantity="effectiveness [-]",
    source="walls-exact",
    equation="(1 - x) / (1 - r x), x = e^(-N (1 - r))",
    ranges={"r": (0.0, 0.999)},
    remark="N: conductance over the smaller capacity rate; r: smaller over larger one. Exact.",
    library=ht.effectiveness_from_NTU,
)
def exchanger_effectiveness(units: float, ratio: float) -> float:
    """Return the heat that an exchanger carries over the most it could [-].

    Parameters
    ----------
    units : conductance over the smaller capacity rate [-]
    ratio : smaller capacity rate over the larger one [-]
    """
    return float(
        ht.effectiveness_from_NTU(  # type: ignore[no-untyped-call]
            units, ratio, subtype="counterflow"
        )
    )


@formula(
    name="radiation to large surroundings",
    quantity="h [W/(m2 K)]",
    source="walls-exact",
    equation=f"h = e {STEFAN_BOLTZMANN:.10g} (T1^2 + T0^2) (T1 + T0)",
)
def radiation(emissivity: Number, T_surface: Number, T_ambient: Number) -> Array:
    """Return the radiation coefficient of a surface in large surroundings.

    Parameters
    ----------
    emissivity : total hemispherical emissivity [-]
    T_surface, T_ambient : surface and ambient temperature [K]

    Returns
    -------
    Radiant flux over the difference of temperatures [W/(m2 K)].
    """
    surface = np.asarray(T_surface, dtype=float)
    ambient = np.asarray(T_ambient, dtype=float)
    squares = surface * surface + ambient * ambient
    coefficient: Array = emissivity * STEFAN_BOLTZMANN * squares * (surface + ambient)
    return coefficient


@formula(
    name="radiation across a gap",
    quantity="factor on h of a black surface [-]",
    source="walls-exact",
    equation="1 / (1/e_i + q (1/e_o - 1))",
    remark="q is inner over outer diameter.",
)
def gap_exchange(emissivity_in: Number, emissivity_out: Number, diameter_ratio: Number) -> Array:
    """Return the emissivity that two long concentric grey cylinders have together.

    Parameters
    ----------
    emissivity_in, emissivity_out : of the two surfaces that face each other [-]
    diameter_ratio : of the inner surface over the outer one [-]

    Returns
    -------
    Exchange over that of black surfaces, on the inner one [-].
    """
    resistance = 1.0 / np.asarray(emissivity_in, dtype=float)
    resistance = resistance + diameter_ratio * (1.0 / np.asarray(emissivity_out, dtype=float) - 1.0)
    exchange: Array = 1.0 / resistance
    return exchange


@formula(
    name="fin",
    quantity="efficiency [-]",
    source="fin",
    equation="tanh(mL)/(mL), m = (2h/(k t))^0.5",
    remark="Exact for a straight fin with an adiabatic tip.",
)
def fin_efficiency(h: Number, k: Number, thickness: Number, height: Number) -> Array:
    """Return the efficiency of a straight fin that loses nothing at its tip.

    Parameters
    ----------
    h : heat transfer coefficient on both faces [W/(m2 K)]
    k : conductivity of the fin [W/(m K)]
    thickness, height : size of the fin [m]

    Returns
    -------
    Heat taken up over that of a fin at root temperature, tanh(mL)/(mL) [-].
    """
    slender = np.maximum(height * np.sqrt(2.0 * h / (np.asarray(k, dtype=float) * thickness)), 1e-6)
    efficiency: Array = np.tanh(slender) / slender
    return efficiency


@formula(
    name="conduction through a cylinder's wall",
    quantity="thermal resistance [K/W]",
    source="walls-exact",
    equation="ln(D_o/D_i) / (2 pi k L)",
    library=ht.R_cylinder,
)
def cylinder_resistance(inner: float, outer: float, k: float, length: float) -> float:
    """Return the resistance of a cylinder wall to radial conduction.

    Parameters
    ----------
    inner, outer : diameters [m]
    k : conductivity [W/(m K)]
    length : axial length [m]

    Returns
    -------
    Thermal resistance [K/W].
    """
    return float(ht.R_cylinder(inner, outer, k, length))
