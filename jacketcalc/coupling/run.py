"""Designs in, results out: grouping by layout and reading what finished."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from jacketcalc.components.designs import Design, topology_key
from jacketcalc.components.stroke_grid import Resolution
from jacketcalc.coupling.details import Detail, read_details
from jacketcalc.coupling.finished import Finished
from jacketcalc.coupling.opening import opening_peaks, with_peaks
from jacketcalc.coupling.outcome import Outcome
from jacketcalc.coupling.reading import Reading
from jacketcalc.coupling.solve import solve

LARGEST_BATCH = 512
"""Designs solved together: more gain nothing and cost memory."""

Progress = Callable[[float], None]


@dataclass(frozen=True, kw_only=True)
class Result:
    """What became of one design."""

    outcome: Outcome
    failure: str
    """What did not settle; empty when it converged or stalled."""
    detail: Detail | None = None
    """Profiles, where asked for."""


def run(
    designs: Sequence[Design],
    *,
    resolution: Resolution | None = None,
    details: bool = False,
    progress: Progress | None = None,
) -> list[Result]:
    """Solve designs, in batches of equal layout, and return their results in order.

    Parameters
    ----------
    designs : designs, of any layouts
    resolution : steps of a stroke
    details : keep profiles and diagrams
    progress : called with the share done, 0 to 1
    """
    results: dict[int, Result] = {}
    batches = _batches(designs)
    for done, batch in enumerate(batches):

        def finish(group: Finished, batch: list[int] = batch) -> None:
            outcomes = Reading(group).outcomes()
            profiles: Sequence[Detail | None] = (
                read_details(group) if details else [None] * len(outcomes)
            )
            rows = zip(group.index, outcomes, group.where, profiles, strict=True)
            for place, outcome, words, detail in rows:
                results[batch[place]] = Result(outcome=outcome, failure=words, detail=detail)

        def report(share: float, done: int = done) -> None:
            if progress is not None:
                progress((done + share) / len(batches))

        solved = solve([designs[i] for i in batch], finish, resolution, progress=report)
        for place, peaks in opening_peaks(solved).items():
            found = results[batch[place]]
            outcome = with_peaks(found.outcome, peaks, solved.network.layout)
            results[batch[place]] = replace(found, outcome=outcome)
    return [results[i] for i in range(len(designs))]


def _batches(designs: Sequence[Design]) -> list[list[int]]:
    groups: dict[object, list[int]] = {}
    for i, design in enumerate(designs):
        groups.setdefault(topology_key(design.machine), []).append(i)
    return [
        group[start : start + LARGEST_BATCH]
        for group in groups.values()
        for start in range(0, len(group), LARGEST_BATCH)
    ]
