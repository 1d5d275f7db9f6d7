"""Many designs solved here on threads, or by any executor, with what is done kept on the way."""

from __future__ import annotations

import math
from collections.abc import Generator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from contextlib import closing
from itertools import pairwise

from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import run, run_each
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress
from jacketcalc.studies.checkpoint import Checkpoint

BATCH = 16
"""Designs that are kept together: half a second's work, all that an interruption loses [-]."""
POLL = 0.25
"""Time between looks for an interrupt while an executor works [s]."""


def split(count: int, size: int = BATCH) -> list[range]:
    """Share places out to batches of neighbours.

    The batches depend on nothing but count and size, so that a study goes on where it stopped on
    any number of cores.
    """
    batches = math.ceil(count / size)
    marks = [count * batch // batches for batch in range(batches)] + [count]
    return [range(*ends) for ends in pairwise(marks)]


def sweep(
    cases: Sequence[Case | Design],
    executor: Executor | None = None,
    *,
    folder: str = "",
    resolution: Resolution | None = None,
    progress: Progress | None = None,
    threads: int | None = None,
    batch_size: int = BATCH,
) -> list[Result]:
    """Solve cases, and return their results in order.

    Parameters
    ----------
    cases : cases or designs, of any layouts
    executor : any `concurrent.futures.Executor`; solved here, on threads, when None
    folder : where finished batches are kept; a sweep of the same cases goes on from them
    resolution : steps of a stroke; the standard ones when None
    progress : called with the share done, 0 to 1; first with the share that was kept
    threads : machines solved at once here; as many as there are cores when None
    batch_size : designs kept together at most, and submitted together to an executor [-]

    Examples
    --------
    On all cores of this machine, and on whatever a dask scheduler has (`jacketcalc[dask]`):

    >>> results = sweep(cases, folder="kept")  # doctest: +SKIP
    >>> from distributed import Client  # doctest: +SKIP
    >>> with Client("tcp://127.0.0.1:8786") as client:  # doctest: +SKIP
    ...     results = sweep(cases, client.get_executor(), folder="kept")
    """
    designs = [c if isinstance(c, Design) else Design(machine=c.machine) for c in cases]
    resolution = resolution or Resolution()
    kept = Checkpoint(folder, resolution)
    found: dict[int, Result] = {}
    todo: list[range] = []
    for batch in split(len(designs), batch_size):
        done = kept.load([designs[place] for place in batch])
        if done is None:
            todo.append(batch)
        else:
            found.update(zip(batch, done, strict=True))

    def tell() -> None:
        if progress is not None and designs:
            progress(len(found) / len(designs))

    def keep(batch: range) -> None:
        kept.save([designs[place] for place in batch], [found[place] for place in batch])

    tell()
    each = (
        _here(designs, todo, resolution, threads)
        if executor is None
        else _there(designs, todo, resolution, executor)
    )
    with closing(each):
        for batch, results in each:
            found.update(results)
            if all(place in found for place in batch):
                keep(batch)
            tell()
    return [found[place] for place in range(len(designs))]


Finished = tuple[range, dict[int, Result]]
"""A batch, and what has been finished of it."""


def _here(
    designs: Sequence[Design], todo: Sequence[range], resolution: Resolution, threads: int | None
) -> Generator[Finished]:
    """Solve on threads; yield design by design."""
    owners = [(batch, place) for batch in todo for place in batch]
    coming = run_each(
        [designs[place] for _, place in owners], resolution=resolution, threads=threads
    )
    with closing(coming):
        for number, result in coming:
            batch, place = owners[number]
            yield batch, {place: result}


def _there(
    designs: Sequence[Design], todo: Sequence[range], resolution: Resolution, executor: Executor
) -> Generator[Finished]:
    """Submit batches, and yield each as it arrives."""
    waiting: dict[Future[list[Result]], range] = {
        executor.submit(solve_batch, [designs[place] for place in batch], resolution): batch
        for batch in todo
    }
    try:
        while waiting:
            done, _ = wait(waiting, timeout=POLL, return_when=FIRST_COMPLETED)
            for future in done:
                batch = waiting.pop(future)
                yield batch, dict(zip(batch, future.result(), strict=True))
    finally:
        for future in waiting:
            future.cancel()


def solve_batch(designs: Sequence[Design], resolution: Resolution) -> list[Result]:
    """Solve one batch in a worker, which has one core as a rule."""
    return run(designs, resolution=resolution, threads=1)
