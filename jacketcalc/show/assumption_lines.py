"""The assumptions that could flip an answer, as the last lines of the first screen."""

from __future__ import annotations

from jacketcalc.assessment.assumption import Assumption
from jacketcalc.assessment.result import Assessment
from jacketcalc.number_text import fixed, percent
from jacketcalc.show.page import Page, printable, shorten
from jacketcalc.unit_display import format_quantity, to_display

_PATH, _SPAN, _CHANGE = 34, 25, 18
"""Columns of a path, of its ends, and of what they do [-]."""
_MARK = "! "
"""Before one that flips the answer."""


def assumption_lines(assessment: Assessment, page: Page) -> list[str]:
    """Return a head and a line for each assumption; none where none was looked for."""
    found = assessment.assumptions
    if not found:
        return []
    by = assessment.verdict.judged_by
    count = sum(one.flips for one in found)
    could = f"{count or 'none'} could flip the answer alone"
    marked = " (!)" if count else ""
    head = f"Of what is assumed {could}{marked}; these move {by} most:"
    return [page.head(head), *(_line(one, assessment, page) for one in found)]


def _line(one: Assumption, assessment: Assessment, page: Page) -> str:
    # A share that the case states in per cent is told so.
    typed = next((g.text for g in assessment.case.given if g.path == one.path), "")
    dimension = "percent" if one.dimension == "ratio" and "%" in typed else one.dimension
    low, high = (format_quantity(v, dimension, page.system, 3) for v in (one.low, one.high))
    number, _, unit = low.partition(" ")
    span = f"{number} to {high}" if unit and high.endswith(unit) else f"{low} to {high}"
    path = shorten(printable(one.path), _PATH - 1)
    mark = _MARK if one.flips else " " * len(_MARK)
    change = _change(one, assessment, page)
    return f"{mark}{path:<{_PATH}}{page.prose(span):<{_SPAN}}{change:>{_CHANGE}}"


def _change(one: Assumption, assessment: Assessment, page: Page) -> str:
    """Return what the judged quantity changes by at both ends, as the answer states it."""
    by = assessment.verdict.judged_by
    sign = 1.0 if by == "delivery" else -1.0
    ends = (sign * one.at_low, sign * one.at_high)
    if by == "discharge temperature":
        unit = page.unit("temperature difference")
        shown = [fixed(to_display(v, "temperature difference", page.system), 1, sign=True)
                 for v in ends]  # fmt: skip
        return f"{shown[0]} to {shown[1]} {unit}"
    first, last = (percent(v) for v in ends)
    return f"{first.removesuffix(' %')} to {last}"
