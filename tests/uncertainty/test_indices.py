"""`rank --indices`: first-order and total indices, of benefit and delivery, with nothing hidden."""

from __future__ import annotations

import json
import math
from functools import cache

import numpy as np
import pytest
from bench_sample import FakeMachines, changed, near_break_even, shipped
from test_statistics_indices import FIRST, TOTAL

from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.inputs import Case, Machine
from jacketcalc.show.rank_text import make_rank_text
from jacketcalc.show.uncertainty_json import make_rank_json
from jacketcalc.uncertainty import paired_samples
from jacketcalc.uncertainty.indices import InputShares, VarianceShares, share_variance
from jacketcalc.uncertainty.rank import rank_inputs

NAMES = ("models.mixing", "ambient.film_factor", "drive.bore")
BORE, HALF = 0.063, 0.001
"""Drive bore of the single stage and the half width it is given [m]."""


def _angles(machine: Machine) -> tuple[float, float, float]:
    """Return what is spread evenly from -pi to pi: a share, a logarithm, a tolerance."""
    air = machine.ambient
    ends = math.log(air.film_factor_low), math.log(air.film_factor_high)
    shares = (
        machine.models.mixing,
        (math.log(air.film_factor) - ends[0]) / (ends[1] - ends[0]),
        (machine.drive.bore - BORE + HALF) / (2.0 * HALF),
    )
    x, y, z = (math.pi * (2.0 * share - 1.0) for share in shares)
    return x, y, z


def ishigami(machine: Machine) -> float:
    x, y, z = _angles(machine)
    return 1e-3 * (math.sin(x) + 7.0 * math.sin(y) ** 2 + 0.1 * z**4 * math.sin(x))


def _case(mixing: float) -> Case:
    return changed(shipped(), {"models.mixing": mixing, "drive.bore": "63 mm +- 1 mm"})


def _by_name(found: VarianceShares) -> dict[str, InputShares]:
    return {one.paths[0]: one for one in (*found.single, *found.grouped)}


def _near(share: object, exact: float, cut: float) -> None:
    assert share is not None
    value, error = share.value, share.sampling_error  # type: ignore[attr-defined]
    assert value == pytest.approx(exact, abs=4.0 * error + cut * exact + 1e-4)
    assert error < 0.1


