"""Published laws written out once more, one number at a time.

Nothing of the package is used. Where ht or fluids has a law its scalar function is called;
the others are written from the sources named beside them. Units are SI.
"""

from __future__ import annotations

import math
import os
from typing import Any

os.environ.setdefault("COOLPROP_DISABLE_SUPERANCILLARIES_ENTIRELY", "1")

import CoolProp
import fluids
import ht

GRAVITY = 9.80665
SIGMA = 5.670374419e-8


class Gas:
    """Air straight from CoolProp's equation of state."""

    def __init__(self) -> None:
        self.state: Any = CoolProp.AbstractState("HEOS", "Air")

    def at(self, T: float, p: float) -> Any:
        """Return the state at temperature [K] and pressure [Pa]."""
        self.state.update(CoolProp.PT_INPUTS, p, T)
        return self.state

    def dense(self, rho: float, T: float) -> Any:
        """Return the state at density [kg/m3] and temperature [K]."""
        self.state.update(CoolProp.DmassT_INPUTS, rho, T)
        return self.state

    def enthalpy(self, T: float, p: float) -> float:
        """Return the specific enthalpy [J/kg]."""
        return float(self.at(T, p).hmass())

    def temperature(self, h: float, p: float, near: float = 300.0) -> float:
        """Return the temperature at an enthalpy [J/kg] and a pressure [Pa]."""
        T = near
        for _ in range(50):
            s = self.at(T, p)
            step = (h - s.hmass()) / s.cpmass()
            T += step
            if abs(step) < 1e-9:
                return float(T)
        raise ArithmeticError("no temperature at that enthalpy")


def iso_flow(C: float, b: float, up: float, down: float, T: float, opening: float = 0.0) -> float:
    """Mass flow after ISO 6358-1 [kg/s], linear over the last 0.5 % of pressure.

    The opening pressure of a check valve is taken off the upstream pressure, and the
    critical ratio is kept at 0.9 of what is left.
    """
    left = up - opening
    if left <= down:
        return 0.0
    critical = min(b * up, 0.9 * left)

    def share(pressure: float) -> float:
        gone = (pressure - critical) / (left - critical)
        return math.sqrt(1.0 - gone * gone) if gone > 0.0 else 1.0

    edge = 0.995 * left
    part = share(min(down, edge))
    if down > edge:
        part *= (left - down) / (left - edge)
    return C * 1.185 * math.sqrt(293.15 / T) * up * part


def smooth(x: float) -> float:
    """Cubic passage from 0 to 1."""
    x = min(max(x, 0.0), 1.0)
    return x * x * (3.0 - 2.0 * x)


def tube_friction(Re: float, rough: float) -> float:
    """Darcy friction factor of a round tube: 64/Re, Haaland 1983, smooth from 2300 to 4000."""
    Re = max(Re, 1.0)
    slow, fast = 64.0 / Re, fluids.friction.Haaland(max(Re, 1000.0), rough)
    return float(slow + smooth((Re - 2300.0) / 1700.0) * (fast - slow))


def near_entry(slenderness: float) -> float:
    """Mean turbulent Nusselt number of a duct of so many diameters over that of a long one.

    VDI Heat Atlas, Ga eq. 26, integrated from its local form: 1 + (1/3) (x/D)^(-2/3).
    """
    n = max(slenderness, 1.0)
    return 1.0 + n ** (1.0 / 3.0) / n


def tube_nusselt(Re: float, Pr: float, slenderness: float) -> float:
    """Nusselt number of a round tube: 3.66, Gnielinski 1976, smooth from 2300 to 4000."""
    flow = max(Re, 2300.0)
    fast = near_entry(slenderness) * ht.turbulent_Gnielinski(
        flow, Pr, fluids.friction.Haaland(flow, 0.0)
    )
    return float(3.66 + smooth((Re - 2300.0) / 1700.0) * (fast - 3.66))


def channel_friction(Re: float, Dh: float, Dc: float, aspect: float, rough: float) -> float:
    """Darcy friction factor of the helical channel.

    Laminar: rectangle (Shah and London 1978) x White 1929. Turbulent: Ito in the VDI Heat
    Atlas form x rough over smooth (Haaland). Smooth in ln Re over a factor of two from
    Schmidt's critical Reynolds number.
    """
    Re = max(Re, 1.0)
    a = min(aspect, 1.0 / aspect)
    series = (1.0, -1.3553, 1.9467, -1.7012, 0.9564, -0.2537)
    rectangle = 96.0 * sum(c * a**i for i, c in enumerate(series))
    slow = rectangle / 64.0 * fluids.friction.helical_laminar_fd_White(Re, Dh, Dc)
    flow = max(Re, 1000.0)
    fast = 0.3164 / flow**0.25 + 0.03 * math.sqrt(Dh / Dc)
    haaland = fluids.friction.Haaland
    fast *= haaland(flow, rough) / haaland(flow, 0.0)
    critical = fluids.friction.helical_transition_Re_Schmidt(Dh, Dc)
    return float(slow + smooth(math.log(Re / critical) / math.log(2.0)) * (fast - slow))


def one_wall_laminar(aspect: float) -> float:
    """Nusselt number of a straight rectangle with one wall heated (the project's own fit)."""
    if aspect <= 1.0:
        series = (1.0, -1.1930, 1.5626, -1.4715, 0.7509, -0.1501)
        return 5.3846 * sum(c * aspect**i for i, c in enumerate(series))
    series = (0.0, 5.9949, -7.7320, 8.8992, -6.5439, 2.06818)
    return sum(c / aspect**i for i, c in enumerate(series))


