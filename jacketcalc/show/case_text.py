"""What was understood of a case, as text: entries, what was filled in, sizes that follow."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby

from jacketcalc.casefile.columns import wrap_columns
from jacketcalc.casefile.describe import describe_entries, describe_materials, list_notes
from jacketcalc.casefile.rendering import WIDTH, printable
from jacketcalc.cautions import CARE, HAZARD
from jacketcalc.inputs import Case, Machine
from jacketcalc.number_text import at_most
from jacketcalc.show.sizes import list_sizes
from jacketcalc.unit_display import System, find_display

SENTENCE = "The case is complete and consistent. Nothing was computed; the design was not checked."
"""What the reading of a case shows, and what it does not."""
CAUTION = f"{HAZARD}: {CARE}."
"""What stands below it."""
_LABEL = 40
"""Columns for the name of a size [-]."""
_DIGITS = 4
"""Significant digits of a size, and all digits before its point [-]."""


def describe_case(case: Case) -> str:
    """Return what was understood, in 80 columns and plain characters."""
    system: System = case.document.units
    stated = [given for given in case.given if not given.assumed and given.path != "title"]
    filled = [given for given in case.given if given.assumed]
    title = wrap_columns(printable(case.title), WIDTH)
    blocks = [
        [*title, f"{printable(case.file)}   sha256 {case.sha256[:16]}"],
        ["UNDERSTOOD", *describe_entries(stated, system)],
        [
            f"FILLED IN, because the case does not state it ({len(filled)})",
            '  ("practice": common in the trade, without a source)',
            *describe_entries(filled, system),
        ],
        ["SIZES that follow from these entries", *_sizes(case.machine, system)],
        ["MATERIALS", *describe_materials(case, system)],
        _notes(list_notes(case)),
        [*wrap_columns(SENTENCE, WIDTH), *wrap_columns(CAUTION, WIDTH)],
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _sizes(machine: Machine, system: System) -> list[str]:
    lines = []
    for table, sizes in groupby(list_sizes(machine), key=lambda size: size.table):
        lines.append(f"  [{table}]")
        lines += [
            f"    {size.label:<{_LABEL}}{_quantity(size.value, size.dimension, system)}"
            for size in sizes
        ]
    return lines


def _quantity(value: float, dimension: str, system: System) -> str:
    """Return a size with its unit; a large one keeps every digit before the point."""
    unit = find_display(dimension, system)
    shown = value / unit.size
    place = math.floor(math.log10(abs(shown))) if shown else 0
    return f"{at_most(shown, max(0, _DIGITS - 1 - place))} {unit.symbol}".rstrip()


def _notes(notes: Sequence[str]) -> list[str]:
    lines = [line for note in notes for line in wrap_columns(printable(note), WIDTH, "  ", "    ")]
    return ["NOTES", *lines] if lines else []
