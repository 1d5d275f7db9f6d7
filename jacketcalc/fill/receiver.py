"""The receiver: its air, its wall and what surrounds it, balanced over an implicit step.

    mass     M - M then = length x inflow
    air      U - U then = length x (inflow's enthalpy flow - Q),     Q = h A (T - wall)
    wall     C (wall - wall then) = length x (Q - Q out),     Q out = h out A (wall - around)

The air is mixed and has one temperature; the wall has one too.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from jacketcalc.correlations.cylinder import GRAVITY
from jacketcalc.correlations.outside import cylinder_nusselt, radiation
from jacketcalc.correlations.receiver import bath_coefficient, filling_nusselt
from jacketcalc.errors import ConvergenceError
from jacketcalc.fill.gas import gas_state
from jacketcalc.inputs import Machine, Receiver

SETTLED = 1e-11
"""Relative change of pressure and temperature that ends a search [-]."""
STEPS = 60
"""Steps allowed; 5 to 10 are usual."""


@dataclass(frozen=True, kw_only=True)
class Held:
    """What a receiver holds, and how its heat goes, at one instant."""

    mass: float
    """Air in it [kg]."""
    energy: float
    """Internal energy of that air [J]."""
    wall: float
    """Temperature of its wall [K]."""
    temperature: float
    """Temperature of its air [K]."""
    pressure: float
    """Pressure of its air [Pa]."""
    heat: float
    """Heat from air to wall [W]."""
    heat_out: float
    """Heat from the wall to what surrounds it [W]."""


class Vessel:
    """A receiver with what surrounds it.

    Parameters
    ----------
    receiver : its sizes
    machine : the machine that fills it: inlet bore, surroundings
    """

    def __init__(self, receiver: Receiver, machine: Machine) -> None:
        self.receiver, self.ambient, self.gas = receiver, machine.ambient, machine.gas.name
        last = machine.stages[-1].delivery
        self.inlet_bore = last.port_bore or 0.25 * machine.stages[-1].bore
        self.capacity = receiver.wall_mass * receiver.material.specific_heat
        bathed = receiver.cooled_by == "water bath"
        self.around = receiver.bath_temperature if bathed else machine.ambient.temperature

    def start(self) -> Held:
        """Return the receiver as it stands before a fill, as warm as what surrounds it."""
        density, h = gas_state(self.around, self.receiver.start_pressure, self.gas)[:2]
        mass = density * self.receiver.volume
        energy = mass * h - self.receiver.start_pressure * self.receiver.volume
        return Held(
            mass=float(mass), energy=float(energy), wall=self.around, temperature=self.around,
            pressure=self.receiver.start_pressure, heat=0.0, heat_out=0.0,
        )  # fmt: skip

    def inside(self, T: float, p: float, wall: float, inflow: float) -> float:
        """Return the conductance from air to wall [W/K]."""
        rho, _, rho_T, _, cp, _, mu, k = gas_state(T, p, self.gas)
        film = abs(T - wall)
        size = self.receiver.diameter
        Ra = GRAVITY * -rho_T * rho * film * size**3 * cp / (mu * k)
        Re = 4.0 * max(inflow, 0.0) / (pi * self.inlet_bore * mu)
        return float(filling_nusselt(Re, Ra) * k / size * self.receiver.surface)

    def outside(self, wall: float) -> float:
        """Return the conductance from wall to what surrounds it [W/K]."""
        size = self.receiver.diameter
        if self.receiver.cooled_by == "water bath":
            return bath_coefficient(wall, self.around, size) * self.receiver.surface
        film = 0.5 * (wall + self.around)
        rho, _, _, _, cp, _, mu, k = gas_state(film, self.ambient.pressure)
        grashof = GRAVITY / film * abs(wall - self.around) * size**3 * (rho / mu) ** 2
        natural = cylinder_nusselt(max(float(grashof), 1.0), float(mu * cp / k)) * k / size
        radiant = radiation(self.receiver.material.emissivity, wall, self.around)
        return float((self.ambient.film_factor * natural + radiant) * self.receiver.surface)

    def settle(self, then: Held, length: float, inflow: float, enthalpy: float, near: Held) -> Held:
        """Return the receiver at the end of an implicit step.

        Parameters
        ----------
        then : masses, energy and wall that the step starts from
        length : of the step [s]
        inflow, enthalpy : mass flow [kg/s] and enthalpy flow [W] into it
        near : a state near the one looked for

        Raises
        ------
        ConvergenceError
            When no state fits.
        """
        mass, volume = then.mass + length * inflow, self.receiver.volume
        T, p, wall = near.temperature, near.pressure, near.wall
        for _ in range(STEPS):
            G, out = self.inside(T, p, wall, inflow), self.outside(wall)
            # The wall for a given T, then what one kelvin of T does to both balances.
            stored = self.capacity / length
            bottom = stored + G + out
            wall = (stored * then.wall + G * T + out * self.around) / bottom
            heat = G * (T - wall)
            rho, h, rho_T, rho_p, h_T, h_p = gas_state(T, p, self.gas)[:6]
            short_m = mass - rho * volume
            short_U = then.energy + length * (enthalpy - heat) - (mass * h - p * volume)
            mp, mT = rho_p * volume, rho_T * volume
            Up = mass * h_p - volume
            UT = mass * h_T + length * G * (1.0 - G / bottom)
            det = mp * UT - mT * Up
            dp = (UT * short_m - mT * short_U) / det
            dT = (mp * short_U - Up * short_m) / det
            p, T = float(p + max(dp, -0.5 * p)), float(T + min(max(dT, -0.3 * T), 0.3 * T))
            if abs(dp) < SETTLED * p and abs(dT) < SETTLED * T:
                return Held(
                    mass=mass, energy=then.energy + length * (enthalpy - heat), wall=wall,
                    temperature=T, pressure=p, heat=heat, heat_out=out * (wall - self.around),
                )  # fmt: skip
        raise ConvergenceError("the receiver's balance did not settle")

    def settled_pressure(self, held: Held) -> float:
        """Return the pressure once air and wall are as warm as what surrounds them [Pa].

        Raises
        ------
        ConvergenceError
            When none was found.
        """
        T, p = self.around, held.pressure * self.around / held.temperature
        for _ in range(STEPS):
            rho, _, _, rho_p = gas_state(T, p, self.gas)[:4]
            change = float((held.mass / self.receiver.volume - rho) / rho_p)
            p += change
            if abs(change) < SETTLED * p:
                return float(p)
        raise ConvergenceError("the receiver's pressure at rest was not found")
