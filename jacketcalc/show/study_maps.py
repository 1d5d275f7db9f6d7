"""A study of two entries as maps: one number a point, rows down and columns across."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from jacketcalc.number_text import MISSING, fixed
from jacketcalc.show.page import BOLD, Page, wrap
from jacketcalc.studies.columns import BARE_FROM_CASE, CHANGE, FROM_CASE
from jacketcalc.studies.study_table import StudyRow, StudyTable
from jacketcalc.unit_display import to_display

_FIRST, _WIDTH, _MOST = 12, 9, 7
"""Columns of the first value, of a number, and numbers in a line [-]."""
Read = Callable[[StudyRow], float | None]


def map_blocks(table: StudyTable, page: Page) -> list[list[str]]:
    """Return maps of delivered air, hottest discharge and back-pressure."""
    if len(table.axes) != 2:
        return [wrap(f"{len(table.rows)} points; their numbers stand in the files.")]
    unit, bar = page.unit("temperature"), page.unit("pressure difference")

    def discharge(row: StudyRow) -> float | None:
        value = row.numbers.get("hottest_discharge")
        return None if value is None else to_display(value, "temperature", page.system)

    def back_pressure(row: StudyRow) -> float | None:
        peaks = [v for n, v in row.numbers.items() if n.startswith("back_pressure_peak.")]
        return to_display(max(peaks), "pressure difference", page.system) if peaks else None

    bare = "bare" if table.bare else "each point's own machine without jackets"
    gain = _percent(f"{CHANGE}.delivered_mass_flow")
    return [
        _map(table, page, f"DELIVERED AIR, change from {bare} / %", gain, 1, sign=True),
        *_from_case(table, page),
        _map(table, page, f"HOTTEST DISCHARGE / {unit}", discharge, 0),
        _map(table, page, f"BACK-PRESSURE, peak / {bar}", back_pressure, 2),
    ]


def _from_case(table: StudyTable, page: Page) -> list[list[str]]:
    """Return maps against the case as it stands, where what varies changes both machines."""
    if table.bare:
        return []
    return [
        _map(table, page, f"DELIVERED AIR, {name}, change from the case as it stands / %",
             _percent(f"{group}.delivered_mass_flow"), 1, sign=True)
        for name, group in (("bare", BARE_FROM_CASE), ("jacketed", FROM_CASE))
    ]  # fmt: skip


def _percent(column: str) -> Read:
    def read(row: StudyRow) -> float | None:
        value = row.numbers.get(column)
        return None if value is None else 100 * value

    return read


def _map(
    table: StudyTable, page: Page, title: str, read: Read, decimals: int, sign: bool = False
) -> list[str]:
    down, across = table.axes
    picked = _pick(len(across.values))
    lines = [page.paint(title, BOLD), f"{'':{_FIRST}}  {across.path}"]
    lines.append(f"{down.path.rpartition('.')[2]:>{_FIRST}}"
                 + "".join(f"{across.texts[j]:>{_WIDTH}}" for j in picked))  # fmt: skip
    for i, text in enumerate(down.texts):
        rows = [table.rows[i * len(across.values) + j] for j in picked]
        cells = "".join(f"{_cell(row, read, decimals, sign):>{_WIDTH}}" for row in rows)
        lines.append(f"{text:>{_FIRST}}{cells}")
    if len(picked) < len(across.values):
        lines.append(f"  {len(picked)} of the {len(across.values)} columns; -o writes all")
    return lines


def _cell(row: StudyRow, read: Read, decimals: int, sign: bool) -> str:
    if row.state != "solved":
        return MISSING if row.state == "impossible" else row.state
    return fixed(read(row), decimals, sign)


def _pick(count: int) -> Sequence[int]:
    if count <= _MOST:
        return range(count)
    return sorted({round(k * (count - 1) / (_MOST - 1)) for k in range(_MOST)})
