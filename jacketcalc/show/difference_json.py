"""Two cases compared, as one JSON object in SI: additive only."""

from __future__ import annotations

from typing import Any

from jacketcalc import __version__
from jacketcalc.assessment.result import Assessment
from jacketcalc.casefile.changed_entries import ChangedEntry, source_of
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.core.output_record import UNITS
from jacketcalc.inputs import Given
from jacketcalc.show.difference_rows import HeadlineRow, headline_rows
from jacketcalc.show.json_data import Plain, dump, finite_or_none
from jacketcalc.show.record_units import NO_UNIT
from jacketcalc.studies.case_difference import CaseDifference

FORMAT = "jacketcalc-difference-1"
"""Name and version of the format."""


def make_difference_json(found: CaseDifference) -> str:
    """Return a comparison of two cases as JSON text, ending in a line feed."""
    return dump(difference_object(found)) + "\n"


def difference_object(found: CaseDifference) -> dict[str, Any]:
    """Return a comparison of two cases as plain data; `was` is the first case, `now` the second."""
    plain = Plain()
    return {
        "format": FORMAT,
        "program": {"name": "jacketcalc", "version": __version__},
        "caution": CAUTION_BRIEF,
        "was": _case(found.was, "was", plain),
        "now": _case(found.now, "now", plain),
        "inputs": [_entry(entry) for entry in found.entries],
        "headlines": [_row(row) for row in headline_rows(found.was, found.now)],
        "walk": [plain.record(part, "walk[]") for part in found.parts],
        "walk_left_out": found.left_out,
        "units": dict(sorted(plain.units.items())),
    }


def _case(found: Assessment, path: str, plain: Plain) -> dict[str, Any]:
    return {
        "title": found.case.title,
        "file": found.case.file,
        "sha256": found.case.sha256,
        "verdict": plain.record(found.verdict, f"{path}.verdict"),
        "change": plain.record(found.change, f"{path}.change"),
    }


def _entry(entry: ChangedEntry) -> dict[str, Any]:
    return {
        "path": entry.path,
        "was": _given(entry.was),
        "now": _given(entry.now),
        "follows": entry.follows,
    }


def _given(given: Given | None) -> dict[str, Any] | None:
    if given is None:
        return None
    value = given.value if isinstance(given.value, str) else finite_or_none(given.value)
    return {
        "value": value,
        "unit": given.unit or NO_UNIT,
        "tolerance": given.tolerance,
        "standard_uncertainty": given.standard_uncertainty,
        "typed": given.text,
        "source": source_of(given),
    }


def _row(row: HeadlineRow) -> dict[str, Any]:
    output = row.output
    return {
        "key": output.key,
        "label": output.label,
        "machine": row.machine,
        "was": None if row.was is None else finite_or_none(row.was),
        "now": None if row.now is None else finite_or_none(row.now),
        "unit": output.unit or NO_UNIT,
        "change": None if row.change is None else finite_or_none(row.change),
        "change_unit": UNITS[output.change_dimension] or NO_UNIT,
    }
