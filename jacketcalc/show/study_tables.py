"""A study of one entry as tables: the machine, then each stage and its jacket."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from jacketcalc.show.layout import BOLD, Page, printable
from jacketcalc.show.numbers import MISSING, decimals_for, fixed, percent
from jacketcalc.studies.columns import COOLING_ALONE, RESISTANCE_ALONE, Numbers
from jacketcalc.studies.table import Row, Table
from jacketcalc.unit_display import to_display

_FIRST = 11
"""Columns of the varied value [-]."""


class Spec(NamedTuple):
    """A column of a printed table."""

    column: str
    """Column of the study."""
    head: tuple[str, str]
    """Two lines above it; an empty second line takes the unit."""
    width: int
    """Columns it takes [-]."""
    digits: int = 4
    """Significant digits of its largest number [-]."""


_MACHINE = (
    Spec("delivered_mass_flow", ("delivers", ""), 10),
    Spec("change.delivered_mass_flow", ("change", "from bare"), 11),
    Spec("band", ("its band", ""), 18),
    Spec("cycle_rate", ("rate", ""), 8),
    Spec("drive_air_per_kg", ("drive air", "kg/kg"), 11),
    Spec("stall_pressure", ("stalls at", ""), 11),
)
_SPLIT = (
    Spec("change.delivered_mass_flow", ("change", "from bare"), 12),
    Spec(COOLING_ALONE, ("by cooling", "alone"), 14),
    Spec(RESISTANCE_ALONE, ("by resistance", "alone"), 16),
)
_STAGE = (
    Spec("charge_temperature", ("charge", ""), 12),
    Spec("discharge_temperature", ("discharge", ""), 12),
    Spec("wall_temperature", ("wall, mean", ""), 12),
    Spec("mass_per_stroke", ("mass a stroke", ""), 15),
)
_JACKET = (
    Spec("turns", ("turns", " "), 8, 3),
    Spec("velocity_peak", ("velocity", ""), 10, 3),
    Spec("mach_peak", ("Mach", "peak"), 8, 3),
    Spec("coefficient", ("h", ""), 10, 3),
    Spec("jacket_heat", ("heat", ""), 8, 3),
    Spec("back_pressure_mean", ("back-p.", "mean"), 10, 3),
    Spec("back_pressure_peak", ("back-p.", "peak"), 10, 3),
)


def table_blocks(table: Table, page: Page) -> list[list[str]]:
    """Return the tables of a study of one entry."""
    blocks = [_block(table, page, "MACHINE", _MACHINE, "")]
    if any(c.name == COOLING_ALONE for c in table.columns):
        title = "WHY DELIVERED AIR CHANGES: each part as if it were alone"
        blocks.append(_block(table, page, title, _SPLIT, ""))
    for stage in table.case.machine.stages:
        name = printable(stage.name)
        blocks.append(_block(table, page, f"STAGE {name}", _STAGE, f".{stage.name}"))
        if any(c.name == f"turns.{stage.name}" for c in table.columns):
            unit = page.unit("pressure difference")
            title = f"JACKET {name}, back-pressure in {unit}"
            blocks.append(_block(table, page, title, _JACKET, f".{stage.name}"))
    return blocks


def _block(table: Table, page: Page, title: str, specs: Sequence[Spec], suffix: str) -> list[str]:
    upper = "".join(f"{spec.head[0]:>{spec.width}}" for spec in specs)
    lower = "".join(
        f"{spec.head[1] or _unit(table, page, spec, suffix):>{spec.width}}" for spec in specs
    )
    path = table.axes[0].path.rpartition(".")[2]
    lines = [page.paint(title, BOLD), f"{'':{_FIRST}}{upper}".rstrip(),
             f"{path:>{_FIRST}}{lower}".rstrip()]  # fmt: skip
    decimals = {spec.column: _decimals(table, page, spec, suffix) for spec in specs}
    if specs in (_MACHINE, _STAGE) and table.bare and table.bare[0]:
        numbers = table.bare[0]
        cells = [_cell(numbers, None, s, suffix, decimals, table, page) for s in specs]
        lines.append(_line("bare", cells, specs))
    for row in table.rows:
        if row.state != "solved" and not row.numbers:
            lines.append(f"{row.texts[0]:>{_FIRST}}  {row.state}")
            continue
        cells = [_cell(row.numbers, row, s, suffix, decimals, table, page) for s in specs]
        if row.state == "stalled" or (row.state == "idle" and specs is not _JACKET):
            cells[0] = row.state
        lines.append(_line(row.texts[0], cells, specs))
    if specs is _JACKET:
        lines.append("  velocity and h in the channel; Mach anywhere in tube, channel and vent")
    if specs is _SPLIT:
        lines.append("  cooling: passages that resist nothing; resistance: that exchange no heat")
    return lines


def _line(first: str, cells: Sequence[str], specs: Sequence[Spec]) -> str:
    row = "".join(f"{cell:>{spec.width}}" for cell, spec in zip(cells, specs, strict=True))
    return f"{first:>{_FIRST}}{row}".rstrip()


def _unit(table: Table, page: Page, spec: Spec, suffix: str) -> str:
    if spec.column == "band":
        return ""
    return page.unit(table.column(spec.column + suffix).dimension)


def _shown(numbers: Numbers, spec: Spec, suffix: str, table: Table, page: Page) -> float | None:
    value = numbers.get(spec.column + suffix)
    if value is None:
        return None
    return to_display(value, table.column(spec.column + suffix).dimension, page.system)


def _decimals(table: Table, page: Page, spec: Spec, suffix: str) -> int:
    if spec.column in ("band", "turns"):
        return 1
    if table.column(spec.column + suffix).dimension == "temperature":
        return 1
    values = [_shown(row.numbers, spec, suffix, table, page) for row in table.rows]
    return decimals_for(values, spec.digits)


def _cell(
    numbers: Numbers,
    row: Row | None,
    spec: Spec,
    suffix: str,
    decimals: dict[str, int],
    table: Table,
    page: Page,
) -> str:
    if spec.column == "band":
        ends = None if row is None else row.spread("change.delivered_mass_flow")
        if ends is None or len(table.members) == 1:
            return MISSING
        return f"{fixed(100 * ends[0], 1, sign=True)} to {fixed(100 * ends[1], 1, sign=True)}"
    if spec.column.startswith("change."):
        return percent(numbers.get(spec.column))
    return fixed(_shown(numbers, spec, suffix, table, page), decimals[spec.column])
