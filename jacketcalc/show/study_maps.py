"""A study of two entries as maps: one number a point, rows down and columns across."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from jacketcalc.number_text import MISSING, fixed
from jacketcalc.show.page import BOLD, Page, shorten, wrap
from jacketcalc.studies.columns import CHANGE, FROM_DRAWN, NO_JACKETS_FROM_DRAWN
from jacketcalc.studies.drawn import say_drawn
from jacketcalc.studies.study_table import StudyRow, StudyTable
from jacketcalc.unit_display import to_display

_FIRST, _WIDTH, _MOST = 12, 9, 7
"""Columns of the first value, of a number, and numbers in a line [-]."""
Read = Callable[[StudyRow], float | None]


def map_blocks(table: StudyTable, page: Page) -> list[list[str]]:
    """Return maps of delivered air, hottest discharge and back-pressure."""
    if len(table.axes) != 2:
        return [wrap(f"{len(table.rows)} points; -o FOLDER writes their numbers into files.")]
    unit, bar = page.unit("temperature"), page.unit("pressure difference")

    def discharge(row: StudyRow) -> float | None:
        value = row.numbers.get("hottest_discharge")
        return None if value is None else to_display(value, "temperature", page.system)

    def back_pressure(row: StudyRow) -> float | None:
        peaks = [v for n, v in row.numbers.items() if n.startswith("back_pressure_peak.")]
        return to_display(max(peaks), "pressure difference", page.system) if peaks else None

    bare = "no jackets" if table.bare else "each point's own machine with no jackets"
    gain = _percent(f"{CHANGE}.delivered_mass_flow")
    shown: list[tuple[str, Read, int, bool]] = [
        (f"DELIVERED AIR, change from {bare} / %", gain, 1, True),
        *_from_drawn(table),
        (f"HOTTEST DISCHARGE / {unit}", discharge, 0, False),
        (f"BACK-PRESSURE, peak / {bar}", back_pressure, 2, False),
    ]
    return [_map(table, page, *one) for one in shown]


def _from_drawn(table: StudyTable) -> list[tuple[str, Read, int, bool]]:
    """Return the maps of changes from the drawn design; of both machines where both change."""
    groups = [("with jackets", FROM_DRAWN)]
    if not table.bare:
        groups = [("no jackets", NO_JACKETS_FROM_DRAWN), *groups]
    return [
        (f"DELIVERED AIR, {name}, change from the drawn design / %",
         _percent(f"{group}.delivered_mass_flow"), 1, True)
        for name, group in groups
    ]  # fmt: skip


def _percent(column: str) -> Read:
    def read(row: StudyRow) -> float | None:
        value = row.numbers.get(column)
        return None if value is None else 100 * value

    return read


def _map(
    table: StudyTable, page: Page, title: str, read: Read, decimals: int, sign: bool
) -> list[str]:
    down, across = table.axes
    picked = _pick(len(across.values))
    lines = [page.paint(title, BOLD), f"{'':{_FIRST}}  {across.path}"]
    heads = "".join(f"{page.prose(shorten(across.texts[j], _WIDTH - 1)):>{_WIDTH}}" for j in picked)
    lines.append(f"{down.path.rpartition('.')[2]:>{_FIRST}}{heads}")
    lines += _drawn(table, read, decimals, sign)
    for i, text in enumerate(down.texts):
        rows = [table.rows[i * len(across.values) + j] for j in picked]
        cells = "".join(f"{_cell(row, read, decimals, sign):>{_WIDTH}}" for row in rows)
        lines.append(f"{page.prose(shorten(text, _FIRST)):>{_FIRST}}{cells}")
    if len(picked) < len(across.values):
        lines.append(f"  {len(picked)} of the {len(across.values)} columns; -o writes all")
    return lines


def _drawn(table: StudyTable, read: Read, decimals: int, sign: bool) -> list[str]:
    """Return the line of the drawn design, which may stand between the points."""
    if table.drawn is None:
        return []
    value = fixed(read(table.drawn), decimals, sign) if table.drawn.numbers else table.drawn.state
    where = "; ".join(f"{axis.path} {say_drawn(table.drawn_case, axis)}" for axis in table.axes)
    return wrap(f"{value:>{_WIDTH}}  at {where}", f"{'as drawn':>{_FIRST}}", " " * (_FIRST + 2))


def _cell(row: StudyRow, read: Read, decimals: int, sign: bool) -> str:
    if row.state != "solved":
        return MISSING if row.state == "impossible" else row.state
    return fixed(read(row), decimals, sign)


def _pick(count: int) -> Sequence[int]:
    if count <= _MOST:
        return range(count)
    return sorted({round(k * (count - 1) / (_MOST - 1)) for k in range(_MOST)})
