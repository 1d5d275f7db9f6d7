"""The fill with jackets beside the same one without, side by side on two threads."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import numpy as np

from jacketcalc.assessment.variants import bare_machine, require_jacket
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import POLL
from jacketcalc.designs import Design
from jacketcalc.errors import CaseError, ConvergenceError, JacketcalcError, Problem
from jacketcalc.fill.machine_step import MachineStep
from jacketcalc.fill.march import TOLERANCE, Marcher
from jacketcalc.fill.receiver import Vessel
from jacketcalc.fill.result import Fill, FillComparison, read_fill
from jacketcalc.inputs import Case, Machine, Receiver
from jacketcalc.progress import Progress, Tally

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
        When the case has no receiver to fill, or no jacket.
    """
    receiver, machine = require_receiver(case), case.machine
    require_jacket(case)
    end = machine.receiver_pressure if target is None else target
    machines = (bare_machine(machine, case.judgement.no_jackets), machine)
    steps = resolution or Resolution()
    stop = np.zeros(1, dtype=np.int32)
    works = [_work(one, receiver, end, steps, tolerance, stop) for one in machines]
    fills = run_side_by_side(works, stop, progress)
    return FillComparison(
        case=case, receiver=receiver, target=end, no_jackets=fills[0], with_jackets=fills[1],
        helped=helped_share(*fills),
        air_is_short=any(is_short(fill, machine) for fill in fills),
    )  # fmt: skip


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


Told = Callable[[float], None]
Work = Callable[[Told], Fill]


def _work(
    machine: Machine, receiver: Receiver, target: float, steps: Resolution, tolerance: float,
    stop: Any,
) -> Work:  # fmt: skip
    """Return what fills one machine's receiver, and tells its share done on the way."""

    def work(told: Told) -> Fill:
        step, vessel = MachineStep(Design(machine=machine), steps, stop), Vessel(receiver, machine)
        held = vessel.start()
        fed = machine.feed(machine.stages[0]).pressure
        state = step.begin(held.pressure, machine.ambient.temperature, fed)
        marcher = Marcher(step, vessel, tolerance, told)
        run = marcher.run(target, state, held)
        if not run.instants:
            raise ConvergenceError("no cycle of the machine was found at the start of the fill")
        return read_fill(run, machine, vessel)

    return work


def run_side_by_side(works: list[Work], stop: Any, progress: Progress | None = None) -> list[Fill]:
    """Do works on threads of their own and return what they give; an interrupt ends all."""
    shares = [0.0] * len(works)
    found: dict[int, Fill] = {}
    faults: list[BaseException] = []
    tell = Tally(progress, len(works)).part(len(works))

    def labour(place: int) -> None:
        def told(share: float) -> None:
            shares[place] = share

        try:
            found[place] = works[place](told)
        except BaseException as fault:
            faults.append(fault)
            stop[0] = 1

    threads = [threading.Thread(target=labour, args=(k,), daemon=True) for k in range(len(works))]
    for thread in threads:
        thread.start()
    try:
        while any(thread.is_alive() for thread in threads):
            threads[0].join(POLL)
            tell(sum(shares) / len(shares))
    finally:
        stop[0] = 1 if any(thread.is_alive() for thread in threads) else stop[0]
        for thread in threads:
            thread.join()
    if faults:
        own = [fault for fault in faults if isinstance(fault, JacketcalcError)]
        raise (own or faults)[0]
    return [found[place] for place in range(len(works))]
