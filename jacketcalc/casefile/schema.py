"""Every table and key of a case file, with limits, defaults and the reason for each default.

Limits only catch slips: they are wide, and physical limits that join several entries are in
`checks`. Defaults are for what a designer can rarely know.
"""

from __future__ import annotations

from functools import lru_cache

from jacketcalc.casefile.fields import SOURCES, CaseTable, Field, former_keys
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.schema_gas import GAS, SOURCE_OF_GAS
from jacketcalc.casefile.schema_machine import (
    AMBIENT,
    COMPRESSOR,
    DRIVE,
    EXHAUST,
    RECEIVER,
    SUPPLY,
    VALVE,
)
from jacketcalc.casefile.schema_question import DOCUMENT, JUDGE, MAKE, MATERIALS, MODELS
from jacketcalc.casefile.schema_reading import READING
from jacketcalc.casefile.schema_stage import STAGE

TITLE = Field("title", "text", "What the machine is, in one line")

ROOT = CaseTable(
    "",
    "A booster and the question asked of it",
    (TITLE,),
    (
        DOCUMENT,
        JUDGE,
        MAKE,
        AMBIENT,
        SUPPLY,
        COMPRESSOR,
        GAS,
        SOURCE_OF_GAS,
        VALVE,
        DRIVE,
        STAGE,
        RECEIVER,
        EXHAUST,
        MODELS,
        READING,
        MATERIALS,
    ),
    sourced=False,
)  # fmt: skip

SOURCE = Field("source", "word", "Where the numbers come from", choices=SOURCES, optional=True)
REFERENCE = Field(
    "reference", "text", "Drawing, catalogue page or record the numbers come from", optional=True
)


def known_keys(table: CaseTable) -> tuple[str, ...]:
    """Return every key a table can hold."""
    keys = [field.key for field in table.fields]
    keys += [inner.key for inner in table.tables]
    return tuple(keys) if not table.key else (*keys, "source", "reference")


def former_names(table: CaseTable = ROOT) -> dict[str, str]:
    """Return every key of version 0.1 below a table that is another now, with the one of today."""
    found = former_keys(table)
    for inner in table.tables:
        found |= former_names(inner)
    return found


# Asked once for each key of a table, one table after the other.
@lru_cache(maxsize=64)
def find_table(path: Path) -> CaseTable | None:
    """Return the schema of the table at a path, None where there is no such table."""
    table: CaseTable | None = ROOT
    for step in path:
        if table is not None and isinstance(step, str) and not table.named:
            former = former_keys(table)
            table = next((t for t in table.tables if t.key == former.get(step, step)), None)
    return table
