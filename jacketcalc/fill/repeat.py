"""Fills back to back, with pauses, until they repeat: the first from cold beside a later one.

Each fill takes another receiver, as cold as what surrounds it; the machine keeps the heat of its
walls and cools in the pause.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from jacketcalc.core.resolution import Resolution
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError
from jacketcalc.fill.compare import machines_to_fill, require_receiver
from jacketcalc.fill.machine_step import MachineStep
from jacketcalc.fill.march import TOLERANCE, Marcher
from jacketcalc.fill.pause import pause_machine
from jacketcalc.fill.receiver import Vessel
from jacketcalc.fill.repeated import FILLS, SAME_TEMPERATURE, SAME_TIME, RepeatedFills, Series
from jacketcalc.fill.result import Fill, read_fill
from jacketcalc.fill.side_by_side import Told, run_side_by_side
from jacketcalc.inputs import Case, Machine
from jacketcalc.progress import Progress


def repeat_fills(
    case: Case,
    target: float | None = None,
    *,
    pause: float,
    count: int = FILLS,
    resolution: Resolution | None = None,
    tolerance: float = TOLERANCE,
    progress: Progress | None = None,
) -> RepeatedFills:
    """Fill one receiver after the other, without jackets and with them.

    Parameters
    ----------
    case : the case
    target : receiver pressure at the end; that of the case when None [Pa]
    pause : between two fills [s]
    count : fills at most [-]
    resolution, progress : as in `compare_fills`
    tolerance : error let into each step of time [-]
    """
    receiver, stop = require_receiver(case), np.zeros(1, dtype=np.int32)
    end = case.machine.receiver_pressure if target is None else target

    def work(machine: Machine) -> Callable[[Told], Series]:
        def fill(told: Told) -> Series:
            step = MachineStep(Design(machine=machine), resolution or Resolution(), stop)
            return _series(step, Vessel(receiver, machine), end, pause, count, tolerance, told)

        return fill

    works = [work(machine) for machine in machines_to_fill(case)]
    series = run_side_by_side(works, stop, progress)
    return RepeatedFills(
        case=case, target=end, pause=pause, count=count, no_jackets=series[0],
        with_jackets=series[1] if len(series) > 1 else None,
    )  # fmt: skip


def _series(
    step: MachineStep, vessel: Vessel, target: float, pause: float, count: int, tolerance: float,
    told: Told,
) -> Series:  # fmt: skip
    fills: list[Fill] = []
    held = vessel.start()
    state = step.begin(held.pressure)
    for place in range(count):
        if place:
            state = step.begin_again(pause_machine(step, state, pause), held.pressure)
        run = Marcher(step, vessel, tolerance).run(target, state, held)
        if not run.instants:
            raise ConvergenceError("no cycle of the machine was found at the start of a fill")
        state = run.state
        fills.append(read_fill(run, step.machine, vessel))
        told((place + 1) / count)
        if place and _alike(*fills[-2:]):
            return Series(fills=tuple(fills), repeats=True)
    return Series(fills=tuple(fills), repeats=False)


def _alike(one: Fill, other: Fill) -> bool:
    """Whether two fills are the same for all that is told of them."""
    hot = (
        (one.hottest_discharge, other.hottest_discharge),
        (one.hottest_seal, other.hottest_seal),
    )
    return (
        one.ended == other.ended
        and abs(one.time - other.time) <= SAME_TIME * other.time
        and all(abs(a.temperature - b.temperature) <= SAME_TEMPERATURE for a, b in hot)
    )