def annulus_nusselt(Re: float, Pr: float, ratio: float) -> float:
    """Nusselt number of turbulent flow in an annulus (Gnielinski 2009), no wall factor.

    `ht` has the form of 1976, which is 0.5 to 1.2 % below above a Reynolds number of 10 000.
    """
    flow, a = max(Re, 1000.0), min(ratio, 0.999)
    star = ((1 + a * a) * math.log(a) + (1 - a * a)) / ((1 - a) ** 2 * math.log(a)) * flow
    f = (1.8 * math.log10(star) - 1.5) ** -2
    k1 = 1.07 + 900.0 / flow - 0.63 / (1.0 + 10.0 * Pr)
    return float(f / 8 * flow * Pr / (k1 + 12.7 * math.sqrt(f / 8) * (Pr ** (2 / 3) - 1.0)))


def channel_nusselt(
    Re: float, Pr: float, Dh: float, Dc: float, aspect: float, ratio: float, slenderness: float
) -> float:
    """Nusselt number of the inner wall, closure `nominal`.

    Annulus of Gnielinski 2009 x the mean of 0.75 a^-0.17 (Gnielinski) and 0.86 a^-0.16
    (Petukhov and Roizen 1964) x 0.85 for the convex wall x the entry's factor; laminar
    1.37 De^0.315.
    """
    Re = max(Re, 1.0)
    floor = one_wall_laminar(aspect)
    curved = 1.37 * (Re * math.sqrt(Dh / Dc)) ** 0.315
    if aspect > 1.0:
        curved *= floor / one_wall_laminar(1.0)
    factor = near_entry(slenderness) * 0.85 * 0.5 * (0.75 * ratio**-0.17 + 0.86 * ratio**-0.16)
    return max(floor, curved, annulus_nusselt(Re, Pr, ratio) * factor)


def heated_gas(Tb: float, Tw: float, Re: float) -> float:
    """Gas-property factor (Tb/Tw)^0.45, coming in between Re 2300 and 10 000."""
    if Tb >= Tw:
        return 1.0
    share = smooth(math.log(max(Re, 1.0) / 2300.0) / math.log(10000.0 / 2300.0))
    return float((Tb / Tw) ** (0.45 * share))


def fin(h: float, k: float, thickness: float, height: float) -> float:
    """Efficiency of a straight fin with an adiabatic tip."""
    slender = max(height * math.sqrt(2.0 * h / (k * thickness)), 1e-6)
    return math.tanh(slender) / slender


def ambient_coefficient(
    gas: Gas, diameter: float, emissivity: float, surface: float, ambient: float, p: float
) -> float:
    """Churchill and Chu 1975 for a horizontal cylinder, plus radiation [W/(m2 K)]."""
    apart = surface - ambient
    if abs(apart) < 0.5:
        apart = 0.5
    s = gas.at(ambient + apart / 2, p)
    rho, mu, k, cp = s.rhomass(), s.viscosity(), s.conductivity(), s.cpmass()
    film = ambient + apart / 2
    Gr = GRAVITY * abs(apart) / film * diameter**3 * (rho / mu) ** 2
    free = ht.Nu_horizontal_cylinder_Churchill_Chu(mu * cp / k, Gr) * k / diameter
    radiant = emissivity * SIGMA * (surface**2 + ambient**2) * (surface + ambient)
    return float(free + radiant)


def stage_law(
    rho: float,
    cp: float,
    mu: float,
    k: float,
    *,
    T: float,
    wall: float,
    volume: float,
    area: float,
    bore: float,
    omega: float,
    mean_speed: float,
    speed: float,
    inflow: float,
    mixing: float,
) -> tuple[float, float]:
    """Coefficient [W/(m2 K)] and lag [J/K] of the gas in a stage.

    Kornhauser and Smith 1994 with still-air convection (0.13 Ra^1/3) in cubes, the suction
    jet of Disconzi et al. 2012 by a mixing factor, and the phase term as heat per change
    of gas temperature: q = h A (T - wall) + lag dT/dt.
    """
    D = 4.0 * volume / area
    Pe = omega * D * D / (4.0 * k / (rho * cp))
    real = max(0.56 * Pe**0.69, 8.0)
    quick, slow = 0.56 * Pe**0.69, Pe / 5.0
    imaginary = slow / (1.0 + (slow / quick) ** 8) ** 0.125
    Ra = GRAVITY * abs(T - wall) / T * (rho / mu) ** 2 * (mu * cp / k)
    still = ((real * k / D) ** 3 + (0.13 * k * Ra ** (1 / 3)) ** 3) ** (1 / 3)
    piston = math.pi / 4 * bore**2
    drawn = inflow / (rho * piston)
    shut = 1.0 / (1.0 + (drawn / mean_speed / 0.1) ** 2)
    own = max(abs(speed), 0.2 * mean_speed)
    jet_speed = own + own**-0.4 * drawn**1.4
    jet = 0.08 * k / bore * (rho * jet_speed * bore / mu) ** 0.9 * (mu * cp / k) ** 0.6
    h = still + mixing * (1.0 - shut) * max(jet - still, 0.0)
    return h, shut * imaginary * k * area / (D * omega)


def drive_coefficient(mean_speed: float, p: float, T: float) -> float:
    """Eichelberg 1939 [W/(m2 K)]."""
    return 2.43 * mean_speed ** (1 / 3) * math.sqrt(p / 1e5 * T)
