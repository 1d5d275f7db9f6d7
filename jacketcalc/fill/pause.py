"""A pause between two fills: the machine stands still and its walls cool."""

from __future__ import annotations

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.fill.machine_step import MachineStep
from jacketcalc.fill.rule import BEFORE, GAMMA

STEPS = 12
"""Steps of time in a pause; twice as many move no wall by 0.1 K (checked by a test) [-]."""
GROWTH = 1.4
"""Length of a step over that of the one before: cooling slows down [-]."""


def pause_machine(step: MachineStep, state: Array, duration: float, steps: int = STEPS) -> Array:
    """Return walls and contents after a pause.

    Lines keep what they hold, chambers too.

    Parameters
    ----------
    step : the machine
    state : walls and contents before it [SI]
    duration : of the pause [s]
    steps : steps of time [-]
    """
    if duration <= 0.0:
        return state
    shares = GROWTH ** (STEPS / steps * np.arange(steps))
    for length in duration * shares / shares.sum():
        flows: list[Array] = []
        now = state
        for weights in BEFORE:
            base = state.copy()
            for weight, flow in zip(weights, flows, strict=False):
                base += length * weight * flow
            now = step.rest(base, GAMMA * length)
            flows.append((now - base) / (GAMMA * length))
        state = now
    return state
