"""Jackets that were proposed, as one JSON object in SI."""

from __future__ import annotations

from typing import Any

from jacketcalc import __version__
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.inputs import Stage
from jacketcalc.show.json_data import dump
from jacketcalc.show.to_json import make_object
from jacketcalc.studies.propose import Proposal

FORMAT = "jacketcalc-propose-1"
"""Name and version of the format; fields are added under this name, never changed."""
_SIZES = ("gap", "pitch", "rib", "length", "offset", "outlet_bore", "inlet_bore", "gallery_width",
          "shell_thickness")  # fmt: skip
"""Sizes of a jacket, all in metres."""


def make_proposal_json(found: Proposal) -> str:
    """Return a proposal as JSON text, ending in a line feed."""
    return dump(make_proposal_object(found)) + "\n"


def make_proposal_object(found: Proposal) -> dict[str, Any]:
    """Return a proposal as plain data; what it brings stands under `assessment`."""
    machine = found.best_case.machine
    tubes = (machine.exhaust_1.tube, machine.exhaust_2.tube)
    return {
        "format": FORMAT,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": found.case.title, "sha256": found.case.sha256},
        "caution": CAUTION_BRIEF,
        "answer": found.assessment.verdict.answer,
        "proposed_case": {"sha256": found.best_case.sha256, "text": found.best_case.text},
        "jackets": [_jacket(stage) for stage in machine.stages if stage.jacket is not None],
        "exhaust": [
            {"to": goal, "tube_bore": None if tube is None else tube.bore, "unit": "m"}
            for goal, tube in zip(found.goals, tubes, strict=True)
        ],
        "designs_solved": found.tried,
        "quick": found.quick,
        "limits_left_out": [bound.name for bound in found.let_go],
        "assessment": make_object(found.assessment),
    }


def _jacket(stage: Stage) -> dict[str, Any]:
    jacket = stage.jacket
    assert jacket is not None
    sizes = {key: getattr(jacket, key) for key in _SIZES}
    return {"stage": stage.name, "starts": jacket.starts, **sizes, "unit": "m"}
