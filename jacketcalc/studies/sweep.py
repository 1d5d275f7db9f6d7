"""Many designs solved in batches, here or by any executor, with what is done kept on the way."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait

from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import Result, run
from jacketcalc.designs import Design
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress
from jacketcalc.studies.checkpoint import Checkpoint
from jacketcalc.studies.workers import Workers, watched

LARGEST = 256
"""Designs of a batch: more save little and lose more when a study is interrupted [-]."""
WORTH_TWO = 48
"""Designs from which two batches on two cores beat one on one [-]."""
POLL = 0.25
"""Time between looks at what the workers have done [s]."""


def split(count: int) -> list[list[int]]:
    """Share places out to batches.

    The batches depend on nothing but the count, so that a study goes on where it stopped on
    any number of cores. Neighbours, which cost alike, go to different batches.
    """
    batches = max(1, math.ceil(count / LARGEST))
    if count >= WORTH_TWO and batches % 2:
        batches += 1
    return [list(range(first, count, batches)) for first in range(min(batches, count))]


def sweep(
    cases: Sequence[Case | Design],
    executor: Executor | None = None,
    *,
    folder: str = "",
    resolution: Resolution | None = None,
    progress: Progress | None = None,
) -> list[Result]:
    """Solve cases, and return their results in order.

    Parameters
    ----------
    cases : cases or designs, of any layouts
    executor : any `concurrent.futures.Executor`; batches are solved here when None
    folder : where finished batches are kept; a sweep of the same cases goes on from them
    resolution : steps of a stroke; the standard ones when None
    progress : called with the share done, 0 to 1

    Examples
    --------
    On all cores of this machine, and on whatever a dask scheduler has (`jacketcalc[dask]`):

    >>> with Workers() as workers:  # doctest: +SKIP
    ...     results = sweep(cases, workers, folder="kept")
    >>> from distributed import Client  # doctest: +SKIP
    >>> with Client("tcp://127.0.0.1:8786") as client:  # doctest: +SKIP
    ...     results = sweep(cases, client.get_executor(), folder="kept")
    """
    designs = [c if isinstance(c, Design) else Design(machine=c.machine) for c in cases]
    resolution = resolution or Resolution()
    kept = Checkpoint(folder, resolution)
    batches = split(len(designs))
    found: dict[int, list[Result]] = {}
    for number, batch in enumerate(batches):
        done = kept.load([designs[i] for i in batch])
        if done is not None:
            found[number] = done
    todo = {n: [designs[i] for i in b] for n, b in enumerate(batches) if n not in found}
    report = _Report(progress, len(batches), len(found))
    report.within(0.0)

    def keep(number: int, results: list[Result]) -> None:
        kept.save(todo[number], results)
        found[number] = results
        report.finished()

    if executor is None:
        for number, batch_designs in todo.items():
            keep(number, run(batch_designs, resolution=resolution, progress=report.within))
    elif todo:
        _spread(todo, executor, resolution, report, keep)
    ordered: dict[int, Result] = {}
    for number, batch in enumerate(batches):
        ordered.update(zip(batch, found[number], strict=True))
    return [ordered[i] for i in range(len(designs))]


def _spread(
    todo: dict[int, list[Design]],
    executor: Executor,
    resolution: Resolution,
    report: _Report,
    keep: Callable[[int, list[Result]], None],
) -> None:
    """Submit batches and keep each as it arrives."""
    workers = executor if isinstance(executor, Workers) else None
    waiting: dict[Future[list[Result]], int] = {}
    for slot, (number, designs) in enumerate(todo.items()):
        place = None if workers is None else slot % len(workers.shares)
        waiting[executor.submit(solve_batch, designs, resolution, place)] = number
    try:
        while waiting:
            done, _ = wait(waiting, timeout=POLL, return_when=FIRST_COMPLETED)
            for future in done:
                keep(waiting.pop(future), future.result())
            if workers is not None:
                report.among(workers.shares_of(len(waiting)))
    except BaseException:
        for future in waiting:
            future.cancel()
        raise


def solve_batch(
    designs: Sequence[Design], resolution: Resolution, place: int | None = None
) -> list[Result]:
    """Solve one batch in a worker; `place` is where it tells how far it is."""
    return run(designs, resolution=resolution, progress=watched(place))


class _Report:
    """Turns what is known of the batches into one share."""

    def __init__(self, progress: Progress | None, total: int, done: int) -> None:
        self._progress, self._total, self._done = progress, max(total, 1), done
        self._told = 0.0

    def _tell(self, extra: float) -> None:
        self._told = max(self._told, min(1.0, (self._done + extra) / self._total))
        if self._progress is not None:
            self._progress(self._told)

    def finished(self) -> None:
        """Count one more batch."""
        self._done += 1
        self._tell(0.0)

    def within(self, share: float) -> None:
        """Tell how far the batch is that is being solved here."""
        self._tell(share)

    def among(self, shares: float) -> None:
        """Tell the sum of the shares of the batches that workers are solving."""
        self._tell(shares)
