"""Readings against the model, and which to take next, as JSON in SI."""

from __future__ import annotations

from typing import Any

from jacketcalc import __version__
from jacketcalc.assessment.result import Interval
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.inputs import Case
from jacketcalc.readings import DIMENSIONS, Reading
from jacketcalc.show.json_data import dump, finite_or_none
from jacketcalc.uncertainty.plan_test import TestPlan
from jacketcalc.uncertainty.reconcile import Explanation, Parting, Reconciliation
from jacketcalc.units import SI_UNITS


def make_bench_json(found: Reconciliation) -> str:
    """Return a reconciliation as JSON text, ending in a line feed."""
    return dump(
        {
            **_head("jacketcalc-bench-1", found.case),
            "judged_by": found.case.judgement.by,
            "unexplained": found.unexplained,
            "nominal_gain": _interval(found.nominal),
            "chi_square": found.chi_square,
            "readings": [
                {**_reading(one.reading), "predicted": finite_or_none(one.predicted),
                 "fitted": finite_or_none(one.fitted), "residual": finite_or_none(one.residual)}
                for one in found.compared
            ],
            "single": [_explanation(one) for one in found.single],
            "joint": _explanation(found.joint),
            "parting": _parting(found.parting),
        }
    ) + "\n"  # fmt: skip


def make_plan_json(plan: TestPlan) -> str:
    """Return a plan of tests as JSON text, ending in a line feed."""
    return dump(
        {
            **_head("jacketcalc-plan-1", plan.case),
            "judged_by": plan.case.judgement.by,
            "standard_uncertainty_before": plan.before,
            "readings": [
                {**_proposed(one.reading), "instrument": one.instrument, "chosen": one.chosen,
                 "standard_uncertainty_after": one.uncertainty_after,
                 "after_chosen": one.after_chosen}
                for one in plan.proposed
            ],
        }
    ) + "\n"  # fmt: skip


def _head(form: str, case: Case) -> dict[str, Any]:
    return {
        "format": form,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256},
        "caution": CAUTION_BRIEF,
    }


def _interval(found: Interval) -> dict[str, Any]:
    return {name: finite_or_none(getattr(found, name)) for name in ("low", "value", "high")}


def _reading(one: Reading) -> dict[str, Any]:
    return {
        "name": one.name, "kind": one.kind, "jackets": one.jackets, "stage": one.stage,
        "place": one.place, "value": one.value, "unit": SI_UNITS[DIMENSIONS[one.kind]],
        "standard_uncertainty": one.standard_uncertainty,
    }  # fmt: skip


def _proposed(one: Reading) -> dict[str, Any]:
    """Return a reading that is not taken yet, and so has no value."""
    return {key: value for key, value in _reading(one).items() if key != "value"}


def _parting(one: Parting | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {**_proposed(one.reading), "instrument": one.instrument, "apart": one.apart,
            "parts": list(one.names)}  # fmt: skip


def _explanation(one: Explanation) -> dict[str, Any]:
    return {
        "name": one.name,
        "explains": one.explains,
        "answer": one.answer,
        "chi_square": one.chi_square,
        "p_value": one.p_value,
        "gain": _interval(one.gain),
        "integrated": one.posterior is not None,
        "values": [
            {"name": unknown.name, "keys": list(unknown.keys), "factor": unknown.factor,
             **_interval(value)}
            for unknown, value in zip(one.unknowns, one.values, strict=True)
        ],
    }  # fmt: skip
