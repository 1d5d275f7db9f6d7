"""Expected gain of readings against the closed form of a linear fit, and by trial."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from jacketcalc.errors import RangeError
from jacketcalc.statistics.expected_gain import expected_gain, plan_readings
from jacketcalc.statistics.least_squares import fit_linear

RNG = np.random.default_rng(6)
CANDIDATES = RNG.normal(size=(7, 5)) * 3.0
UNCERTAINTIES = RNG.uniform(0.5, 2.0, 7)
ANSWER = np.array([1.0, -0.5, 0.25, 0.0, 2.0])


def variance_after(chosen: list[int], prior: np.ndarray | None = None) -> float:
    """Return the answer's variance by the information matrix, inverted whole (any textbook)."""
    J = CANDIDATES[chosen] / UNCERTAINTIES[chosen, None]
    information = np.linalg.inv(np.eye(5) if prior is None else prior) + J.T @ J
    return float(ANSWER @ np.linalg.solve(information, ANSWER))


def test_one_parameter_by_hand() -> None:
    """Prior variance 1, reading of the parameter with u = 0.5: after it 0.25/1.25 = 0.2; an
    answer of twice the parameter has four times that."""
    found = expected_gain(np.array([[1.0]]), np.array([0.5]), np.array([2.0]))
    assert found.before == pytest.approx(4.0)
    assert found.after == pytest.approx([0.8])
    assert found.share == pytest.approx([0.8])


def test_each_candidate_against_the_information_matrix() -> None:
    found = expected_gain(CANDIDATES, UNCERTAINTIES, ANSWER)
    assert found.before == pytest.approx(float(ANSWER @ ANSWER))
    assert found.after == pytest.approx([variance_after([i]) for i in range(7)], rel=1e-10)


def test_after_earlier_readings_their_covariance_stands_for_the_prior() -> None:
    earlier = fit_linear(np.zeros(3), RNG.normal(size=(3, 5)))
    found = expected_gain(CANDIDATES, UNCERTAINTIES, ANSWER, earlier.covariance)
    exact = [variance_after([i], earlier.covariance) for i in range(7)]
    assert found.after == pytest.approx(exact, rel=1e-9)


def test_the_plan_takes_the_best_after_those_before() -> None:
    plan = plan_readings(CANDIDATES, UNCERTAINTIES, ANSWER, 4)
    assert len(set(plan.chosen)) == 4
    for k in range(4):
        before, best = list(plan.chosen[:k]), plan.chosen[k]
        tried = {i: variance_after([*before, i]) for i in range(7) if i not in before}
        assert min(tried, key=tried.__getitem__) == best
        assert plan.after[k] == pytest.approx(tried[best], rel=1e-9)
    whole = plan_readings(CANDIDATES, UNCERTAINTIES, ANSWER, 7)
    assert whole.after[-1] == pytest.approx(variance_after(list(range(7))), rel=1e-9)
    assert np.all(np.diff(whole.after) <= 1e-12)


def test_the_greedy_pair_is_no_better_than_the_best_pair() -> None:
    plan = plan_readings(CANDIDATES, UNCERTAINTIES, ANSWER, 2)
    best = min(variance_after(list(pair)) for pair in combinations(range(7), 2))
    assert plan.after[1] >= best - 1e-12


def test_the_variance_promised_is_that_found() -> None:
    """4000 truths from the prior, each read with noise and fitted: the answer errs as promised,
    within four standard deviations of an estimated variance."""
    i = 2
    promised = expected_gain(CANDIDATES, UNCERTAINTIES, ANSWER).after[i]
    J = CANDIDATES[i] / UNCERTAINTIES[i]
    rng = np.random.default_rng(1)
    errors = []
    for _ in range(4000):
        truth = rng.standard_normal(5)
        reading = J @ truth + rng.standard_normal()
        found = fit_linear(np.array([reading]), -J[None])
        errors.append(ANSWER @ (found.estimate - truth))
    assert np.mean(np.square(errors)) == pytest.approx(promised, rel=4.0 * np.sqrt(2.0 / 4000))


@pytest.mark.parametrize("count", [0, 8])
def test_plans_that_cannot_be_made_are_refused(count: int) -> None:
    with pytest.raises(RangeError, match="cannot be chosen"):
        plan_readings(CANDIDATES, UNCERTAINTIES, ANSWER, count)


def test_refusals() -> None:
    with pytest.raises(RangeError, match="belong together"):
        expected_gain(CANDIDATES[:, :4], UNCERTAINTIES, ANSWER)
    with pytest.raises(RangeError, match="above zero"):
        expected_gain(CANDIDATES, 0.0 * UNCERTAINTIES, ANSWER)
    with pytest.raises(RangeError, match="no uncertain parameter"):
        expected_gain(CANDIDATES, UNCERTAINTIES, 0.0 * ANSWER)
