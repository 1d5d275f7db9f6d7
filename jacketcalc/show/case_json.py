"""What was understood of a case as one JSON object in SI."""

from __future__ import annotations

import json
from typing import Any

from jacketcalc import __version__
from jacketcalc.casefile.describe import field_at, list_notes
from jacketcalc.inputs import Case, Given
from jacketcalc.show.case_text import CAUTION, SENTENCE
from jacketcalc.show.sizes import list_sizes

FORMAT = "jacketcalc-check-1"
"""Name and version of the format; fields are added under this name, never changed."""


def make_case_json(case: Case) -> str:
    """Return a case as JSON text in ASCII, ending in a line feed."""
    return json.dumps(make_case_object(case), indent=1, allow_nan=False) + "\n"


def make_case_object(case: Case) -> dict[str, Any]:
    """Return a case as plain data: entries, the sizes that follow, notes."""
    return {
        "format": FORMAT,
        "program": {"name": "jacketcalc", "version": __version__},
        "title": case.title,
        "sha256": case.sha256,
        "entries": [_entry(given) for given in case.given],
        "sizes": [
            {
                "path": f"{size.table}.{size.key}",
                "value": size.value,
                "unit": size.unit,
                "what": size.label,
            }
            for size in list_sizes(case.machine)
        ],
        "notes": list_notes(case),
        "sentence": SENTENCE,
        "caution": CAUTION,
    }


def _entry(given: Given) -> dict[str, Any]:
    """Return an entry; words have neither unit nor tolerance."""
    number = not isinstance(given.value, str)
    return {
        "path": given.path,
        "value": given.value,
        "unit": (given.unit or "-") if number else None,
        "tolerance": given.tolerance if number else None,
        "source": given.source,
        "reference": given.reference,
        "assumed": given.assumed,
        "text": given.text,
        "why": field_at(given.path).why if given.assumed else "",
    }
