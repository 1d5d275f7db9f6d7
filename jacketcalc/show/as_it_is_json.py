"""A machine without jackets as one JSON object in SI."""

from __future__ import annotations

from jacketcalc import __version__
from jacketcalc.assessment.as_it_is import AsItIs
from jacketcalc.assessment.compressor import supply_share
from jacketcalc.assessment.summary import count_inputs
from jacketcalc.assessment.water_words import list_water
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.show.json_data import Plain, dump

FORMAT = "jacketcalc-as-it-is-1"
"""Name and version of the format; fields are added under this name, never changed."""


def make_as_it_is_json(found: AsItIs) -> str:
    """Return what a machine without jackets does as JSON text, ending in a line feed."""
    plain, case = Plain(), found.case
    share = supply_share(case.machine, found.outcome)
    limits = [
        {**plain.record(check, "limits[]", ("what", "kind", "limit", "low", "high")),
         "value": plain.value(check.bare, "limits[].value", "K"),
         "state": check.state, "kept": check.kept}
        for check in found.limits
    ]  # fmt: skip
    told = {
        "format": FORMAT,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256},
        "caution": CAUTION_BRIEF,
        "no_jackets": plain.value(found.outcome, "no_jackets"),
        "limits": limits,
        "water": list_water(found.outcome, case.document.units),
        "air": None if share is None else {
            "need": plain.value(share.need, "air.need", "kg/s"),
            "capacity": plain.value(share.capacity, "air.capacity", "kg/s"),
            "running": plain.value(share.running, "air.running", "-"),
        },
        "inputs": plain.record(count_inputs(case), "inputs"),
        "members": [
            {"label": label, "no_jackets": plain.value(outcome, "members[].no_jackets")}
            for label, outcome in found.members
        ],
        "missing": list(found.missing),
        "next": [plain.record(step, "next[]") for step in found.steps],
        "profiles": plain.value(found.detail, "profiles"),
    }  # fmt: skip
    return dump({**told, "units": dict(sorted(plain.units.items()))}) + "\n"
