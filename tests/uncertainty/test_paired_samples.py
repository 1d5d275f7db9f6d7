"""Samples of a verdict: both machines of a pair alike, the same bytes from the same seed."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from bench_sample import FakeMachines, shipped

from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.inputs import Machine
from jacketcalc.show.uncertainty_json import make_uncertainty_json
from jacketcalc.show.uncertainty_text import make_uncertainty_text
from jacketcalc.statistics.samples import SampleDesign
from jacketcalc.uncertainty import paired_samples
from jacketcalc.uncertainty.paired_samples import solve_pairs
from jacketcalc.uncertainty.result import UncertaintyStudy
from jacketcalc.uncertainty.study import REPLICATES, estimate_uncertainty
from jacketcalc.uncertainty.uncertain import draw, list_uncertain

SHARE, SPREAD = 0.02, 0.5
"""Closed form of the fakes' judged change: SHARE + SPREAD times (mixing - 0.5) [-]."""


def straight(machine: Machine) -> float:
    return SHARE + SPREAD * (machine.models.mixing - 0.5)


def everything_shared(machine: Machine) -> Machine:
    """Return a machine without all that jackets alone bring."""
    stages = tuple(replace(stage, jacket=None) for stage in machine.stages)
    exhausts = {f"exhaust_{i}": replace(getattr(machine, f"exhaust_{i}"), to="", tube=None,
                                        silencer=None) for i in (1, 2)}  # fmt: skip
    return replace(machine, stages=stages, **exhausts)


def test_both_machines_of_a_pair_have_the_same_inputs(monkeypatch: pytest.MonkeyPatch) -> None:
    fakes = FakeMachines(straight)
    monkeypatch.setattr(paired_samples, "run", fakes)
    case = shipped()
    inputs = list_uncertain(case)
    points = SampleDesign(inputs=len(inputs), per_replicate=8, replicates=2).points()
    values = draw(inputs, points.reshape(-1, len(inputs)))
    pairs = solve_pairs(case, inputs, values)
    (asked,) = fakes.asked
    assert len(asked) == 32 and len(set(asked)) == 32
    for new, old, pair, row in zip(asked[:16], asked[16:], pairs, values, strict=True):
        assert any(stage.jacket is not None for stage in new.stages)
        assert all(stage.jacket is None for stage in old.stages)
        assert everything_shared(new) == everything_shared(old)
        assert pair is not None and pair.gain == pytest.approx(straight(new))
        assert new.models.mixing == row[[i.path for i in inputs].index("models.mixing")]


def test_a_closed_form_is_found_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """A straight line in a rectangular input: mean, u and interval are those of the rectangle.

    A scrambling shifts its 64 points together within cells of 1/64 (L'Ecuyer and Lemieux, from
    memory); eight of them leave the mean an error of SPREAD / 64 / sqrt(12) / sqrt(8).
    """
    error = SPREAD / 64.0 / 12.0**0.5 / 8.0**0.5
    monkeypatch.setattr(paired_samples, "run", FakeMachines(straight))
    study = estimate_uncertainty(shipped(), samples=512, seed=3)
    assert study.gain.mean.value == pytest.approx(SHARE, abs=3.0 * error)
    assert study.gain.standard_uncertainty.value == pytest.approx(SPREAD / 12**0.5, rel=2e-3)
    assert study.gain.low.value == pytest.approx(SHARE - 0.475 * SPREAD, abs=3.0 * error)
    assert study.gain.high.value == pytest.approx(SHARE + 0.475 * SPREAD, abs=3.0 * error)
    assert study.pays.value == pytest.approx(0.5 + SHARE / SPREAD, abs=3.0 * error / SPREAD)
    first, *others = study.shares
    assert first.path == "models.mixing" and first.first == pytest.approx(1.0, abs=0.02)
    assert all(abs(share.first) < 4.0 * share.sampling_error + 0.02 for share in others)
    assert (study.failed, study.resting) == (0, 0)


