"""What an assessment answers, in one line."""

from __future__ import annotations

from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.standing import name_bare
from jacketcalc.assessment.standing_words import judged_interval, say_change
from jacketcalc.unit_display import System


def judged_row(found: Assessment, system: System) -> str:
    """Return the judged change with its range, and against what."""
    by, stated = found.verdict.judged_by, found.verdict.standings[0]
    bare = name_bare(found.case.machine, stated.reference).removeprefix("the ")
    if not found.delivers:
        return f"{by}; a machine stalls or delivers nothing; against {bare}."
    change = judged_interval(by, stated)
    low, value, high = (say_change(by, v, system) for v in (change.low, change.value, change.high))
    return f"{by} {value} ({low} to {high}) against {bare}."
