"""The best points of a study in words."""

from __future__ import annotations

from jacketcalc.show.layout import Page, wrap
from jacketcalc.show.numbers import fixed, percent
from jacketcalc.studies.choice import Choice, span
from jacketcalc.studies.table import Row, Table
from jacketcalc.unit_display import to_display

_LABEL = 26
_CHANGE = {
    "delivered_mass_flow": "change.delivered_mass_flow",
    "drive_air_per_kg": "change.drive_air_per_kg",
    "hottest_discharge": "change.hottest_discharge",
}
"""Column of the change from bare that belongs to an aim's column."""


def choice_block(table: Table, choices: tuple[Choice, ...], page: Page) -> list[str]:
    """Return a line or two for each aim."""
    lines = [page.head("BEST FOR EACH AIM")]
    for choice in choices:
        label = f"  {choice.aim.name}"
        words = describe_choice(table, choice, page)
        lines += wrap(page.prose(words), f"{label:<{_LABEL}}  ", " " * (_LABEL + 2))
    return lines


def describe_choice(table: Table, choice: Choice, page: Page) -> str:
    """Return the best of an aim, its plateau, and what it makes of the bare machine."""
    if choice.best is None:
        return "no point delivers"
    row = table.rows[choice.best]
    value = _value(choice, row, page)
    change = _change(choice, row, page)
    tail = f"{value}{change}"
    if choice.verdict == "no difference":
        return f"the points compared cannot be told apart; {tail}"
    point = " x ".join(row.texts)
    if choice.verdict == "still rising":
        names = " and ".join(table.axes[axis].path for axis in choice.rising)
        of = f" of {names}" if len(table.axes) > 1 else ""
        point = f"still improving at {point}, the end of the range{of}"
    words = f"{point}: {tail}"
    plateau = _plateau(table, choice)
    words += f"; {plateau}" if plateau else ""
    if choice.bounded and choice.verdict == "best":
        words += "; a neighbouring point cannot be built"
    return words


def _value(choice: Choice, row: Row, page: Page) -> str:
    number = row.numbers[choice.aim.column]
    if choice.aim.column == "drive_air_per_kg":
        return f"{number:.2f} kg/kg"
    dimension = "hourly mass flow" if choice.aim.relative else "temperature"
    shown = to_display(number, dimension, page.system)
    return f"{fixed(shown, 2 if choice.aim.relative else 1)} {page.unit(dimension)}"


def _change(choice: Choice, row: Row, page: Page) -> str:
    column = _CHANGE.get(choice.aim.column, "")
    if column not in row.numbers:
        return ""
    ends = row.spread(column)
    assert ends is not None
    if choice.aim.relative:
        words = percent(row.numbers[column])
        low, high = (percent(end) for end in ends)
    else:
        unit = page.unit("temperature difference")
        shown = [
            to_display(v, "temperature difference", page.system)
            for v in (row.numbers[column], *ends)
        ]
        words, low, high = (f"{fixed(v, 0, sign=True)} {unit}" for v in shown)
    band = f" ({low} to {high})" if low != high else ""
    if ends[0] <= 0.0 <= ends[1] and ends[0] < ends[1]:
        return f", {words}{band}, which cannot be told from bare"
    return f", {words}{band} from bare"


def _plateau(table: Table, choice: Choice) -> str:
    """Say which points cannot be told from the best."""
    parts = []
    for axis, entry in enumerate(table.axes):
        low, high = span(choice, table.shape, axis)
        if low < high:
            name = f"{entry.path} " if len(table.axes) > 1 else ""
            parts.append(f"{name}{entry.texts[low]} to {entry.texts[high]}")
    if parts:
        return f"anything from {' or '.join(parts)} is as good"
    others = len(choice.plateau) - 1
    if others == 1:
        return "one other point is as good"
    return f"{others} other points are as good" if others else ""
