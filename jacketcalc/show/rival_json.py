"""Rivals of the jackets as one JSON object in SI: additive only."""

from __future__ import annotations

from typing import Any

from jacketcalc import __version__
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Place
from jacketcalc.show.json_data import Plain, dump, finite_or_none
from jacketcalc.show.record_units import NO_UNIT
from jacketcalc.studies.rival_table import RivalRow, RivalTable

FORMAT = "jacketcalc-rivals-1"
"""Name and version of the format."""
TOLD = (
    "delivered_mass_flow",
    "delivered_volume_flow",
    "specific_air_consumption",
    "drive_air_mass_flow",
    "cycle_rate",
    "hottest_discharge",
    "hottest_gas",
    "hottest_seal",
)
"""Results of a row's machine, by their keys in the catalogue."""


def make_rival_json(table: RivalTable) -> str:
    """Return the table as JSON text, ending in a line feed."""
    return dump(rival_object(table)) + "\n"


def rival_object(table: RivalTable) -> dict[str, Any]:
    """Return the table as plain data; the first row is the machine as it stands."""
    plain = Plain()
    return {
        "format": FORMAT,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": table.case.title, "sha256": table.case.sha256},
        "caution": CAUTION_BRIEF,
        "judged_by": table.case.judgement.by,
        "reference": table.reference,
        "terms": plain.record(table.terms, "terms"),
        "rows": [_row(table, row, plain) for row in table.rows],
        "left_out": list(table.left_out),
        "solved": table.solved,
        "units": dict(sorted(plain.units.items())),
    }


def _row(table: RivalTable, row: RivalRow, plain: Plain) -> dict[str, Any]:
    change = table.changes(row)
    return {
        "name": row.name,
        "ways": list(row.ways),
        "entries": dict(row.entries),
        "assumed": row.assumed,
        "failure": row.failure,
        "delivers": row.delivers,
        "results": _results(row, plain),
        "change": None if change is None else plain.record(change, "rows[].change"),
        "limits_broken": list(row.broken),
        "limits": row.limits,
    }


def _results(row: RivalRow, plain: Plain) -> dict[str, Any] | None:
    if row.outcome is None or row.outcome.stalled:
        return None
    found: dict[str, Any] = {}
    for output in OUTPUTS:
        if output.key in TOLD:
            value = output.read(row.outcome, Place())
            found[output.key] = None if value is None else finite_or_none(value)
            plain.units[f"rows[].results.{output.key}"] = output.unit or NO_UNIT
    return found
