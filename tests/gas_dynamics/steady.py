"""The steady limit of the resolved passage against the package's march."""

from __future__ import annotations

import numpy as np

from .channel import COURANT, Channel
from .ends import Volume
from .euler import Gas
from .pulse import Pulse
from .quasi_steady import Steady

STATES = ((1.85e5, 290.0), (1.2e5, 250.0))
"""Pressure [Pa] and temperature [K] at the port: early and late in a pulse."""
LONG_ENOUGH = 0.15
"""Time after which nothing moves [s]."""


def settle(channel: Channel, p: float, T: float, duration: float = LONG_ENOUGH) -> None:
    """Run a passage behind an endless volume at pressure p and temperature T."""
    t = 0.0
    while t < duration:
        dt = channel.ducts.longest_step(channel.W, COURANT)
        channel.step(dt, Volume(p, T, 0.0, 0.0))
        t += dt


def compare_steady(pulse: Pulse, gas: Gas, dx: float) -> dict[str, dict[str, float]]:
    """Flow found behind a steady port, and the package's march with that flow."""
    out = {}
    for p, T in STATES:
        channel = Channel(gas, pulse.around, dx)
        settle(channel, p, T)
        flow = np.array([channel.inflow[0]])
        ideal, real = Steady(pulse, gas), Steady(pulse, None)
        one, two = ideal.march(flow, np.array([T])), real.march(flow, np.array([T]))
        out[f"{p / 1e5:g} bar"] = {
            "flow": float(flow[0]),
            "pressure": p,
            "pressure, march": float(one["port_pressure"][0]),
            "pressure, march with real air": float(two["port_pressure"][0]),
            "heat": channel.taken,
            "heat, march": float(ideal.barrel_heat(one)[0]),
            "heat, march with real air": float(real.barrel_heat(two)[0]),
        }
    return out
