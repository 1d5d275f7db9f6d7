"""The best points of a study in words."""

from __future__ import annotations

from jacketcalc.number_text import fixed, percent
from jacketcalc.show.page import Page, wrap
from jacketcalc.studies.choice import Choice, span
from jacketcalc.studies.columns import CHANGE, FROM_CASE
from jacketcalc.studies.study_table import StudyRow, StudyTable
from jacketcalc.unit_display import to_display

_LABEL = 26
_CHANGED = ("delivered_mass_flow", "specific_air_consumption", "hottest_discharge")
"""Columns of aims whose changes are kept."""


def choice_block(table: StudyTable, choices: tuple[Choice, ...], page: Page) -> list[str]:
    """Return a line or two for each aim."""
    lines = [page.head("BEST FOR EACH AIM")]
    for choice in choices:
        label = f"  {choice.aim.name}"
        words = describe_choice(table, choice, page)
        lines += wrap(page.prose(words), f"{label:<{_LABEL}}  ", " " * (_LABEL + 2))
    return lines


def describe_choice(table: StudyTable, choice: Choice, page: Page) -> str:
    """Return the best of an aim, its plateau, and what it makes of the machine without jackets."""
    if choice.best is None:
        return "no point delivers"
    row = table.rows[choice.best]
    value = _value(choice, row, page)
    change = _change(table, choice, row, page)
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


def _value(choice: Choice, row: StudyRow, page: Page) -> str:
    number = row.numbers[choice.aim.column]
    if choice.aim.column == "specific_air_consumption":
        return f"{number:.2f} kg/kg"
    dimension = "hourly mass flow" if choice.aim.relative else "temperature"
    shown = to_display(number, dimension, page.system)
    return f"{fixed(shown, 2 if choice.aim.relative else 1)} {page.unit(dimension)}"


def _change(table: StudyTable, choice: Choice, row: StudyRow, page: Page) -> str:
    """Return the change from bare, and where each point has a bare of its own, from the case."""
    if choice.aim.column not in _CHANGED:
        return ""
    name = f"{CHANGE}.{choice.aim.column}"
    ends, words = row.spread(name), ""
    if name in row.numbers:
        low, high = (_amount(end, choice, page) for end in ends or (0.0, 0.0))
        band = f" ({low} to {high})" if low != high else ""
        level = ends is not None and ends[0] <= 0.0 <= ends[1] and ends[0] < ends[1]
        bare = "bare" if table.bare else "its own machine without jackets"
        told = f", which cannot be told from {bare}" if level else f" from {bare}"
        words = f", {_amount(row.numbers[name], choice, page)}{band}{told}"
    other = row.numbers.get(f"{FROM_CASE}.{choice.aim.column}")
    if not table.bare and other is not None:
        words += f", {_amount(other, choice, page)} from the case as it stands"
    return words


def _amount(value: float, choice: Choice, page: Page) -> str:
    """Return a change as a share or in kelvin, as its aim has it."""
    if choice.aim.relative:
        return percent(value)
    shown = to_display(value, "temperature difference", page.system)
    return f"{fixed(shown, 0, sign=True)} {page.unit('temperature difference')}"


def _plateau(table: StudyTable, choice: Choice) -> str:
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
