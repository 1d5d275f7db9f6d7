"""The drive chamber behind the valve, the same for both treatments of the passage.

A stretched pulse belongs to a chamber as many times larger, whose piston takes as many times
longer, behind the same valve: but for what the passage does, flow and temperature then follow
the same course in stretched time, with the same peak.
"""

from __future__ import annotations

import math

import numpy as np
from scipy.interpolate import PchipInterpolator

from jacketcalc.flow.iso6358 import LINEAR_ZONE, REFERENCE_DENSITY, REFERENCE_TEMPERATURE

from .euler import Gas
from .pulse import Chamber

POINTS = 20_000
"""Points of the table that volume and conductance are read from."""


class Drive:
    """Contents of the chamber, and what it sends through the valve.

    Parameters
    ----------
    chamber : as the machine has it
    gas : ideal gas
    stretch : pulse length over the machine's [-]
    opening : time the valve takes to open, evenly; the package's opens at once [s]
    """

    def __init__(self, chamber: Chamber, gas: Gas, stretch: float, opening: float = 0.0) -> None:
        self.gas, self.wall, self.opening = gas, chamber.wall, max(opening, 1e-9)
        self.cv = gas.cp / gas.gamma
        end = float(chamber.time[-1])
        self.end, self.period = stretch * end, stretch * (end + chamber.closed)
        course = PchipInterpolator(chamber.time, chamber.volume)
        t = np.linspace(0.0, end, POINTS + 1)
        self.volume = (stretch * course(t)).tolist()
        self.growth = course.derivative()(t).tolist()
        self.conductance = np.interp(t, chamber.time, chamber.conductance).tolist()
        self.scale = REFERENCE_DENSITY * math.sqrt(REFERENCE_TEMPERATURE) * chamber.valve.sonic
        self.b = chamber.valve.critical_back_pressure_ratio
        p, T = chamber.start
        self.m0 = p * self.volume[0] / (gas.R * T)
        self.U0 = self.m0 * self.cv * T
        self.refill()

    def refill(self) -> None:
        """Fill the chamber as it stands when the valve reverses."""
        self.m, self.U, self.work = self.m0, self.U0, 0.0

    def pressure(self, t: float, m: float, U: float) -> float:
        """Pressure of the chamber with contents m [kg], U [J] at a time of the pulse [Pa]."""
        return U * self.gas.R / (self.cv * self.volume[min(int(t / self.end * POINTS), POINTS)])

    def valve(self, p_up: float, p_down: float, T_up: float) -> float:
        """Flow through the valve by ISO 6358-1, written for single numbers [kg/s]."""
        span = p_up * (1.0 - self.b)
        opened = min(max(p_up - p_down, 0.0) / span, 1.0)
        kept = max(opened, LINEAR_ZONE / (1.0 - self.b))
        return self.scale * p_up * opened * math.sqrt((2.0 / kept - 1.0) / T_up)

    def rates(self, t: float, m: float, U: float, p: float, T: float) -> tuple[float, float, float]:
        """Flow into the node, its enthalpy, and the change of the chamber's energy.

        Parameters
        ----------
        t : time from the reversal [s]
        m, U : contents of the chamber [kg, J]
        p, T : of the node [Pa, K]

        Returns
        -------
        Mass flow [kg/s], enthalpy flow [W], dU/dt of the chamber [W].
        """
        if t >= self.end:
            return 0.0, 0.0, 0.0
        k = int(t / self.end * POINTS)
        own_T = U / (m * self.cv)
        own_p = m * self.gas.R * own_T / self.volume[k]
        opened = min(t / self.opening, 1.0)
        w = opened * (self.valve(own_p, p, own_T) - self.valve(p, own_p, T))
        H = w * self.gas.cp * (own_T if w >= 0.0 else T)
        taken = self.conductance[k] * (self.wall - own_T)
        return w, H, taken - H - own_p * self.growth[k]

    def advance(self, t: float, dt: float, p: float, T: float) -> tuple[float, float]:
        """Advance the chamber by one step; return flow [kg/s] and enthalpy flow [W]."""
        w, H, change = self.rates(t, self.m, self.U, p, T)
        if t < self.end:
            grown = self.growth[int(t / self.end * POINTS)]
            self.work -= self.pressure(t, self.m, self.U) * grown * dt
        self.m -= w * dt
        self.U += change * dt
        return w, H
