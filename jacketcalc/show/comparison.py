"""Machines with and without jackets side by side."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jacketcalc.assessment.result import Assessment
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import Output, Outputs
from jacketcalc.inputs import Reference
from jacketcalc.number_text import MISSING, decimals_for, fixed, percent
from jacketcalc.show.page import BOLD, Page, printable, table_line, wrap
from jacketcalc.show.rows import ResultRow, machine_rows, stage_rows
from jacketcalc.unit_display import to_display

LABEL, UNIT = 25, 10
"""Columns of the label and of the unit [-]."""
SURFACE = (
    "Surface: outside of the barrel or, where a jacket covers it, of its shell, as a thermometer "
    "meets it at a tenth, half and nine tenths of the barrel from its head end."
)
"""What the rows of a stage's surface show."""
_SHORT: dict[Reference, str] = {
    "exhaust direct": "direct",
    "exhaust through tube": "via tube",
}


@dataclass(frozen=True, kw_only=True)
class _Columns:
    """The machines of the table."""

    page: Page
    bare: Outcome
    jacketed: Outcome
    other: Outcome | None
    width: int


def comparison_block(assessment: Assessment, page: Page, outputs: Outputs = OUTPUTS) -> list[str]:
    """Return the side-by-side table, with the other machine without jackets where there is one."""
    case = assessment.case
    other = None if assessment.other is None else assessment.other.bare
    columns = _Columns(
        page=page,
        bare=assessment.bare,
        jacketed=assessment.jacketed,
        other=other,
        width=12 if other is None else 9,
    )
    lines = _head(case.judgement.no_jackets, columns)
    lines += [line for row in machine_rows(outputs) for line in _line(row, "", columns)]
    for index, stage in enumerate(case.machine.stages):
        lines += ["", page.head(f"stage {printable(stage.name)}")]
        jacket = assessment.jacketed.stages[index].jacket is not None
        rows = stage_rows(outputs, case.machine, index, jacket=jacket)
        lines += [line for row in rows for line in _line(row, "  ", columns)]
    return [*lines, "", *wrap(SURFACE, "  ", "  ")]


def _head(judged: Reference, columns: _Columns) -> list[str]:
    above = ["none,", "jackets", "change"]
    below = [_SHORT[judged], "", ""]
    if columns.other is not None:
        rest: Reference = "exhaust through tube" if judged == "exhaust direct" else "exhaust direct"
        above += ["none,", "change"]
        below += [_SHORT[rest], ""]
    return [
        columns.page.paint(line, BOLD)
        for words in (above, below)
        for line in table_line("", [("", UNIT), *((w, columns.width) for w in words)], LABEL)
    ]


def _line(row: ResultRow, indent: str, columns: _Columns) -> list[str]:
    """Return the line of one row; nothing of a stalled machine is shown but that it stalls."""
    machines = [columns.bare, columns.jacketed]
    machines += [] if columns.other is None else [columns.other]
    output, page = row.output, columns.page
    values = [row.read(o) for o in machines]
    shown = [None if v is None else to_display(v, output.dimension, page.system) for v in values]
    decimals = 1 if output.dimension == "temperature" else decimals_for(shown, output.digits)
    texts = [fixed(v, decimals) for v in shown]
    if output.dimension == "rate":
        texts = ["stalled" if o.stalled else t for o, t in zip(machines, texts, strict=True)]
    cells = [*texts[:2], _change(output, values[1], values[0], page)]
    if columns.other is not None:
        cells += [texts[2], _change(output, values[1], values[2], page)]
    unit = page.unit(output.dimension)
    # A long unit takes from the space before the first number.
    first = f"{unit}{cells[0]:>{UNIT + columns.width - len(unit)}}"
    rest = [(cell, columns.width) for cell in cells[1:]]
    return table_line(f"{indent}{output.label}", [(first, len(first)), *rest], LABEL)


def _change(output: Output, new: float | None, old: float | None, page: Page) -> str:
    """Return the change of a value: as a percentage, or the difference of printed temperatures."""
    if output.change == "none" or new is None or old is None:
        return ""
    if output.change == "difference":
        both = [round(to_display(v, output.dimension, page.system), 1) for v in (new, old)]
        unit = page.unit(output.change_dimension)
        return f"{fixed(both[0] - both[1], 1, sign=True)} {unit}"
    if old == 0.0 or not math.isfinite(new / old):
        return MISSING
    return percent(new / old - 1.0)
