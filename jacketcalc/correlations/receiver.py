"""Heat transfer of a receiver that is filled: inside, and to a water bath."""

from __future__ import annotations

import numpy as np

from jacketcalc.correlations.cylinder import GRAVITY
from jacketcalc.correlations.outside import cylinder_nusselt
from jacketcalc.formula import PowerLaw, formula

JET = PowerLaw(0.56, 0.67)
"""Jet of the air that enters, over the Reynolds number of its inlet [-]."""
FREE = PowerLaw(0.104, 0.352)
"""Free convection in the vessel, over the Rayleigh number of its diameter [-]."""
_WATER = np.array([
    # K, thermal expansion 1/K, kinematic viscosity m2/s, conductivity W/(m K), Prandtl number
    [278.15, 1.6042e-05, 1.5182e-06, 0.5678, 11.243],
    [288.15, 1.5084e-04, 1.1386e-06, 0.5888, 8.092],
    [298.15, 2.5729e-04, 8.9266e-07, 0.6065, 6.136],
    [308.15, 3.4589e-04, 7.2344e-07, 0.6217, 4.834],
    [318.15, 4.2264e-04, 6.0166e-07, 0.6348, 3.923],
    [328.15, 4.9122e-04, 5.1093e-07, 0.6460, 3.261],
    [338.15, 5.5410e-04, 4.4149e-07, 0.6556, 2.765],
    [348.15, 6.1299e-04, 3.8716e-07, 0.6636, 2.385],
    [358.15, 6.6920e-04, 3.4387e-07, 0.6701, 2.088],
    [368.15, 7.2372e-04, 3.0886e-07, 0.6752, 1.853],
]).T  # fmt: skip


@formula(
    name="receiver being filled",
    quantity="Nu [-]",
    source="woodfield-2007",
    equation=f"Nu = {JET.text('Re')} + {FREE.text('Ra')}",
    scatter=(-0.30, 0.30),
    scatter_from="judgement",
    remark="Nu and Ra on the inner diameter of the vessel, Re on the bore that the gas enters "
    "through. Measured with hydrogen, nitrogen and argon up to some 100 bar.",
)
def filling_nusselt(Re: float, Ra: float) -> float:
    """Return the Nusselt number on a vessel's diameter while gas enters it [-].

    Parameters
    ----------
    Re : Reynolds number of the inlet, 4 m / (pi d mu) [-]
    Ra : Rayleigh number of gas against wall on the vessel's diameter [-]
    """
    return float(JET(Re) + FREE(Ra))


@formula(
    name="water bath round a receiver",
    quantity="h [W/(m2 K)]",
    source="iapws-water",
    equation="h = Nu k / D, Nu = (0.6 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))^2",
    scatter=(-0.15, 0.15),
    scatter_from="judgement",
    remark="Properties at 1 atm between bath and wall, 5 to 95 degC; still water.",
)
def bath_coefficient(T_wall: float, T_bath: float, diameter: float) -> float:
    """Return the coefficient of natural convection in still water.

    Parameters
    ----------
    T_wall, T_bath : wall and bath [K]
    diameter : outer diameter [m]

    Returns
    -------
    Heat flux over the difference of temperatures [W/(m2 K)].
    """
    film = 0.5 * (T_wall + T_bath)
    expansion, viscosity, k, Pr = (float(np.interp(film, _WATER[0], row)) for row in _WATER[1:])
    grashof = GRAVITY * expansion * abs(T_wall - T_bath) * diameter**3 / viscosity**2
    return cylinder_nusselt(max(grashof, 1.0), Pr) * k / diameter