def test_ishigami_by_machines_whose_delivery_is_that_function(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Closed values as in `test_statistics_indices`; 16 bins cut 5 % of two full waves of sine."""
    monkeypatch.setattr(paired_samples, "run", FakeMachines(ishigami))
    found = share_variance(rank_inputs(_case(0.3)), samples=2048)
    assert {one.paths[0] for one in found.single} == set(NAMES)
    assert found.together is not None and found.together.benefit.total is not None
    assert found.together.benefit.total.value == 0.0
    for name, first, total in zip(NAMES, FIRST, TOTAL, strict=True):
        one = _by_name(found)[name]
        for caused in (one.benefit, one.delivery):
            _near(caused.first, first, 0.05)
            _near(caused.total, total, 0.0)


def test_what_no_effect_alone_betrays_is_in_the_total_of_the_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """At the middle of the first the third does nothing alone, and nothing of first order."""
    monkeypatch.setattr(paired_samples, "run", FakeMachines(ishigami))
    ranking = rank_inputs(_case(0.5))
    found = share_variance(ranking, samples=2048)
    assert NAMES[2] not in {one.paths[0] for one in found.single}
    assert found.together is not None and NAMES[2] in found.together.paths
    _near(found.together.benefit.total, TOTAL[2], 0.0)
    text = " ".join(make_rank_text(ranking, found).split())
    assert "THE OTHERS MATTER TOGETHER: raise --totals" in text


def test_a_sum_whose_small_parts_are_drawn_anew_together(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a sum each index is a variance over their sum; a uniform of half width a has a^2/3."""

    def total(machine: Machine) -> float:
        x, y, z = (angle / math.pi for angle in _angles(machine))
        return 0.02 * (2.0 * x + 1.0 * y + 0.5 * z)

    monkeypatch.setattr(paired_samples, "run", FakeMachines(total))
    found = share_variance(rank_inputs(_case(0.3)), totals=1, samples=256)
    weights = np.array([4.0, 1.0, 0.25]) / 5.25
    assert [one.paths[0] for one in found.single] == [NAMES[0]]
    assert found.together is not None
    named = _by_name(found)
    for output in ("benefit", "delivery"):
        alone = getattr(found.single[0], output)
        assert alone.total.value == pytest.approx(weights[0], abs=1e-3)
        rest = getattr(found.together, output)
        assert rest.first is None and rest.total.value == pytest.approx(weights[1:].sum(), abs=1e-3)
        for name, share in zip(NAMES, weights, strict=True):
            first = getattr(named[name], output).first
            # With 8 bins a straight effect loses 1/64 of its share.
            assert first.value == pytest.approx(share * (1.0 - 1.0 / 64.0), abs=1e-3)


@cache
def solved() -> tuple[object, VarianceShares]:
    ranking = rank_inputs(near_break_even())
    return ranking, share_variance(ranking, samples=128, totals=4)


def test_machines_are_counted_and_nothing_is_left_out() -> None:
    ranking, found = solved()
    count = len(ranking.effects)  # type: ignore[attr-defined]
    assert found.solutions == 2 * (1 + 2 * count + 128 + 16 * 5)
    assert found.together is not None
    paths = [one.paths[0] for one in found.single] + list(found.together.paths)
    assert sorted(paths) == sorted(e.input.path for e in ranking.effects)  # type: ignore[attr-defined]
    for output in ("benefit", "delivery"):
        totals = [getattr(one, output).total for one in (*found.single, found.together)]
        firsts = [getattr(one, output).first.value for one in (*found.single, *found.grouped)]
        # Shares of first order come to 1 at most, totals to 1 at least.
        assert 0.85 < sum(firsts) < 1.03
        assert sum(t.value for t in totals) > 0.95


def test_text_and_json_tell_the_same_indices() -> None:
    ranking, found = solved()
    text = make_rank_text(ranking, found, every=True)  # type: ignore[arg-type]
    told = json.loads(make_rank_json(ranking, found))["indices"]  # type: ignore[arg-type]
    assert max(map(len, text.split("\n"))) <= 80
    assert told["machine_solutions_at_most"] == found.solutions
    assert f"at most {found.solutions} machine solutions" in " ".join(text.split())
    table = text.split("WHAT CAUSES THE SPREAD")[1].split("\n\n")[0].split("\n")[3:]
    rows = [line for line in table if " others together" not in line]
    for one, line in zip(told["inputs"], rows, strict=True):
        assert line.strip().startswith(one["paths"][0][:26])
        for output in ("benefit", "delivery"):
            for kind in ("first", "total"):
                share = one[output][kind]
                if share is not None:
                    error = f"+-{100 * share['sampling_error']:4.1f}"
                    value = round(100 * share["value"], 1) + 0.0
                    assert f"{value:.1f} {error}" in line
                    assert share["told"] == (share["value"] > 2.0 * share["sampling_error"])
    assert told["others_together"]["paths"] == list(found.together.paths)  # type: ignore[union-attr]
    short = make_rank_text(ranking, found)  # type: ignore[arg-type]
    assert len(short) < len(text) and "--all lists them" in short


def _asked_beyond(fakes: FakeMachines, mixing: float) -> int:
    """Return how many pairs were asked for beyond a share of mixing, the ends apart."""
    half = [machines[: len(machines) // 2] for machines in fakes.asked[1:]]
    return sum(m.models.mixing > mixing for machines in half for m in machines)


def test_pairs_that_fail_change_nothing_and_too_many_are_an_error(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fakes = FakeMachines(ishigami, lambda m: m.models.mixing > 0.995)
    monkeypatch.setattr(paired_samples, "run", fakes)
    ranking = rank_inputs(_case(0.3))
    found = share_variance(ranking, samples=512)
    assert found.failed > 0
    text = " ".join(make_rank_text(ranking, found).split())
    assert f"{found.failed} pairs did not settle; each counts as if it changed nothing" in text
    assert found.failed == _asked_beyond(fakes, 0.995)
    monkeypatch.setattr(
        paired_samples, "run", FakeMachines(ishigami, lambda m: m.models.mixing > 0.9)
    )
    with pytest.raises(ConvergenceError, match="did not settle"):
        share_variance(ranking, samples=512)
    with pytest.raises(RangeError, match="power of two"):
        share_variance(ranking, samples=200)


def test_an_output_that_does_not_vary_has_no_shares(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(paired_samples, "run", FakeMachines(lambda m: 0.1))
    ranking = rank_inputs(shipped())
    found = share_variance(ranking, samples=128, totals=2)
    assert found.single[0].benefit.first is None and found.single[0].benefit.total is None
    assert "WHAT CAUSES THE SPREAD" in make_rank_text(ranking, found)
