"""The table of the first screen: both machines, the change and its model range."""

from __future__ import annotations

import math

from jacketcalc.assessment.result import Interval
from jacketcalc.assessment.standing_words import ENDLESS
from jacketcalc.assessment.summary import FirstRow
from jacketcalc.core.output_record import Output
from jacketcalc.number_text import decimals_for, fixed
from jacketcalc.show.page import BOLD, Page, shorten
from jacketcalc.unit_display import to_display

_LABEL, _UNIT = 25, 6
"""Columns of a label and of a unit [-]."""
_COLUMNS = (10, 13, 9, 17)
"""Columns of no jackets, with jackets, change and range [-]."""
_DECIMALS = 7
"""Most decimals that a column has space for [-]."""


def first_table(rows: tuple[FirstRow, ...], page: Page, *, ranged: bool) -> list[str]:
    """Return the lines of the table.

    Parameters
    ----------
    rows : what stands in it
    page : where it stands
    ranged : whether a model range was computed
    """
    heads = zip(("no jackets", "with jackets", "change", "model range"), _COLUMNS, strict=True)
    first = f"{'':{_LABEL + _UNIT}}"
    lines = [page.paint(first + "".join(f"{w:>{n}}" for w, n in heads), BOLD)]
    return lines + [_row(row, page, ranged) for row in rows]


def _row(row: FirstRow, page: Page, ranged: bool) -> str:
    output = row.output
    values = [None if v is None else to_display(v, output.dimension, page.system)
              for v in (row.no_jackets, row.with_jackets)]  # fmt: skip
    decimals = 0 if output.dimension == "temperature" else decimals_for(values, output.digits)
    cells = [fixed(v, min(decimals, _DECIMALS)) for v in values]
    cells += ["", ""] if row.change is None else _changes(output, row.change, page, ranged)
    unit = page.unit(output.dimension)
    label = f"{shorten(output.label, _LABEL - 1):<{_LABEL}}{unit:<{_UNIT}}"
    # A long unit takes from the space before the first number.
    widths = (_LABEL + _UNIT + _COLUMNS[0] - len(label), *_COLUMNS[1:])
    return (label + "".join(f"{c:>{n}}" for c, n in zip(cells, widths, strict=True))).rstrip()


def _changes(output: Output, change: Interval, page: Page, ranged: bool) -> list[str]:
    """Return a change and its range, with fewer decimals where they are too long."""
    unit = page.unit(output.change_dimension)
    low, value, high = (
        to_display(v, output.change_dimension, page.system)
        for v in (change.low, change.value, change.high)
    )
    most = 0 if output.dimension == "temperature" else 1
    stated = _fitting([f"{fixed(value, n, sign=True)} {unit}" for n in range(most, -1, -1)], 2)
    spans = [_span(low, high, n, unit) for n in range(most, -1, -1)] if ranged else [""]
    return [stated.rstrip(), _fitting(spans, 3).rstrip()]


def _span(low: float, high: float, decimals: int, unit: str) -> str:
    first = fixed(low, decimals, sign=True)
    if math.isinf(high):
        return f"{first} {unit} to {ENDLESS}"
    return f"{first} to {fixed(high, decimals, sign=True)} {unit}"


def _fitting(texts: list[str], column: int) -> str:
    """Return the first text that leaves a space in its column, or the last one cut."""
    width = _COLUMNS[column] - 1
    return next((text for text in texts if len(text) <= width), shorten(texts[-1], width))
