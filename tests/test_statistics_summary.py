"""Summaries: coverage on closed forms, shortest intervals, paired differences, refusals."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr, ndtri

from jacketcalc.errors import RangeError
from jacketcalc.statistics.estimates import Estimate
from jacketcalc.statistics.samples import SampleDesign
from jacketcalc.statistics.summary import (
    shortest_interval,
    summarise,
    summarise_difference,
    symmetric_interval,
)


def test_intervals_cover_what_they_say() -> None:
    """Exact for a product of log-normals, which is log-normal: probability inside the interval.

    300 synthetic cases, each of 8 x 64 samples; the average of exact contents of the intervals
    is the level, and 40 true values for each, drawn from the same distribution, fall inside as
    often.
    """
    weights = np.array([0.5, 0.3, 0.2, 0.1])
    spread = float(np.linalg.norm(weights))
    levels = np.array([0.02, 0.10, 0.50, 0.80, 0.90, 0.95, 0.98])
    truths = np.random.default_rng(7).standard_normal((300, 40)) * spread
    contents, inside = np.zeros((300, 7)), np.zeros((300, 7))
    for seed, truth in enumerate(truths):
        values = np.exp(ndtri(SampleDesign(inputs=4, seed=seed).points()) @ weights)
        for i, level in enumerate(levels):
            low, high = np.log(symmetric_interval(values, level))
            contents[seed, i] = ndtr(high / spread) - ndtr(low / spread)
            inside[seed, i] = np.mean((low <= truth) & (truth <= high))
    assert contents.mean(axis=0) == pytest.approx(levels, abs=0.004)
    noise = np.sqrt(levels * (1.0 - levels) / truths.size)
    assert np.all(np.abs(inside.mean(axis=0) - levels) < 3.0 * noise)


@pytest.mark.parametrize("percent", [2, 10, 50, 90, 98])
def test_percentiles_are_exceeded_as_often_as_they_say(percent: int) -> None:
    """The exact probability below a computed percentile, averaged over 200 seeds."""
    below = []
    for seed in range(200):
        values = ndtri(SampleDesign(inputs=3, seed=seed).points()) @ [0.6, 0.64, 0.48]
        low, high = symmetric_interval(values, abs(2.0 * percent / 100.0 - 1.0) or 1e-9)
        below.append(ndtr(low if percent < 50 else high))
    assert np.mean(below) == pytest.approx(percent / 100.0, abs=0.003)


def test_the_shortest_interval_of_an_exponential_begins_at_zero() -> None:
    """Exact: of exp(-x) the shortest 95 % interval is [0, ln 20], the symmetric one
    [-ln 0.975, ln 40]."""
    points = SampleDesign(inputs=1, per_replicate=4096, seed=1).points()
    values = -np.log1p(-points[..., 0])
    assert shortest_interval(values, 0.95) == pytest.approx((0.0, np.log(20.0)), abs=5e-3)
    assert symmetric_interval(values, 0.95) == pytest.approx(
        (-np.log(0.975), np.log(40.0)), abs=5e-3
    )


def test_the_error_of_a_shortest_interval_is_honest() -> None:
    """100 seeds against the exact normal, whose shortest 95 % interval is +-1.96."""
    made, stated = [], []
    for seed in range(100):
        values = ndtri(SampleDesign(inputs=3, seed=seed).points()) @ [0.6, 0.64, 0.48]
        summary = summarise(values, shortest=True)
        made += [summary.low.value + 1.959964, summary.high.value - 1.959964]
        stated += [summary.low.sampling_error, summary.high.sampling_error]
    ratio = np.sqrt(np.mean(np.square(stated)) / np.mean(np.square(made)))
    assert 0.75 < ratio < 1.35


def test_what_moves_both_alike_drops_out_of_a_difference() -> None:
    """Exact: outputs x + y and x + z differ by y - z, with u = 0.1 sqrt(2), x being of u 10."""
    z = ndtri(SampleDesign(inputs=3, seed=2).points())
    first, second = (10.0 * z[..., 0] + 0.1 * z[..., i] + shift for i, shift in ((1, 0.2), (2, 0)))
    paired = summarise_difference(first, second)
    assert paired.mean.value == pytest.approx(0.2, abs=0.001)
    assert paired.standard_uncertainty.value == pytest.approx(0.1 * np.sqrt(2.0), rel=0.02)
    # The difference is 0.2 with u 0.1414: positive with probability Phi(1.4142).
    exact = float(ndtr(np.sqrt(2.0)))
    positive = paired.probability_positive
    assert abs(positive.value - exact) <= positive.margin(0.999)
    with pytest.raises(RangeError, match="not paired"):
        summarise_difference(first, second[:, :32])


def test_certainty_is_not_claimed_beyond_one_sample() -> None:
    """512 of 512 samples above zero: the error is that of one sample's weight and not 0."""
    values = 1.0 + SampleDesign(inputs=1).points()[..., 0]
    positive = summarise(values).probability_positive
    assert positive.value == 1.0 and positive.sampling_error == 1.0 / 512


def test_a_margin_is_students() -> None:
    """t of 7 degrees of freedom, 95 %: 2.365 (JCGM 100, table G.2: 2.36)."""
    assert Estimate(value=0.0, sampling_error=1.0, replicates=8).margin() == pytest.approx(
        2.365, abs=5e-4
    )


@pytest.mark.parametrize("values", [np.ones(5), np.ones((1, 8)), np.full((4, 4), np.nan)])
def test_what_cannot_be_summarised_is_refused(values: np.ndarray) -> None:
    with pytest.raises(RangeError):
        summarise(values)


@pytest.mark.parametrize("level", [0.0, 1.0, 95.0])
def test_a_level_is_a_probability(level: float) -> None:
    with pytest.raises(RangeError, match="between 0 and 1"):
        summarise(np.arange(16.0).reshape(4, 4), level=level)
