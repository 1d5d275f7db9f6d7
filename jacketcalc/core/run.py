"""Machines in, results out: each solved by the core, side by side on all cores."""

from __future__ import annotations

import os
import queue
import threading
from collections.abc import Callable, Generator, Sequence
from contextlib import closing
from typing import Any

import numpy as np

from jacketcalc.core.gas import core_air
from jacketcalc.core.layout import blank, constants
from jacketcalc.core.library import library
from jacketcalc.core.machine import pack_machine
from jacketcalc.core.profiles import read_detail
from jacketcalc.core.read_outcome import read_outcome
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.solution import Solution
from jacketcalc.core.solved import Result
from jacketcalc.core.water_tracks import read_tracks
from jacketcalc.designs import Design
from jacketcalc.errors import RangeError
from jacketcalc.inputs import Machine
from jacketcalc.progress import Progress

POLL = 0.1
"""Time between looks for an interrupt while the core works [s]."""
NO_STEADY_CYCLE = "no steady cycle was found"
_WORDS = {
    "STOPS_AND_GOES": (
        "the piston all but stops within its stroke and goes on when pressure has built up; "
        f"{NO_STEADY_CYCLE}"
    ),
    "BROKEN": "the strokes broke down: a state left the property range",
    "ROUGH_STEP": "a step of a stroke did not settle",
    "UNBALANCED": "the energy that enters and leaves the machine does not balance",
}
_UNKNOWNS = (
    "mass", "energy", "inner barrel surface", "outer barrel surface", "head", "crown",
    "drive wall", "tube or shell", "port temperature", "period", "wait", "line wall",
)  # fmt: skip
"""Groups of unknowns in the order in which solve.c visits them."""

_own = threading.local()


def solve(design: Design, resolution: Resolution | None = None, stop: Any = None) -> Solution:
    """Solve one machine.

    Parameters
    ----------
    design : the machine, with the switches a question sets
    resolution : how finely; the standard one when None
    stop : array of one int32; another thread that sets it ends the solution
    """
    return solve_packed(design.machine, pack_machine(design), resolution, stop)


def solve_packed(
    machine: Machine, record: Any, resolution: Resolution | None = None, stop: Any = None
) -> Solution:
    """Solve a machine that is packed already; the other parameters are those of `solve`.

    Raises
    ------
    RangeError
        When the machine has more parts than the core has space for.
    """
    steps, found = (resolution or Resolution()).packed(), blank("Solution")
    # Held by name: of two threads that make the table at once, one has it for itself alone.
    space, table = _workspace(), core_air()
    ended = library().core_solve(
        record.ctypes.data, table.address, steps.ctypes.data,
        None if stop is None else stop.ctypes.data,
        space.ctypes.data, space.nbytes, found.ctypes.data,
    )  # fmt: skip
    if ended < 0:
        raise RangeError(
            "the machine has more stages, ports or volumes than the core has space for"
        )
    return Solution(machine, record, found, steps)


def run(
    designs: Sequence[Design],
    *,
    resolution: Resolution | None = None,
    details: bool = False,
    progress: Progress | None = None,
    threads: int | None = None,
) -> list[Result]:
    """Solve designs and return their results in order.

    Parameters
    ----------
    designs, resolution, details, threads : as in `run_each`
    progress : called with the share done, 0 to 1
    """
    results: dict[int, Result] = {}
    with closing(
        run_each(designs, resolution=resolution, details=details, threads=threads)
    ) as coming:
        for place, result in coming:
            results[place] = result
            if progress is not None:
                progress(len(results) / len(designs))
    return [results[place] for place in range(len(designs))]


def run_each(
    designs: Sequence[Design],
    *,
    resolution: Resolution | None = None,
    details: bool = False,
    threads: int | None = None,
) -> Generator[tuple[int, Result]]:
    """Solve designs and yield the place and result of each as it comes.

    Closing the generator ends the solutions that are under way.

    Parameters
    ----------
    designs : designs, of any layouts
    resolution : how finely; the standard one when None
    details : keep profiles and diagrams
    threads : machines solved at once; as many as there are cores when None
    """
    core_air()  # made once, before threads ask for it
    stop = np.zeros(1, dtype=np.int32)

    def one(place: int) -> Result:
        return read_result(solve(designs[place], resolution, stop), details)

    return _spread(one, len(designs), threads or os.cpu_count() or 1, stop)


def read_result(solution: Solution, details: bool = False) -> Result:
    """Read what became of a solution, with profiles where they are asked for."""
    return Result(
        outcome=read_outcome(solution),
        failure=_failure(solution),
        detail=read_detail(solution) if details else None,
        tracks=read_tracks(solution) if details else None,
    )


def _failure(solution: Solution) -> str:
    """Say what did not settle; nothing where all did."""
    names = {code: name for name, code in constants().items() if name in _WORDS}
    found = solution.found
    ended = int(found["ended"])
    if ended == constants()["NOT_SETTLED"]:
        name = _UNKNOWNS[int(found["worst"])]
        return f"{name} still changes by {found['residual']:.1e} of its scale an iteration"
    if ended == constants()["STOPS_AND_GOES"] and solution.turns:
        times = "once" if solution.turns == 1 else f"{solution.turns} times"
        return f"the piston turns back {times} within its stroke; {NO_STEADY_CYCLE}"
    return _WORDS[names[ended]] if ended in names else ""


def _spread(
    work: Callable[[int], Result], count: int, threads: int, stop: Any
) -> Generator[tuple[int, Result]]:
    """Do all work on threads, and yield what is done as it comes; an interrupt ends them."""
    todo, lock = iter(range(count)), threading.Lock()
    done: queue.SimpleQueue[tuple[int, Result | BaseException]] = queue.SimpleQueue()

    def labour() -> None:
        while not stop[0]:
            with lock:
                place = next(todo, None)
            if place is None:
                return
            try:
                done.put((place, work(place)))
            except BaseException as error:
                done.put((place, error))
                return

    labourers = [threading.Thread(target=labour, daemon=True) for _ in range(min(threads, count))]
    for labourer in labourers:
        labourer.start()
    try:
        for _ in range(count):
            place, found = _next(done)
            if isinstance(found, BaseException):
                raise found
            yield place, found
    finally:
        stop[0] = 1
        for labourer in labourers:
            labourer.join()


def _next(done: Any) -> tuple[int, Result | BaseException]:
    """Wait for the next piece, in slices short enough for an interrupt."""
    while True:
        try:
            return done.get(timeout=POLL)  # type: ignore[no-any-return]
        except queue.Empty:
            continue


def _workspace() -> Any:
    """Return this thread's own work space."""
    if not hasattr(_own, "space"):
        _own.space = np.zeros(library().core_workspace(), dtype=np.uint8)
    return _own.space
