"""The peak of back-pressure, from the opening of each stroke run once more in finer steps.

While the piston picks up speed the exhaust peaks within milliseconds, a few steps of its
travel. Nothing else of the cycle needs that resolution, and nothing else is taken from here.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jacketcalc.components.chambers import Layout
from jacketcalc.components.designs import take
from jacketcalc.coupling.finished import Solved
from jacketcalc.coupling.iteration import Iteration
from jacketcalc.coupling.outcome import Outcome


def opening_peaks(solved: Solved) -> dict[int, tuple[float, ...]]:
    """Return the highest back-pressure of the nodes of every design that runs [Pa]."""
    index = np.flatnonzero(solved.sound)
    if not index.size:
        return {}
    network = take(solved.network, index)
    with np.errstate(all="ignore"):
        iteration = Iteration(network, solved.air, solved.resolution)
        last, reversal = take(solved.last, index), take(solved.reversal, index)
        iteration.left_over.warm = take(solved.warm, index)
        early = iteration.opening(last, reversal, solved.seconds[..., index])
    room = np.asarray(network.machine.room.pressure)
    peaks = np.maximum(early, solved.later[:, index]) - room
    return {int(i): tuple(map(float, peaks[:, b])) for b, i in enumerate(index)}


def with_peaks(outcome: Outcome, peaks: tuple[float, ...], layout: Layout) -> Outcome:
    """Return the outcome with the back-pressure peaks of its nodes replaced."""
    stages = list(outcome.stages)
    for peak, stage in zip(peaks, layout.node_stage, strict=True):
        jacket = stages[stage].jacket if stage >= 0 else None
        if jacket is not None:
            jacket = replace(jacket, back_pressure_peak=peak)
            stages[stage] = replace(stages[stage], jacket=jacket)
    return replace(outcome, back_pressure_peak=peaks, stages=tuple(stages))
