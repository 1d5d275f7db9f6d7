"""A fill as one JSON object in SI."""

from __future__ import annotations

from typing import Any

from jacketcalc import __version__
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.fill.result import Fill, FillComparison
from jacketcalc.fill.words import NOTES, answer, describe_currency, describe_help
from jacketcalc.show.json_data import Plain, dump

FORMAT = "jacketcalc-fill-1"
"""Name and version of the format."""


def make_fill_json(found: FillComparison) -> str:
    """Return a fill as JSON text, ending in a line feed."""
    plain = Plain()
    return dump({
        "format": FORMAT,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": found.case.title, "sha256": found.case.sha256},
        "caution": CAUTION_BRIEF,
        "answer": answer(found),
        "jackets": describe_help(found),
        "air": describe_currency(found),
        "air_is_short": found.air_is_short,
        "helped": plain.value(found.helped, "helped", "-"),
        "target": plain.value(found.target, "target", "Pa"),
        "receiver": plain.record(found.receiver, "receiver"),
        "no_jackets": _fill(plain, found.no_jackets, "no_jackets"),
        "with_jackets": _fill(plain, found.with_jackets, "with_jackets"),
        "stages": [stage.name for stage in found.case.machine.stages],
        "notes": list(NOTES),
        "units": dict(sorted(plain.units.items())),
    }) + "\n"  # fmt: skip


def _fill(plain: Plain, fill: Fill, path: str) -> dict[str, Any]:
    own = plain.record(fill, path)
    strokes = plain.value(fill.strokes, f"{path}.strokes", "-")
    specific = plain.value(fill.specific_air, f"{path}.specific_air", "-")
    return {**own, "strokes": strokes, "specific_air": specific}
