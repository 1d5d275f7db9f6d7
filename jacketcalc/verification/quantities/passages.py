"""Heat transfer and friction of the passage, for published cases. Arguments in SI."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from jacketcalc.correlations import laws
from jacketcalc.correlations.friction import (
    annulus_friction,
    coil_laminar,
    coil_turbulent,
    critical_reynolds,
    rectangle_constant,
)
from jacketcalc.correlations.heat import (
    STILL_CHANNEL,
    STILL_TUBE,
    annulus_turbulent,
    coil_mori_nakayama,
    coil_xin_ebadian,
    entrance_factor,
    gnielinski,
    inner_wall_factor,
    inner_wall_factor_1964,
    one_wall_laminar,
    property_ratio,
)
from jacketcalc.geometry import helix_curvature


def _in_coil(closure: str, Re: float, Pr: float, d: float) -> float:
    """Return a closure's Nusselt number in a coil of curvature d [-]."""
    channel = laws.Channel(
        hydraulic_diameter=d, curvature_diameter=1.0, aspect=1.0, radius_ratio=1.0, roughness=0.0
    )
    return float(laws.channel_nusselt(closure, channel).value(Re, Pr))


def coil_vdi(Re: float, Pr: float, d: float) -> float:
    """Return the coil average of the VDI Heat Atlas [-]."""
    return _in_coil("high", Re, Pr, d)


def coil_of_mori(Re: float, Pr: float, d: float) -> float:
    """Return the coil average of Mori and Nakayama [-]."""
    return coil_mori_nakayama(Re, Pr, d)


def coil_of_schmidt(Re: float, Pr: float, d: float) -> float:
    """Return the coil average of Schmidt [-]."""
    return _in_coil("schmidt", Re, Pr, d)


def coil_of_xin(Re: float, Pr: float, d: float) -> float:
    """Return the coil average of Xin and Ebadian [-]."""
    return coil_xin_ebadian(Re, Pr, d)


def tube_at_friction(Re: float, Pr: float, f: float) -> float:
    """Return Gnielinski's tube at a given Darcy friction factor [-]."""
    return gnielinski(Re, Pr, f)


def smooth_tube_coefficient(Re: float, Pr: float, k: float, D: float) -> float:
    """Return the coefficient in a smooth tube [W/(m2 K)]."""
    return float(laws.tube_nusselt().value(Re, Pr)) * k / D


def coil_coefficient(Re: float, Pr: float, k: float, D: float, Dc: float) -> float:
    """Return the coil's coefficient, VDI Heat Atlas [W/(m2 K)]."""
    return coil_vdi(Re, Pr, D / Dc) * k / D


def annulus_turbulent_friction(Re: float, a: float) -> float:
    """Return the Darcy friction factor of an annulus, for its heat transfer alone [-]."""
    return float(annulus_friction(Re, a))


def inner_wall_2009(Re: float, Pr: float, a: float) -> float:
    """Return the Nusselt number of a straight annulus heated inside, factor of 2009 [-]."""
    return annulus_turbulent(Re, Pr, a) * float(inner_wall_factor(a))


def inner_wall_middle(Re: float, Pr: float, a: float) -> float:
    """Return the nominal closure's straight annulus: the mean of both inner-wall factors [-]."""
    factor = 0.5 * (inner_wall_factor(a) + inner_wall_factor_1964(a))
    return annulus_turbulent(Re, Pr, a) * float(factor)


def short_annulus_coefficient(
    rho: float,
    V: float,
    k: float,
    mu: float,
    cp: float,
    D_inner: float,
    D_outer: float,
    L: float,
    T: float,
    T_wall: float,
    exponent: float,
) -> float:
    """Return the inner wall's coefficient of a short annulus with Gnielinski's heating factor,
    which the passage itself takes otherwise [W/(m2 K)]."""
    Dh = D_outer - D_inner
    straight = inner_wall_2009(rho * V * Dh / mu, cp * mu / k, D_inner / D_outer)
    entry = float(entrance_factor(Dh, L))
    heating = float(np.power(T / T_wall, exponent))
    return straight * entry * heating * k / Dh


def still_gap() -> float:
    """Return the Nusselt number taken for still air in the channel, one wall's share [-]."""
    return STILL_CHANNEL


def still_tube() -> float:
    """Return the Nusselt number taken for still air in a tube [-]."""
    return STILL_TUBE


def one_wall(aspect: float) -> float:
    """Return the laminar Nusselt number of a rectangle, one wall heated, axial flux even [-]."""
    return float(one_wall_laminar(aspect))


def heating_factor(T: float, T_wall: float, Re: float) -> float:
    """Return the factor for gas properties that vary across the channel [-]."""
    return float(property_ratio(T, T_wall, Re))


def rectangle_laminar(aspect: float) -> float:
    """Return f Re of laminar flow in a rectangle [-]."""
    return float(rectangle_constant(aspect))


def coil_laminar_friction(Re: float, d: float) -> float:
    """Return the laminar Darcy friction factor of a round coil [-]."""
    return coil_laminar(Re, d)


def coil_turbulent_friction(Re: float, d: float) -> float:
    """Return the turbulent Darcy friction factor of a smooth coil [-]."""
    return float(coil_turbulent(Re, d))


def tube_friction(Re: float, roughness: float) -> float:
    """Return the Darcy friction factor of a tube [-]."""
    return float(laws.tube_friction(roughness).value(Re))


def coil_transition(d: float) -> float:
    """Return the Reynolds number at which a coil turns turbulent [-]."""
    return critical_reynolds(d)


def curvature(D: float, lead: float) -> float:
    """Return the diameter of curvature of a helix [m]."""
    return helix_curvature(D, lead)


QUANTITIES: dict[str, Callable[..., float]] = {
    "coil average, VDI": coil_vdi,
    "coil average, Mori and Nakayama": coil_of_mori,
    "coil average, Schmidt": coil_of_schmidt,
    "coil average, Xin and Ebadian": coil_of_xin,
    "tube at a friction factor": tube_at_friction,
    "smooth tube coefficient": smooth_tube_coefficient,
    "coil coefficient, VDI": coil_coefficient,
    "annulus, friction": annulus_turbulent_friction,
    "annulus heated inside, Gnielinski": inner_wall_2009,
    "annulus heated inside, nominal factor": inner_wall_middle,
    "short annulus coefficient": short_annulus_coefficient,
    "still gap": still_gap,
    "still tube": still_tube,
    "rectangle, one wall heated": one_wall,
    "gas heating factor": heating_factor,
    "rectangle, laminar friction": rectangle_laminar,
    "coil, laminar friction": coil_laminar_friction,
    "coil, turbulent friction": coil_turbulent_friction,
    "tube friction": tube_friction,
    "coil transition": coil_transition,
    "helix curvature": curvature,
}
