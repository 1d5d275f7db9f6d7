"""The best points of a study in words."""

from __future__ import annotations

from jacketcalc.number_text import fixed, percent
from jacketcalc.show.page import Page, wrap
from jacketcalc.studies.choice import Choice, span
from jacketcalc.studies.columns import CHANGE, FROM_DRAWN
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
    """Return the best of an aim, its changes, and which points are as good."""
    if choice.best is None:
        return "no point delivers"
    row = table.rows[choice.best]
    value = _value(choice, row, page)
    change = _change(table, choice, row, page)
    tail = f"{value}{change}"
    if choice.verdict == "no difference":
        return f"no point is better than another; {tail}"
    point = " x ".join(row.texts)
    if choice.verdict == "still rising":
        names = " and ".join(table.axes[axis].path for axis in choice.rising)
        of = f" of {names}" if len(table.axes) > 1 else ""
        point = f"still improving at {point}, the end of the range{of}"
    words = f"{point}: {tail}"
    plateau = _plateau(table, choice)
    words += f"; {plateau}" if plateau else ""
    if choice.bounded and choice.verdict == "best":
        words += "; the point beside it cannot be built"
    return words


def _value(choice: Choice, row: StudyRow, page: Page) -> str:
    number = row.numbers[choice.aim.column]
    if choice.aim.column == "specific_air_consumption":
        return f"{number:.2f} {page.unit('share')}"
    dimension = "hourly mass flow" if choice.aim.relative else "temperature"
    shown = to_display(number, dimension, page.system)
    return f"{fixed(shown, 2 if choice.aim.relative else 1)} {page.unit(dimension)}"


def _change(table: StudyTable, choice: Choice, row: StudyRow, page: Page) -> str:
    """Return the changes from no jackets and from the drawn design, each with its range."""
    if choice.aim.column not in _CHANGED:
        return ""
    bare = "no jackets" if table.bare else "its own machine with no jackets"
    others = ((CHANGE, bare), (FROM_DRAWN, "the drawn design"))
    found = [_paired(f"{group}.{choice.aim.column}", other, choice, row, page)
             for group, other in others]  # fmt: skip
    return "".join(f", {words}" for words in found if words)


def _paired(name: str, other: str, choice: Choice, row: StudyRow, page: Page) -> str:
    """Return a change from another machine with its paired range, empty where there is none."""
    if name not in row.numbers:
        return ""
    ends = row.spread(name) or (0.0, 0.0)
    low, high = (_amount(end, choice, page) for end in ends)
    change = _amount(row.numbers[name], choice, page)
    told = f"{change} ({low} to {high})" if low != high else change
    if row.numbers[name] == 0.0 and ends == (0.0, 0.0) and other != "no jackets":
        return f"as in {other}"
    level = ends[0] <= 0.0 <= ends[1] and low != high
    return f"{told} from {other}{', so better or worse is not certain' if level else ''}"


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
        if entry.words:
            continue
        low, high = span(choice, table.shape, axis)
        if low < high:
            name = f"{entry.path} " if len(table.axes) > 1 else ""
            parts.append(f"{name}{entry.texts[low]} to {entry.texts[high]}")
    if parts:
        return f"as good: {' or '.join(parts)}"
    if len(table.axes) == 1 and table.axes[0].words and len(choice.plateau) > 1:
        names = [table.axes[0].texts[i] for i in choice.plateau if i != choice.best]
        return f"as good: {', '.join(names)}"
    others = len(choice.plateau) - 1
    if others == 1:
        return "as good: one other point"
    return f"as good: {others} other points" if others else ""
