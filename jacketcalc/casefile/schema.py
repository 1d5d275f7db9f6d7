"""Every table and key of a case file, with limits, defaults and the reason for each default.

Limits only catch slips: they are wide, and physical limits that join several entries are in
`checks`. Defaults are for what a designer can rarely know.
"""

from __future__ import annotations

from jacketcalc.casefile.fields import SOURCES, CaseTable, Field
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.schema_machine import (
    AMBIENT,
    COMPRESSOR,
    DOCUMENT,
    DRIVE,
    EXHAUST,
    JUDGE,
    MATERIALS,
    MODELS,
    RECEIVER,
    SUPPLY,
    VALVE,
)
from jacketcalc.casefile.schema_stage import STAGE

TITLE = Field("title", "text", "What the machine is, in one line")

ROOT = CaseTable(
    "",
    "A booster and the question asked of it",
    (TITLE,),
    (
        DOCUMENT,
        JUDGE,
        AMBIENT,
        SUPPLY,
        COMPRESSOR,
        VALVE,
        DRIVE,
        STAGE,
        RECEIVER,
        EXHAUST,
        MODELS,
        MATERIALS,
    ),
    sourced=False,
)

SOURCE = Field("source", "word", "Where the numbers come from", choices=SOURCES, optional=True)
REFERENCE = Field(
    "reference", "text", "Drawing, catalogue page or record the numbers come from", optional=True
)


def known_keys(table: CaseTable) -> tuple[str, ...]:
    """Return every key a table can hold."""
    keys = [field.key for field in table.fields]
    keys += [inner.key for inner in table.tables]
    return tuple(keys) if not table.key else (*keys, "source", "reference")


def find_table(path: Path) -> CaseTable | None:
    """Return the schema of the table at a path, None where there is no such table."""
    table: CaseTable | None = ROOT
    for step in path:
        if table is not None and isinstance(step, str) and not table.named:
            table = next(
                (inner for inner in table.tables if step in (inner.key, inner.former)), None
            )
    return table
