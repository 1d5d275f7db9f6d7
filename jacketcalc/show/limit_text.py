"""Limits of a study in words, and how many of its designs break them."""

from __future__ import annotations

from jacketcalc.show.page import Page, wrap
from jacketcalc.studies.limits import Bound, list_bounds
from jacketcalc.studies.study_table import StudyTable
from jacketcalc.unit_display import System

_COUNT = 15
"""Columns of the count before each limit [-]."""


def describe_bound(bound: Bound, system: System) -> str:
    """Return what breaking a limit is, such as `discharge above 150 degC`."""
    return bound.say(system)


def bounds_of(table: StudyTable) -> list[tuple[Bound, list[float | None]]]:
    """Return every limit of a study with each point's excess over it, None where none runs."""
    return [
        (
            bound,
            [bound.excess(row.numbers) if row.state == "solved" else None for row in table.rows],
        )
        for bound in list_bounds(table.case, table.limits)
    ]


def limit_block(table: StudyTable, page: Page) -> list[str]:
    """Return a line for each limit: how many of the designs that run break it."""
    lines = [page.head("LIMITS BROKEN, by how many of the designs that run")]
    for bound, found in bounds_of(table):
        known = [excess for excess in found if excess is not None]
        if not known:
            continue
        count = f"{sum(excess > 0.0 for excess in known)} of {len(known)}"
        words = page.prose(describe_bound(bound, page.system))
        lines += wrap(words, f"{count:>{_COUNT}}  ", " " * (_COUNT + 2))
    return lines if len(lines) > 1 else []
