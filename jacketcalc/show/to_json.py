"""An assessment as one JSON object in SI: additive only, the same bytes for the same case."""

from __future__ import annotations

from typing import Any

from jacketcalc import __version__
from jacketcalc.assessment.hand_check import hand_checks
from jacketcalc.assessment.result import Assessment
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import Outputs
from jacketcalc.show.json_data import Plain, dump

FORMAT = "jacketcalc-assessment-1"
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
        "bare": _machine(assessment.bare, "bare", plain),
        "jacketed": _machine(assessment.jacketed, "jacketed", plain),
        "change": {
            **plain.record(assessment.change, "change"),
            **plain.record(assessment.split, "change"),
        },
        "conductance_ratio": plain.value(assessment.conductance.ratio, "conductance_ratio", "-"),
        "break_even_ratio": plain.value(assessment.conductance.break_even, "break_even_ratio", "-"),
        "band": plain.record(assessment.band, "band", _BAND),
        "verdict": plain.record(assessment.verdict, "verdict"),
        "notes": plain.value(assessment.notes, "notes"),
    }
    detail = _detail(assessment, plain)
    return {**found, "units": dict(sorted(plain.units.items())), "detail": detail}


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
    found = {name: plain.value(getattr(assessment, name), f"detail.{name}") for name in names}
    found["limits"] = [
        {
            **plain.record(check, "detail.limits[]"),
            "state": check.state,
            "kept": check.kept,
            "kept_bare": check.kept_bare,
            "fate": check.fate,
        }
        for check in assessment.limits
    ]
    found["members"] = plain.value(assessment.band.members, "detail.members")
    plain.units["detail.inputs[].value"] = plain.units["detail.inputs[].tolerance"] = "its `unit`"
    found["inputs"] = [plain.record(given, "detail.inputs[]") for given in assessment.case.given]
    found["hand_checks"] = plain.value(hand_checks(assessment), "detail.hand_checks")
    found["profiles"] = {
        "bare": plain.value(assessment.bare_detail, "detail.profiles.bare"),
        "jacketed": plain.value(assessment.jacketed_detail, "detail.profiles.jacketed"),
    }
    return found
