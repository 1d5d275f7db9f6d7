"""A study, and what a search found, as one JSON object in SI.

A version of a format gains fields and never loses one.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from jacketcalc import __version__
from jacketcalc.assessment.gas_range import GasRange
from jacketcalc.cautions import CAUTION
from jacketcalc.core.output_record import UNITS
from jacketcalc.inputs import Case
from jacketcalc.show.json_data import Plain, dump, finite_or_none
from jacketcalc.show.limit_text import bounds_of
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.choice import Choice, choose_all
from jacketcalc.studies.columns import Numbers, StudyColumn
from jacketcalc.studies.drawn import drawn_entries
from jacketcalc.studies.limits import Bound
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.study_table import StudyRow, StudyTable
from jacketcalc.studies.trials import Trial

STUDY, OPTIMUM = "jacketcalc-study-2", "jacketcalc-optimum-2"
"""Names and versions of the formats."""


def make_study_json(table: StudyTable) -> str:
    """Return a study as JSON text, ending in a line feed."""
    return dump(study_object(table)) + "\n"


def make_optimum_json(optimum: Optimum) -> str:
    """Return what a search found as JSON text, ending in a line feed."""
    return dump(optimum_object(optimum)) + "\n"


def study_object(table: StudyTable) -> dict[str, Any]:
    """Return a study as plain data."""
    plain = Plain()
    return {
        **_head(STUDY, table.case),
        "drawn": {
            "entries": {axis.path: _entries(table, axis) for axis in table.axes},
            **_drawn(table),
            "standings": [plain.record(s, "drawn.standings[]") for s in table.standings],
            "missing": list(table.missing),
            "units": dict(sorted(plain.units.items())),
        },
        "axes": [
            {
                "path": axis.path,
                "unit": UNITS[axis.dimension],
                "kind": "word" if axis.words else "count" if axis.whole else "quantity",
                "values": list(axis.texts if axis.words else axis.values),
                "texts": list(axis.texts),
            }
            for axis in table.axes
        ],
        "held": dict(table.held),
        "members": list(table.members),
        "columns": [_column(c) for c in table.columns],
        "range_columns": [_column(end) for c in table.columns for end in c.band],
        "no_jackets": [_numbers(numbers) for numbers in table.bare],
        "rows": [_row(table, row) for row in table.rows],
        "best": [_choice(table, choice) for choice in choose_all(table)],
        "limits": [_bound(bound, found) for bound, found in bounds_of(table)],
    }


def optimum_object(optimum: Optimum) -> dict[str, Any]:
    """Return what a search found as plain data."""
    limits = optimum.limits
    return {
        **_head(OPTIMUM, optimum.case),
        "aim": optimum.aim.name,
        "column": optimum.aim.column,
        "limits": {
            "rib": {"value": limits.rib, "unit": "m"},
            "discharge": {"value": limits.discharge, "unit": "K"},
            "back_pressure": {"value": limits.back_pressure, "unit": "Pa"},
            "frost_margin": {"value": limits.frost, "unit": "K"},
        },
        "variables": [
            {
                "path": axis.path,
                "unit": UNITS[axis.dimension],
                "low": min(axis.values),
                "high": max(axis.values),
                "step": variable.step,
            }
            for variable, axis in zip(optimum.variables, optimum.axes, strict=True)
        ],
        "best_case": {"title": optimum.best_case.title, "sha256": optimum.best_case.sha256},
        "no_jackets": _numbers(optimum.bare),
        "no_jackets_gas_beyond_table": _gas(optimum.bare_gas),
        "least_turns": limits.turns,
        "limits_ignored": sorted(limits.ignored),
        "limits_set_aside": [bound.name for bound in optimum.let_go],
        "nearest_to_limits": _trial(optimum.nearest),
        "finer_steps_gain": optimum.rounding,
        "best": {**_trial(optimum.best), "keeps_limits": not optimum.best.broken},
        "level": {
            "path": optimum.axes[0].path,
            "unit": UNITS[optimum.axes[0].dimension],
            "low": optimum.level[0],
            "high": optimum.level[1],
        },
        "front": [_trial(trial) for trial in optimum.front],
        "solved": len(optimum.tried),
        "as_drawn": _numbers(optimum.drawn.numbers),
        "as_drawn_breaks": sorted(optimum.drawn.broken),
        "scan": study_object(optimum.scan),
    }


def _head(form: str, case: Case) -> dict[str, Any]:
    return {
        "format": form,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256},
        "caution": CAUTION,
    }


def _numbers(numbers: Numbers) -> dict[str, float | None]:
    return {name: finite_or_none(value) for name, value in numbers.items()}


def _column(column: StudyColumn) -> dict[str, str]:
    return {"name": column.name, "head": column.head, "unit": column.unit or "-"}


def _row(table: StudyTable, row: StudyRow) -> dict[str, Any]:
    return {
        "values": [
            text if axis.words else value
            for axis, value, text in zip(table.axes, row.values, row.texts, strict=True)
        ],
        **_solved(table, row),
    }


def _solved(table: StudyTable, row: StudyRow) -> dict[str, Any]:
    return {
        "state": row.state,
        "reason": row.reason,
        "members": [_numbers(numbers) for numbers in row.members],
        "range": _numbers(row.band(table.columns)),
        "gas_beyond_table": _gas(row.gas),
    }


def _drawn(table: StudyTable) -> dict[str, Any]:
    return {} if table.drawn is None else _solved(table, table.drawn)


def _entries(table: StudyTable, axis: Axis) -> list[dict[str, Any]]:
    """Return what the drawn design has for a varied entry."""
    return [
        {"part": e.part, "text": e.text, "value": e.text if axis.words else e.value}
        for e in drawn_entries(table.drawn_case, axis)
    ]


def _bound(bound: Bound, found: Sequence[float | None]) -> dict[str, Any]:
    return {
        "name": bound.name,
        "unit": UNITS[bound.dimension],
        "kind": "at most" if bound.most else "at least",
        "limits": dict(bound.terms),
        "broken_by_rows": [i for i, excess in enumerate(found) if excess and excess > 0.0],
    }


def _trial(trial: Trial) -> dict[str, Any]:
    return {
        "values": list(trial.values),
        "texts": list(trial.texts),
        "breaks": sorted(trial.broken),
        "numbers": _numbers(trial.numbers),
        "gas_beyond_table": _gas(trial.gas),
    }


def _gas(gas: GasRange | None) -> dict[str, dict[str, Any]] | None:
    """Return extremes of gas that leaves the table of air, None where none does."""
    if gas is None:
        return None
    return {
        name: {"value": getattr(gas, name), "unit": unit}
        for name, unit in (("coldest", "K"), ("hottest", "K"), ("lowest", "Pa"), ("highest", "Pa"))
    }


def _choice(table: StudyTable, choice: Choice) -> dict[str, Any]:
    return {
        "aim": choice.aim.name,
        "column": choice.aim.column,
        "verdict": choice.verdict,
        "row": choice.best,
        "as_good": list(choice.plateau),
        "end_of_range": [table.axes[axis].path for axis in choice.rising],
    }