def test_more_samples_are_drawn_until_the_precision_is_kept(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def rough(machine: Machine) -> float:
        return straight(machine) + 40.0 * (machine.drive.bore - 0.1) + machine.models.mixing**3

    monkeypatch.setattr(paired_samples, "run", FakeMachines(rough))
    first = estimate_uncertainty(shipped(), samples=128, seed=1)
    gain = first.gain
    margin = max(e.margin() for e in (gain.mean, gain.standard_uncertainty, gain.low, gain.high))
    more = estimate_uncertainty(shipped(), samples=128, seed=1, precision=0.5 * margin)
    assert more.reached and more.samples > first.samples
    assert more.samples & (more.samples - 1) == 0
    for found in (more.gain.mean, more.gain.standard_uncertainty, more.gain.low, more.gain.high):
        assert found.margin() <= 0.5 * margin
    assert estimate_uncertainty(
        shipped(), samples=128, seed=1, precision=1.01 * margin
    ).samples == 128  # fmt: skip
    with pytest.raises(RangeError, match="power of two"):
        estimate_uncertainty(shipped(), samples=200)


def test_pairs_that_fail_are_counted_and_too_many_are_an_error(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fakes = FakeMachines(straight, lambda m: m.models.mixing > 0.99)
    monkeypatch.setattr(paired_samples, "run", fakes)
    study = estimate_uncertainty(shipped(), samples=512)
    mixing = {m.models.mixing for machines in fakes.asked for m in machines}
    assert study.failed == sum(value > 0.99 for value in mixing) > 0
    assert f"{study.failed} pairs did not settle" in make_uncertainty_text(study)
    assert f'"failed": {study.failed}' in make_uncertainty_json(study)
    monkeypatch.setattr(
        paired_samples, "run", FakeMachines(straight, lambda m: m.models.mixing > 0.9)
    )
    with pytest.raises(ConvergenceError, match="did not settle"):
        estimate_uncertainty(shipped(), samples=128)


def test_a_machine_at_rest_is_counted_as_its_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    class Resting(FakeMachines):
        def _result(self, machine: Machine):  # type: ignore[no-untyped-def]
            result = super()._result(machine)
            if machine.models.mixing > 0.9 and any(s.jacket for s in machine.stages):
                still = replace(result.outcome, delivered_mass_flow=0.0, stages=tuple(
                    replace(s, volumetric_efficiency=0.0, mass_per_stroke=0.0)
                    for s in result.outcome.stages))  # fmt: skip
                result = replace(result, outcome=still)
            return result

    monkeypatch.setattr(paired_samples, "run", Resting(lambda m: 0.1))
    study = estimate_uncertainty(shipped(), samples=256)
    assert study.resting / study.samples == pytest.approx(0.1, abs=0.01)
    assert study.pays.value == pytest.approx(1.0 - study.resting / study.samples)
    assert f"In {study.resting} pairs a machine stalls" in make_uncertainty_text(study)


@cache
def solved(seed: int, threads: int) -> UncertaintyStudy:
    return estimate_uncertainty(shipped(), samples=128, seed=seed, threads=threads)


def test_the_same_seed_gives_the_same_bytes_with_one_thread_and_with_two() -> None:
    one, two = solved(1, 1), solved(1, 2)
    assert make_uncertainty_json(one) == make_uncertainty_json(two)
    assert make_uncertainty_text(one) == make_uncertainty_text(two)
    other = solved(2, 2)
    assert make_uncertainty_json(other) != make_uncertainty_json(two)
    apart = abs(other.gain.mean.value - two.gain.mean.value)
    assert 0.0 < apart < 2.0 * (other.gain.mean.margin() + two.gain.mean.margin())


def test_numbers_of_real_machines_are_those_of_pairs_solved_by_hand() -> None:
    case, study = shipped(), solved(1, 2)
    inputs = list_uncertain(case)
    design = SampleDesign(inputs=len(inputs), per_replicate=128 // REPLICATES,
                          replicates=REPLICATES, seed=1)  # fmt: skip
    pairs = solve_pairs(case, inputs, draw(inputs, design.points().reshape(128, -1)))
    gains = np.array([pair.gain for pair in pairs if pair is not None])
    assert len(gains) + study.failed == 128
    assert study.pays.value == np.mean(gains > 0.0)
    assert study.gain.mean.value == pytest.approx(gains.mean(), rel=1e-12)
    assert study.gain.standard_uncertainty.value == pytest.approx(gains.std(), rel=1e-12)
    flows = np.array([pair.with_jackets[0] for pair in pairs if pair is not None])
    delivered = study.headlines[0]
    assert delivered.with_jackets is not None
    assert delivered.with_jackets.mean.value == pytest.approx(flows.mean(), rel=1e-12)
    for limit in study.limits:
        total = limit.kept.value + limit.mended.value
        total += limit.newly_broken.value + limit.broken_in_both.value
        assert total == pytest.approx(1.0)
        kept = np.mean([pair.fates[limit.what] == "kept" for pair in pairs if pair is not None])
        assert limit.kept.value == pytest.approx(kept)


def test_an_input_without_effect_has_no_share() -> None:
    """The dew point moves water alone, which the judged change does not hold."""
    share = next(s for s in solved(1, 2).shares if s.path == "supply.pressure_dew_point")
    assert abs(share.first) < 4.0 * share.sampling_error
    assert share.first < 0.5 * solved(1, 2).shares[0].first


def test_only_shares_that_are_told_from_noise_are_listed() -> None:
    """Others are counted: here at least the dew point, which does nothing."""
    study = solved(1, 2)
    text = " ".join(make_uncertainty_text(study).split("WHAT CAUSES")[1].split())
    named = [s for s in study.shares if s.first > 2.0 * s.sampling_error]
    assert 0 < len(named) < len(study.shares)
    assert [s.told for s in study.shares] == [s in named for s in study.shares]
    for share in study.shares:
        assert (f" {share.path} " in text) == (share in named[:6]), share.path
    below = len(study.shares) - len(named)
    assert f"{below} within twice the sampling error of nought" in text
    if len(named) > 6:
        assert f"{len(named) - 6} smaller one" in text
