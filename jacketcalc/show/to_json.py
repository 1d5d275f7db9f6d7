"""An assessment as one JSON object in SI: additive only, the same bytes for the same case."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from jacketcalc import __version__
from jacketcalc.assessment.hand_check import hand_checks
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.single_change import SingleChange
from jacketcalc.assessment.summary import summarise_first
from jacketcalc.assessment.water_finding import water_of
from jacketcalc.assessment.water_words import list_water
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import UNITS, Outputs
from jacketcalc.show.json_data import Plain, dump, finite_or_none
from jacketcalc.show.json_names import json_name
from jacketcalc.show.limit_json import plain_context, plain_limits
from jacketcalc.show.record_units import NO_UNIT

FORMAT = "jacketcalc-assessment-2"
"""Name and version of the format; fields are added under this name, never changed."""
_BAND = ("delivered_mass_flow", "specific_air_consumption", "discharge_temperature")


def make_json(assessment: Assessment, outputs: Outputs = OUTPUTS) -> str:
    """Return an assessment as JSON text, ending in a line feed."""
    return dump(make_object(assessment, outputs)) + "\n"


def make_object(assessment: Assessment, outputs: Outputs = OUTPUTS) -> dict[str, Any]:
    """Return an assessment as plain data, with these results of each machine.

    Floats are finite, None where a number has no finite value; `units` gives the SI unit of
    every number by its path.
    """
    plain = Plain(outputs)
    case = assessment.case
    found: dict[str, Any] = {
        "format": FORMAT,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256},
        **_first(assessment, plain),
        "no_jackets": _machine(assessment.bare, "no_jackets", plain),
        "with_jackets": _machine(assessment.jacketed, "with_jackets", plain),
        "change": {
            **plain.record(assessment.change, "change"),
            **plain.record(assessment.split, "change"),
        },
        "conductance_ratio": plain.value(assessment.conductance.ratio, "conductance_ratio", "-"),
        "break_even_ratio": plain.value(assessment.conductance.break_even, "break_even_ratio", "-"),
        "model_range": plain.record(assessment.band, "model_range", _BAND),
        "pressure_budget": [
            plain.record(budget, "pressure_budget[]")
            for budget in assessment.jacketed_detail.pressure_budgets
        ],
        "assumptions": _assumptions(assessment, plain),
        "single_changes": _changes(assessment, assessment.tried, "single_changes", plain),
        "way_to_pay": _changes(assessment, assessment.way, "way_to_pay", plain),
        "notes": plain.value(assessment.notes, "notes"),
    }
    detail = _detail(assessment, plain)
    return {**found, "units": dict(sorted(plain.units.items())), "detail": detail}


def _changes(
    assessment: Assessment, changes: Sequence[SingleChange], path: str, plain: Plain
) -> list[dict[str, Any]]:
    """Return changes of parts by one size, with all that is typed for each."""
    by_kelvin = assessment.case.judgement.by == "discharge temperature"
    path, unit = f"{path}[]", "K" if by_kelvin else NO_UNIT
    return [
        {
            "what": one.what,
            "entries": dict(one.entries),
            "change": plain.value(one.change, f"{path}.change", unit),
            "gain": plain.value(one.gain, f"{path}.gain", unit),
            "delivered_mass_flow": plain.value(
                one.jacketed.delivered_mass_flow, f"{path}.delivered_mass_flow", "kg/s"
            ),
        }
        for one in changes
    ]


def _assumptions(assessment: Assessment, plain: Plain) -> list[dict[str, Any]]:
    """Return the assumed numbers that move the answer most, those that flip it first."""
    by_kelvin = assessment.case.judgement.by == "discharge temperature"
    path, unit = "assumptions[]", "K" if by_kelvin else NO_UNIT
    for name in ("value", "low", "high"):
        plain.units[f"{path}.{name}"] = "its `unit`"
    return [
        {
            **plain.record(one, path, ("path", "value", "low", "high")),
            "unit": UNITS[one.dimension] or NO_UNIT,
            "gain_at_low": plain.value(one.at_low, f"{path}.gain_at_low", unit),
            "gain_at_high": plain.value(one.at_high, f"{path}.gain_at_high", unit),
            "flips": one.flips,
        }
        for one in assessment.assumptions
    ]


def _first(assessment: Assessment, plain: Plain) -> dict[str, Any]:
    """Return what stands on the first screen, in its order."""
    summary = summarise_first(assessment, plain.outputs)
    plain.units["gains[].change.*"] = "its `unit`"
    plain.units["first_table[].change.*"] = "its `change_unit`"
    for machine in ("no_jackets", "with_jackets"):
        plain.units[f"first_table[].{machine}"] = "its `unit`"
    rows = [
        {
            "key": row.output.key,
            "label": row.output.label,
            "unit": row.output.unit or NO_UNIT,
            "no_jackets": _number(row.no_jackets),
            "with_jackets": _number(row.with_jackets),
            "change": plain.value(row.change, "first_table[].change"),
            "change_unit": UNITS[row.output.change_dimension] or NO_UNIT,
        }
        for row in summary.rows
    ]
    return {
        "caution": summary.caution,
        "verdict": plain.record(assessment.verdict, "verdict"),
        "gains": [
            {**plain.record(gain, "gains[]"),
             "unit": "K" if gain.currency == "discharge temperature" else NO_UNIT}
            for gain in summary.gains
        ],
        "limits": plain.record(summary.limits, "limits"),
        "water": list_water(assessment.jacketed, assessment.case.document.units),
        "inputs": plain.record(summary.inputs, "inputs"),
        "first_table": rows,
        "next": [plain.record(step, "next[]") for step in summary.steps],
    }  # fmt: skip


def _number(value: float | None) -> float | int | None:
    return None if value is None else finite_or_none(value)


def _machine(outcome: Outcome, path: str, plain: Plain) -> dict[str, Any]:
    """Return the part of an outcome that the format names; all of it stands in `detail`."""
    found: dict[str, Any] = {"stages": [{"name": stage.name} for stage in outcome.stages]}
    for output in plain.outputs:
        if "json" in output.on:
            plain.add(found, output, outcome, path)
    for stage in found["stages"]:
        stage.setdefault("jacket", None)
    closure = {"energy": outcome.energy_closure, "mass": outcome.mass_closure}
    return {
        **found,
        "energy_balance": plain.value(outcome.energy_balance, f"{path}.energy_balance", "W"),
        "closure": plain.value(closure, f"{path}.closure", "-"),
        "stalled": outcome.stalled,
        "delivers": outcome.delivers,
    }


def _detail(assessment: Assessment, plain: Plain) -> dict[str, Any]:
    """Return everything else that was found, and what was read from the case."""
    names = ("bare", "jacketed", "other", "conductance")
    found = {
        json_name(name): plain.value(getattr(assessment, name), f"detail.{json_name(name)}")
        for name in names
    }
    found["limits"] = plain_limits(assessment, plain, "detail.limits")
    found |= plain_context(assessment, plain, "detail.")
    water = water_of(assessment)
    found["water_needed"] = {
        "with_jackets": plain.value(water.needs, "detail.water_needed.with_jackets"),
        "no_jackets": plain.value(water.needs_bare, "detail.water_needed.no_jackets"),
    }
    found["members"] = plain.value(assessment.band.members, "detail.members")
    for name in ("value", "tolerance", "standard_uncertainty"):
        plain.units[f"detail.inputs[].{name}"] = "its `unit`"
    found["inputs"] = [plain.record(given, "detail.inputs[]") for given in assessment.case.given]
    found["hand_checks"] = plain.value(hand_checks(assessment), "detail.hand_checks")
    found["profiles"] = {
        "no_jackets": plain.value(assessment.bare_detail, "detail.profiles.no_jackets"),
        "with_jackets": plain.value(assessment.jacketed_detail, "detail.profiles.with_jackets"),
    }
    return found
