"""The filling of the receiver over time, where asked for: a table, a figure, what was left out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from jacketcalc.fill.result import Fill, FillComparison
from jacketcalc.fill.words import (
    NOTES,
    answer,
    change_of,
    describe_currency,
    describe_help,
    what_is_filled,
)
from jacketcalc.number_text import decimals_for
from jacketcalc.report.figures.fill import describe_fill, draw_fill
from jacketcalc.report.model import Block, Bullets, Cell, Paragraph, Row
from jacketcalc.report.traced import Pen, left, right, row
from jacketcalc.unit_display import to_display
from jacketcalc.units import FOOT

_LITRE = 1e-3
"""A litre [m3]."""
_CHANGE = {"pressure": "pressure difference", "temperature": "temperature difference"}
"""Dimension of a change that is no share."""

ROWS: tuple[tuple[str, str, Callable[[Fill], float]], ...] = (
    ("time", "duration", lambda f: f.time),
    ("strokes", "number", lambda f: f.strokes),
    ("drive air", "mass", lambda f: f.drive_air),
    ("drive air, at the reference atmosphere (ANR)", "free air", lambda f: f.drive_air_volume),
    ("gas that came into the receiver", "mass", lambda f: f.delivered),
    ("drive air per gas in the receiver", "share", lambda f: f.specific_air),
    ("receiver pressure at the end", "pressure", lambda f: f.pressure),
    ("gas in the receiver at the end", "temperature", lambda f: f.temperature),
    ("pressure that the receiver settles to", "pressure", lambda f: f.rest_pressure),
    ("hottest mean discharge", "temperature", lambda f: f.hottest_discharge.temperature),
    ("after", "duration", lambda f: f.hottest_discharge.time),
    ("hottest seal", "temperature", lambda f: f.hottest_seal.temperature),
    ("after", "duration", lambda f: f.hottest_seal.time),
)
"""Name, dimension and number of each row."""


def fill_blocks(pen: Pen, found: FillComparison | None) -> Iterator[Block]:
    """Yield the fill, or say that it was not asked for."""
    if found is None:
        yield Paragraph(
            "Not run: the filling of the receiver over time (--with fill). Every number here holds "
            f"at the receiver's pressure of "
            f"{pen.quantity(pen.case.machine.receiver_pressure, 'pressure', 4)} absolute."
        )
        return
    yield Paragraph(pen.prose(f"{what_is_filled(found.case, found.target)}: {answer(found)}"))
    columns = (
        left("Quantity", 3), left("Unit", 0), right("No jackets"), right("With jackets"),
        right("Change"),
    )  # fmt: skip
    yield pen.table("fill", "Filling of the receiver from cold", columns,
                    [_row(pen, found, *one) for one in ROWS])  # fmt: skip
    yield pen.figure(
        partial(draw_fill, found),
        "A fill from cold over time: pressure and temperature of the gas in the receiver, hottest "
        "mean discharge and hottest seal of the stages.",
        describe_fill(found),
    )
    words = (describe_help(found), describe_currency(found), *NOTES)
    yield Bullets(tuple(pen.prose(one) for one in words if one))


def _row(
    pen: Pen, found: FillComparison, name: str, dimension: str, number: Callable[[Fill], float]
) -> Row:
    values = [number(fill) for fill in found.fills]
    litres, unit = dimension == "free air", ""
    if litres:
        unit, size = ("L", _LITRE) if pen.page.system == "SI" else ("ft³", FOOT**3)
        values = [v / size for v in values]
    else:
        unit = pen.unit(dimension)
    shown = values if litres else [to_display(v, dimension, pen.page.system) for v in values]
    level = dimension in _CHANGE
    decimals = 1 if level else decimals_for(shown, 4)
    cells = [
        pen.cell(v, "number" if litres else dimension, decimals, "") for v in values
    ]  # fmt: skip
    change = Cell(text="\N{EN DASH}")
    if len(values) > 1:
        change = (
            pen.cell(values[1] - values[0], _CHANGE[dimension], decimals, "", sign=True)
            if level
            else pen.percent(change_of(values[1], values[0]), "")
        )
    else:
        cells.append(Cell(text="\N{EN DASH}"))
    return row(name, unit, *cells, change)
