"""A study of one entry as tables: the machine, then each stage and its jacket."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from jacketcalc.show.layout import BOLD, Page, printable, wrap
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
_AGAINST = (
    Spec("from_case.delivered_mass_flow", ("delivered", "air"), 13),
    Spec("from_case.mass_per_cycle", ("mass a", "cycle"), 13),
    Spec("from_case.cycle_rate", ("cycle", "rate"), 13),
    Spec("from_case.drive_air_per_kg", ("drive air", "per kg"), 13),
    Spec("from_case.hottest_discharge", ("discharge", ""), 13),
)
_BOTH = (
    Spec("bare.delivered_mass_flow", ("bare", ""), 9),
    Spec("bare_from_case.delivered_mass_flow", ("change", "from case"), 11),
    Spec("delivered_mass_flow", ("jacketed", ""), 10),
    Spec("from_case.delivered_mass_flow", ("change", "from case"), 11),
    Spec("bare.hottest_discharge", ("hot, bare", ""), 13),
    Spec("hottest_discharge", ("hot, jacketed", ""), 15),
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
    if table.stands and table.stands[0]:
        blocks.append(_against(table, page))
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


def _against(table: Table, page: Page) -> list[str]:
    """Return what changes from the case as it stands, of both machines where both change."""
    if table.bare:
        title = "CHANGE FROM THE CASE AS IT STANDS, of the jacketed machine"
        return _block(table, page, title, _AGAINST, "")
    title = "BARE AND JACKETED, each against the same machine of the case as it stands"
    words = "bare: the row's machine without jackets; hot: mean discharge of its hottest stage"
    return [*_block(table, page, title, _BOTH, ""), *wrap(words, "  ")]


def _block(table: Table, page: Page, title: str, specs: Sequence[Spec], suffix: str) -> list[str]:
    upper = "".join(f"{spec.head[0]:>{spec.width}}" for spec in specs)
    lower = "".join(
        f"{spec.head[1] or _unit(table, page, spec, suffix):>{spec.width}}" for spec in specs
    )
    path = table.axes[0].path.rpartition(".")[2]
    lines = [page.paint(title, BOLD), f"{'':{_FIRST}}{upper}".rstrip(),
             f"{path:>{_FIRST}}{lower}".rstrip()]  # fmt: skip
    decimals = {spec.column: _decimals(table, page, spec, suffix) for spec in specs}
    for name, numbers in _above(table, specs):
        cells = [_cell(numbers, None, s, suffix, decimals, table, page) for s in specs]
        lines.append(_line(name, cells, specs))
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


def _above(table: Table, specs: Sequence[Spec]) -> list[tuple[str, Numbers]]:
    """Return the machines that stand above the points: those of the case, the bare one of all."""
    found = []
    if specs in (_MACHINE, _STAGE, _BOTH) and table.stands and table.stands[0]:
        found.append(("the case", table.stands[0]))
    if specs in (_MACHINE, _STAGE) and table.bare and table.bare[0]:
        found.append(("bare", table.bare[0]))
    return found


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
    column = table.column(spec.column + suffix)
    if not column.own and column.dimension == "percent":
        return percent(numbers.get(spec.column))
    if not column.own and column.dimension == "temperature difference":
        return fixed(_shown(numbers, spec, suffix, table, page), 1, sign=True)
    return fixed(_shown(numbers, spec, suffix, table, page), decimals[spec.column])
