"""Which input matters: two effects of each, and whether it alone could flip the answer."""

from __future__ import annotations

import json
import math
from functools import cache

import numpy as np
import pytest
from bench_sample import FakeMachines, changed, gain_of, near_break_even, shipped

from jacketcalc.casefile.overrides import set_value
from jacketcalc.inputs import Case, Machine
from jacketcalc.show.rank_text import make_rank_text
from jacketcalc.show.uncertainty_json import make_rank_json
from jacketcalc.uncertainty import paired_samples
from jacketcalc.uncertainty.rank import Ranking, rank_inputs
from jacketcalc.uncertainty.study import estimate_uncertainty
from jacketcalc.uncertainty.uncertain import list_uncertain
from jacketcalc.units import SI_UNITS

NOISE = 2e-5
"""Convergence of the core, as it shows in a relative change [-]."""


@cache
def ranked() -> Ranking:
    """Rank the inputs of a machine whose jackets neither pay nor cost."""
    return rank_inputs(near_break_even())


def test_an_answer_flips_where_the_judged_change_has_another_sign() -> None:
    ranking = ranked()
    for effect in ranking.effects:
        assert effect.gain is not None
        signs = {math.copysign(1.0, gain) for gain in (*effect.gain, ranking.nominal)}
        assert effect.flips == (len(signs) > 1)
    kinds = {effect.flips for effect in ranking.effects}
    assert kinds == {True, False}
    reach = [effect.reach for effect in ranking.effects]
    assert reach == sorted(reach, reverse=True)


def test_the_largest_effects_are_those_of_cases_changed_by_hand() -> None:
    case, ranking = near_break_even(), ranked()
    assert ranking.nominal == pytest.approx(gain_of(case), abs=NOISE)
    first = list(ranking.effects[:3])
    first.append(next(e for e in ranking.effects if e.input.path == "drive.friction"))
    for effect in first:
        assert effect.gain is not None
        for end, gain in zip((effect.low, effect.high), effect.gain, strict=True):
            by_hand = gain_of(set_value(case, effect.input.path, end))
            assert gain == pytest.approx(by_hand, abs=NOISE), effect.input.path


def test_effects_on_delivery_and_on_benefit_are_two_things() -> None:
    """A wider exhaust path: more cycles for both machines, and less benefit of cooling each."""
    effect = next(e for e in ranked().effects if e.input.path == "valve.exhaust_path.C")
    assert effect.delivery is not None and effect.gain is not None
    assert effect.delivery[0] < 0.0 < effect.delivery[1]
    assert effect.gain[0] > ranked().nominal > effect.gain[1]


def test_both_ends_on_one_side_are_an_effect_too(monkeypatch: pytest.MonkeyPatch) -> None:
    def bent(machine: Machine) -> float:
        return 0.1 - (machine.models.mixing - 0.5) ** 2 - 0.01 * machine.models.jacket_factor

    monkeypatch.setattr(paired_samples, "run", FakeMachines(bent))
    ranking = rank_inputs(set_value(shipped(), "models.mixing", 0.5))
    first, second = ranking.effects[:2]
    assert first.input.path == "models.mixing"
    assert first.reach == pytest.approx(0.475**2)
    assert second.input.path == "models.jacket_factor"
    assert first.flips and not second.flips


def test_an_end_that_does_not_settle_is_said_so(monkeypatch: pytest.MonkeyPatch) -> None:
    fakes = FakeMachines(lambda m: 0.1, lambda m: m.models.mixing > 0.9)
    monkeypatch.setattr(paired_samples, "run", fakes)
    effect = next(e for e in rank_inputs(shipped()).effects if e.input.path == "models.mixing")
    assert effect.gain is None and effect.delivery is None and not effect.flips


def test_text_and_json_tell_the_same() -> None:
    ranking = ranked()
    text, told = make_rank_text(ranking, every=True), json.loads(make_rank_json(ranking))
    assert len(told["effects"]) == len(ranking.effects) == len(list_uncertain(ranking.case))
    assert told["gain"] == ranking.nominal
    table = text.split("effect on delivery")[1].split("\n")
    for row, effect in zip(told["effects"], ranking.effects, strict=True):
        assert row["path"] == effect.input.path and row["could_flip"] == effect.flips
        assert row["gain"] == list(effect.gain or ())
        line = next(line for line in table if line.startswith(row["path"][:29]))
        assert line.rstrip().endswith("yes" if effect.flips else "no")
    assert "effect on delivery" in text and "effect on benefit" in text
    assert max(map(len, text.split("\n"))) <= 80
    short = make_rank_text(ranking)
    assert len(short) < len(text) and "--all" in short


def narrow(share: float) -> Case:
    """Return the single stage with every input known to a small share of itself."""
    case = shipped()
    stated: dict[str, float | str] = {}
    for one in list_uncertain(case):
        value = one.nominal
        unit = "Pa(a)" if one.dimension == "pressure" else SI_UNITS[one.dimension]
        u = share * value * (0.2 if one.dimension == "temperature" else 1.0)
        stated[one.path] = f"{value!r} {unit} u {u!r} {unit.replace('(a)', '')}"
    return changed(case, stated)


def test_small_uncertainties_add_up_as_their_slopes_say() -> None:
    """JCGM 100, 5.1.2: u^2(y) is the sum of (slope x u)^2, for what is near to straight."""
    case = narrow(0.01)
    ranking, study = rank_inputs(case), estimate_uncertainty(case, samples=256)
    parts = []
    for effect in ranking.effects:
        assert effect.input.origin == "standard uncertainty of the case"
        assert effect.gain is not None
        slope = (effect.gain[1] - effect.gain[0]) / (effect.high - effect.low)
        parts.append(slope * effect.input.distribution.standard_uncertainty)
    u = float(np.sqrt(np.sum(np.square(parts))))
    found = study.gain
    assert found.standard_uncertainty.value == pytest.approx(u, rel=0.1)
    assert found.mean.value == pytest.approx(ranking.nominal, abs=0.1 * u + found.mean.margin())
    assert found.high.value - found.low.value == pytest.approx(2.0 * 1.96 * u, rel=0.1)
