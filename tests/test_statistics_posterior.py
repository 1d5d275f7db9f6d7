"""What is left after readings: draws against closed forms, and how often intervals hold the truth.

The closed forms are scipy's: of a uniform prior and a normal reading the truncated normal, of a
normal prior the normal distribution.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import erf, ndtr
from scipy.stats import binom, truncnorm

from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.statistics.least_squares import fit, fit_linear
from jacketcalc.statistics.posterior import sample_posterior
from jacketcalc.statistics.quadratic import fit_quadratic

ROOT_12 = 12.0**0.5
SLOPES = np.array([[1.0, 0.7], [-0.4, 0.9]])
"""Of two readings in two unknowns: the first without limits, the second with [1/u]."""
LEVELS = (0.02, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95, 0.98)
BENCHES = 2000
ANSWER = np.array([0.6, 1.0])
"""Slopes of a quantity that hangs on both unknowns [-]."""


def even(z: np.ndarray) -> np.ndarray:
    """Return both unknowns: a normal one, and one that is uniform, of variance 1."""
    return np.stack([z[..., 0], ROOT_12 * (ndtr(z[..., 1]) - 0.5)], axis=-1)


def both_ways() -> tuple[np.ndarray, np.ndarray]:
    """Return the levels at which intervals first hold the truth: of draws, and straight ones."""
    random = np.random.default_rng(8)
    drawn, straight = [], []
    for _ in range(BENCHES):
        truth = random.standard_normal(2)
        read = SLOPES @ even(truth) + random.standard_normal(2)

        def residuals(z: np.ndarray, read: np.ndarray = read) -> np.ndarray:
            return np.asarray(read - even(z) @ SLOPES.T)

        def log_density(z: np.ndarray) -> np.ndarray:
            return np.asarray(-0.5 * np.sum(residuals(z) ** 2 + z**2, axis=1))

        near = fit(residuals, 2, tolerance=1e-6)
        found = sample_posterior(log_density, near.estimate, near.covariance, draws=1024)
        quantities = [*found.draws.T, even(found.draws) @ ANSWER]
        exact = [*truth, float(even(truth) @ ANSWER)]
        below = [found.probability_below(v, t) for v, t in zip(quantities, exact, strict=True)]
        drawn.append(np.abs(2.0 * np.array(below) - 1.0))
        apart = np.abs(truth - near.estimate) / near.standard_uncertainty
        straight.append(erf(apart / np.sqrt(2.0)))
    return np.array(drawn), np.array(straight)


def outside(depths: np.ndarray) -> list[tuple[int, float]]:
    """Return what lies outside the binomial limits of 99.9 %, fixed before any count."""
    found = []
    for level in LEVELS:
        fewest, most = binom.ppf([5e-4, 1.0 - 5e-4], len(depths), level)
        held = np.sum(depths <= level, axis=0)
        found += [(i, level) for i, count in enumerate(held) if not fewest <= count <= most]
    return found


def test_intervals_hold_the_truth_as_often_as_they_say_where_a_prior_has_limits() -> None:
    """2000 benches; straight intervals of the unknown with limits fail by the same rule."""
    drawn, straight = both_ways()
    assert outside(drawn) == []
    failed = outside(straight)
    assert {quantity for quantity, level in failed if level >= 0.9} == {1}


def test_a_uniform_prior_and_one_reading_leave_a_truncated_normal() -> None:
    read, u = 1.2, 0.8
    found = sample_posterior(
        lambda z: -0.5 * (((read - even(z)[:, 1]) / u) ** 2 + np.sum(z**2, axis=1)),
        np.array([0.0, 0.8]), np.eye(2),
    )  # fmt: skip
    half = 0.5 * ROOT_12
    exact = truncnorm((-half - read) / u, (half - read) / u, loc=read, scale=u)
    values = even(found.draws)[:, 1]
    for level in (0.5, 0.9, 0.95):
        tail = 0.5 * (1.0 - level)
        assert found.interval(values, level) == pytest.approx(exact.ppf([tail, 1 - tail]), abs=0.02)
    assert found.probability_below(values, 1.0) == pytest.approx(float(exact.cdf(1.0)), abs=0.01)
    at = np.linspace(-half, half, 401)
    density = found.density(values, at)
    assert density[20:-20] == pytest.approx(exact.pdf(at[20:-20]), abs=0.06)
    # The other unknown was not read: its prior is left.
    assert found.interval(found.draws[:, 0], 0.95) == pytest.approx((-1.96, 1.96), abs=0.06)


def test_without_limits_draws_are_those_of_the_straight_fit() -> None:
    random = np.random.default_rng(3)
    slopes, read = 3.0 * random.standard_normal((4, 6)), random.standard_normal(4)
    near = fit_linear(read, -slopes)
    found = sample_posterior(
        lambda z: -0.5 * (np.sum((read - z @ slopes.T) ** 2, axis=1) + np.sum(z**2, axis=1)),
        np.zeros(6), np.eye(6),
    )  # fmt: skip
    mean = found.weights @ found.draws
    apart = found.draws - mean
    assert mean == pytest.approx(near.estimate, abs=0.03)
    assert (found.weights[:, None] * apart).T @ apart == pytest.approx(near.covariance, abs=0.03)
    low, high = near.interval(0.95)
    for i, column in enumerate(found.draws.T):
        assert found.interval(column, 0.95) == pytest.approx((low[i], high[i]), abs=0.08)
    some = found.some(512)
    assert some.mean(axis=0) == pytest.approx(mean, abs=0.1)
    assert found.effective > 0.12 * len(found.draws)


def test_the_same_seed_gives_the_same_draws_and_lost_probability_is_an_error() -> None:
    def narrow(z: np.ndarray) -> np.ndarray:
        return np.asarray(-0.5 * np.sum(z**2, axis=1))

    first, again = (sample_posterior(narrow, np.ones(3), np.eye(3), seed=4) for _ in range(2))
    assert np.array_equal(first.draws, again.draws)
    with pytest.raises(ConvergenceError, match="contradict"):
        sample_posterior(
            lambda z: -0.5 * np.sum((z / np.array([1.0, 1e-9, 1.0])) ** 2, axis=1) * 1e6,
            np.array([0.0, 5.0, 0.0]), 1e-4 * np.eye(3), draws=64,
        )  # fmt: skip


def test_a_polynomial_of_second_degree_is_found_again_and_its_error_is_told() -> None:
    """A cubic part of known size is what is left; points counted more are met more closely."""
    random = np.random.default_rng(5)
    points, ask = random.uniform(-1.0, 1.0, (80, 3)), random.uniform(-1.0, 1.0, (20, 3))

    def model(x: np.ndarray) -> np.ndarray:
        return np.stack([1.0 + x[:, 0] - 2.0 * x[:, 1] * x[:, 2] + 3.0 * x[:, 2] ** 2,
                         x[:, 0] ** 3], axis=1)  # fmt: skip

    found = fit_quadratic(points, model(points))
    assert found(ask)[:, 0] == pytest.approx(model(ask)[:, 0], abs=1e-12)
    # x^3 less its best line on -1..1: sqrt(1/7 - 9/75) by Legendre polynomials.
    assert found.error[0] < 1e-12
    assert found.error[1] == pytest.approx((1.0 / 7.0 - 3.0 / 25.0) ** 0.5, rel=0.35)
    near = np.where(np.all(np.abs(points) < 0.5, axis=1), 1.0, 1e-3)
    led = fit_quadratic(points, model(points), near)
    assert led.error[1] < found.error[1]
    with pytest.raises(RangeError, match="coefficients"):
        fit_quadratic(points[:12], model(points[:12]))
