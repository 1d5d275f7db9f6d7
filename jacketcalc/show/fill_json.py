"""A fill as one JSON object in SI."""

from __future__ import annotations

from typing import Any

from jacketcalc import __version__
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.fill.repeated import RepeatedFills, Series
from jacketcalc.fill.result import Fill, FillComparison
from jacketcalc.fill.words import (
    NOTES,
    REPEATED,
    answer,
    describe_currency,
    describe_help,
    describe_repeats,
)
from jacketcalc.inputs import Case
from jacketcalc.show.json_data import Plain, dump

FORMAT, REPEAT_FORMAT = "jacketcalc-fill-1", "jacketcalc-fill-repeat-1"
"""Names and versions of the formats."""


def make_fill_json(found: FillComparison) -> str:
    """Return a fill as JSON text, ending in a line feed."""
    plain, jacketed = Plain(), found.with_jackets
    return dump({
        **_head(FORMAT, found.case, found.target, plain),
        "answer": answer(found),
        "jackets": describe_help(found),
        "air": describe_currency(found),
        "air_is_short": found.air_is_short,
        "helped": plain.value(found.helped, "helped", "-") if jacketed else None,
        "no_jackets": _fill(plain, found.no_jackets, "no_jackets"),
        "with_jackets": _fill(plain, jacketed, "with_jackets") if jacketed else None,
        "notes": list(NOTES),
        "units": dict(sorted(plain.units.items())),
    }) + "\n"  # fmt: skip


def make_repeat_json(found: RepeatedFills) -> str:
    """Return repeated fills as JSON text, ending in a line feed."""
    plain, jacketed = Plain(), found.with_jackets
    return dump({
        **_head(REPEAT_FORMAT, found.case, found.target, plain),
        "answer": describe_repeats(found),
        "pause": plain.value(found.pause, "pause", "s"),
        "count": found.count,
        "no_jackets": _series(plain, found.no_jackets, "no_jackets"),
        "with_jackets": _series(plain, jacketed, "with_jackets") if jacketed else None,
        "notes": [REPEATED, *NOTES],
        "units": dict(sorted(plain.units.items())),
    }) + "\n"  # fmt: skip


def _head(form: str, case: Case, target: float, plain: Plain) -> dict[str, Any]:
    return {
        "format": form,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256},
        "caution": CAUTION_BRIEF,
        "target": plain.value(target, "target", "Pa"),
        "receiver": plain.record(case.machine.receiver, "receiver"),
        "stages": [stage.name for stage in case.machine.stages],
    }


def _series(plain: Plain, series: Series, path: str) -> dict[str, Any]:
    fills = [_fill(plain, fill, f"{path}.fills[]") for fill in series.fills]
    return {"repeats": series.repeats, "fills": fills}


def _fill(plain: Plain, fill: Fill, path: str) -> dict[str, Any]:
    own = plain.record(fill, path)
    strokes = plain.value(fill.strokes, f"{path}.strokes", "-")
    specific = plain.value(fill.specific_air, f"{path}.specific_air", "-")
    return {**own, "strokes": strokes, "specific_air": specific}
