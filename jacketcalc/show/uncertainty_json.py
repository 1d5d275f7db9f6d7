"""What samples and ranks say, as one JSON object in SI."""

from __future__ import annotations

from typing import Any

from jacketcalc import __version__
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.inputs import Case
from jacketcalc.show.json_data import dump, finite_or_none
from jacketcalc.show.record_units import NO_UNIT
from jacketcalc.statistics.estimates import Estimate
from jacketcalc.statistics.summary import Summary
from jacketcalc.statistics.within import Within, family
from jacketcalc.uncertainty.indices import InputShares, VarianceShares
from jacketcalc.uncertainty.rank import Effect, Ranking
from jacketcalc.uncertainty.result import UncertaintyStudy
from jacketcalc.uncertainty.uncertain import UncertainInput
from jacketcalc.units import SI_UNITS


def make_uncertainty_json(study: UncertaintyStudy) -> str:
    """Return the study as JSON text, ending in a line feed."""
    return dump(
        {
            **_head("jacketcalc-uncertainty-1", study.case),
            "judged_by": study.case.judgement.by,
            "samples": study.samples,
            "failed": study.failed,
            "resting": study.resting,
            "seed": study.seed,
            "level": study.level,
            "precision": study.precision,
            "precision_reached": study.reached,
            "probability_pays": _estimate(study.pays),
            "gain": _summary(study.gain),
            "headlines": [
                {
                    "key": one.output.key,
                    "label": one.output.label,
                    "unit": one.output.unit or NO_UNIT,
                    "no_jackets": _summary(one.no_jackets),
                    "with_jackets": _summary(one.with_jackets),
                    "change": _summary(one.change),
                    "change_is": one.output.change,
                }
                for one in study.headlines
            ],
            "limits": [
                {
                    "what": one.what,
                    **{name: _estimate(getattr(one, name))
                       for name in ("kept", "mended", "newly_broken", "broken_in_both")},
                }
                for one in study.limits
            ],
            "shares": [
                {"path": s.path, "first": s.first, "sampling_error": s.sampling_error,
                 "told": s.told}
                for s in study.shares
            ],
            "inputs": [_input(one) for one in study.inputs],
        }
    ) + "\n"  # fmt: skip


def make_rank_json(ranking: Ranking, shares: VarianceShares | None = None) -> str:
    """Return a ranking as JSON text, ending in a line feed.

    Parameters
    ----------
    ranking : the inputs, each alone from end to end
    shares : their shares of the variance, where they were asked for
    """
    return dump(
        {
            **_head("jacketcalc-rank-1", ranking.case),
            "judged_by": ranking.case.judgement.by,
            "gain": ranking.nominal,
            "delivered_mass_flow": {"value": ranking.delivery, "unit": "kg/s"},
            "effects": [_effect(one) for one in ranking.effects],
            **({} if shares is None else {"indices": _indices(shares)}),
        }
    ) + "\n"  # fmt: skip


def _indices(found: VarianceShares) -> dict[str, Any]:
    return {
        "unit": NO_UNIT,
        "samples": found.samples,
        "samples_of_a_total": found.redrawn,
        "seed": found.seed,
        "machine_solutions_at_most": found.solutions,
        "failed": found.failed,
        "resting": found.resting,
        "inputs": [_shares(one) for one in (*found.single, *found.grouped)],
        "others_together": None if found.together is None else _shares(found.together),
    }


def _shares(one: InputShares) -> dict[str, Any]:
    def told(share: Estimate | None) -> dict[str, Any] | None:
        return None if share is None else {**_estimate(share), "told": share.told}

    return {
        "paths": list(one.paths),
        "benefit": {"first": told(one.benefit.first), "total": told(one.benefit.total)},
        "delivery": {"first": told(one.delivery.first), "total": told(one.delivery.total)},
    }


def _head(form: str, case: Case) -> dict[str, Any]:
    return {
        "format": form,
        "program": {"name": "jacketcalc", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256},
        "caution": CAUTION_BRIEF,
    }


def _estimate(estimate: Estimate) -> dict[str, Any]:
    return {
        "value": finite_or_none(estimate.value),
        "sampling_error": finite_or_none(estimate.sampling_error),
    }


def _summary(summary: Summary | None) -> dict[str, Any] | None:
    if summary is None:
        return None
    names = ("mean", "median", "standard_uncertainty", "low", "high")
    return {name: _estimate(getattr(summary, name)) for name in names}


def _input(one: UncertainInput) -> dict[str, Any]:
    low, high = one.ends
    return {
        "path": one.path,
        "unit": SI_UNITS.get(one.dimension, "") or NO_UNIT,
        "value": one.nominal,
        "standard_uncertainty": one.distribution.standard_uncertainty,
        "low": low,
        "high": high,
        "distribution": family(one.distribution),
        "cut_off": isinstance(one.distribution, Within),
        "origin": one.origin,
        "assumed": one.assumed,
    }


def _effect(effect: Effect) -> dict[str, Any]:
    return {
        **_input(effect.input),
        "delivery": None if effect.delivery is None else list(effect.delivery),
        "gain": None if effect.gain is None else list(effect.gain),
        "could_flip": effect.flips,
        "way_to_know": effect.way,
    }
