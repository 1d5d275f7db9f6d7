"""The fill with jackets beside the same one without."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from jacketcalc.assessment.as_it_is import has_jackets
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.core.resolution import Resolution
from jacketcalc.designs import Design
from jacketcalc.errors import CaseError, ConvergenceError, Problem
from jacketcalc.fill.machine_step import MachineStep
from jacketcalc.fill.march import TOLERANCE, Marcher
from jacketcalc.fill.receiver import Vessel
from jacketcalc.fill.result import Fill, FillComparison, read_fill
from jacketcalc.fill.side_by_side import Told, run_side_by_side
from jacketcalc.inputs import Case, Machine, Receiver
from jacketcalc.progress import Progress

PLACES = 2000
"""Places in time at which both machines' inflows are compared [-]."""
SHORT = 0.01
"""Share of the time that a machine rests, or of its pressure that the supply sags, from which air
counts as short [-]."""


def require_receiver(case: Case) -> Receiver:
    """Return the receiver that a case fills.

    Raises
    ------
    CaseError
        When the case does not state its volume.
    """
    if case.machine.receiver is not None:
        return case.machine.receiver
    problem = Problem(
        name="receiver-volume-missing",
        message="the receiver has no volume, so there is nothing to fill",
        path="receiver.volume",
        file=case.file,
        why="how long a fill takes follows from what the receiver holds",
        fix='add volume = "50 L" to [receiver], with the volume of yours',
    )
    raise CaseError([problem])


def machines_to_fill(case: Case) -> tuple[Machine, ...]:
    """Return the machine without jackets and, where it has some, the one with them."""
    if not has_jackets(case.machine):
        return (case.machine,)
    return bare_machine(case.machine, case.judgement.no_jackets), case.machine


def compare_fills(
    case: Case,
    target: float | None = None,
    *,
    resolution: Resolution | None = None,
    tolerance: float = TOLERANCE,
    progress: Progress | None = None,
) -> FillComparison:
    """Fill the case's receiver from cold, without jackets and with them.

    Parameters
    ----------
    case : the case
    target : receiver pressure at the end; that of the case when None [Pa]
    resolution : how finely the machines are solved; the standard one when None
    tolerance : error let into each step of time [-]
    progress : called with the share done

    Raises
    ------
    CaseError
        When the case has no receiver to fill.
    """
    receiver, machine = require_receiver(case), case.machine
    end = machine.receiver_pressure if target is None else target
    steps, stop = resolution or Resolution(), np.zeros(1, dtype=np.int32)
    works = [
        _work(one, receiver, end, steps, tolerance, stop) for one in machines_to_fill(case)
    ]  # fmt: skip
    fills = run_side_by_side(works, stop, progress)
    jacketed = fills[1] if len(fills) > 1 else None
    return FillComparison(
        case=case,
        receiver=receiver,
        target=end,
        no_jackets=fills[0],
        with_jackets=jacketed,
        helped=0.0 if jacketed is None else helped_share(fills[0], jacketed),
        air_is_short=any(is_short(fill, machine) for fill in fills),
    )


def is_short(fill: Fill, machine: Machine) -> bool:
    """Return whether the compressor's capacity limits a fill."""
    sagged = 1.0 - fill.lowest_supply / machine.supply.pressure
    return max(fill.rest_share, sagged) > SHORT


def helped_share(bare: Fill, jacketed: Fill) -> float:
    """Return the share of a fill in which jackets filled faster, at the same contents [-]."""
    with_, without = jacketed.course, bare.course
    time = np.linspace(with_.time[0], with_.time[-1], PLACES)
    mass = np.interp(time, with_.time, with_.mass)
    own = np.interp(time, with_.time, with_.delivery)
    other = np.interp(mass, without.mass, without.delivery)
    return float(np.mean(own > other))


def _work(
    machine: Machine, receiver: Receiver, target: float, steps: Resolution, tolerance: float,
    stop: Any,
) -> Callable[[Told], Fill]:  # fmt: skip
    """Return what fills one machine's receiver, and tells its share done on the way."""

    def work(told: Told) -> Fill:
        step, vessel = MachineStep(Design(machine=machine), steps, stop), Vessel(receiver, machine)
        held = vessel.start()
        marcher = Marcher(step, vessel, tolerance, told)
        run = marcher.run(target, step.begin(held.pressure), held)
        if not run.instants:
            raise ConvergenceError("no cycle of the machine was found at the start of the fill")
        return read_fill(run, machine, vessel)

    return work
