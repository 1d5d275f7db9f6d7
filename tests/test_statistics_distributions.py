"""Distributions of inputs against their densities, integrated, and against printed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats
from scipy.integrate import quad

from jacketcalc.errors import RangeError
from jacketcalc.statistics.distributions import Distribution, values_at
from jacketcalc.statistics.factors import LogNormalFactor, LogRectangular, within_factor
from jacketcalc.statistics.limited import Rectangular, Triangular, from_tolerance
from jacketcalc.statistics.normals import Normal, TruncatedNormal

# Beside each, the same distribution as scipy.stats has it.
PAIRS = {
    "rectangular": (Rectangular(low=2.0, high=5.0), stats.uniform(2.0, 3.0)),
    "triangular": (Triangular(low=1.0, mode=1.5, high=4.0), stats.triang(1 / 6, 1.0, 3.0)),
    "mode at the end": (Triangular(low=1.0, mode=4.0, high=4.0), stats.triang(1.0, 1.0, 3.0)),
    "normal": (Normal(mean=3.0, standard_uncertainty=0.2), stats.norm(3.0, 0.2)),
    "truncated": (
        TruncatedNormal(location=1.0, scale=2.0, low=0.0, high=6.0),
        stats.truncnorm(-0.5, 2.5, 1.0, 2.0),
    ),
    "half": (
        TruncatedNormal(location=0.0, scale=2.0, low=0.0, high=math.inf),
        stats.halfnorm(0.0, 2.0),
    ),
    "log-normal": (within_factor(1.5, 0.8), stats.lognorm(math.log(1.5) / 1.959964, 0.0, 0.8)),
    "log-rectangular": (LogRectangular(low=0.5, high=8.0), stats.loguniform(0.5, 8.0)),
}


@pytest.mark.parametrize("name", PAIRS)
def test_scipy_has_the_same(name: str) -> None:
    ours, other = PAIRS[name]
    u = np.linspace(0.001, 0.999, 57)
    assert ours.ppf(u) == pytest.approx(other.ppf(u), rel=1e-6)
    assert ours.mean == pytest.approx(other.mean(), rel=1e-6)
    assert ours.standard_uncertainty == pytest.approx(other.std(), rel=1e-6)


@pytest.mark.parametrize("name", PAIRS)
def test_moments_are_those_of_the_values(name: str) -> None:
    """Mean and variance are integrals of ppf over its probability, by definition."""
    ours: Distribution = PAIRS[name][0]
    mean = quad(lambda u: float(ours.ppf(u)), 0.0, 1.0, limit=200)[0]
    square = quad(lambda u: float((ours.ppf(u) - mean) ** 2), 0.0, 1.0, limit=200)[0]
    assert ours.mean == pytest.approx(mean, rel=1e-6)
    assert ours.standard_uncertainty == pytest.approx(math.sqrt(square), rel=1e-5)


def test_a_tolerance_is_a_over_root_three() -> None:
    """JCGM 100, 4.3.7: u = a / sqrt(3); 4.3.9: a symmetric triangle has a / sqrt(6)."""
    given = from_tolerance(10.0, 0.6)
    assert (given.low, given.high, given.mean) == (9.4, 10.6, 10.0)
    assert given.standard_uncertainty == pytest.approx(0.6 / math.sqrt(3.0), rel=1e-14)
    triangle = Triangular(low=9.4, mode=10.0, high=10.6)
    assert triangle.standard_uncertainty == pytest.approx(0.6 / math.sqrt(6.0), rel=1e-14)


def test_a_factor_lies_within_its_span_95_times_of_100() -> None:
    """By definition of the span: 2.5 % below, 97.5 % below, half below the geometric mean."""
    given = LogNormalFactor(low=0.5, high=1.8)
    assert given.ppf([0.025, 0.975]) == pytest.approx([0.5, 1.8], rel=1e-12)
    assert given.ppf(0.5) == pytest.approx(math.sqrt(0.5 * 1.8), rel=1e-12)


def test_columns_go_to_their_inputs() -> None:
    inputs = (Rectangular(low=0.0, high=2.0), Normal(mean=5.0, standard_uncertainty=1.0))
    found = values_at(inputs, np.array([[[0.5, 0.5], [0.25, 0.5]]]))
    assert found.tolist() == [[[1.0, 5.0], [0.5, 5.0]]]
    with pytest.raises(RangeError, match="3 columns"):
        values_at(inputs, np.full((4, 3), 0.5))


@pytest.mark.parametrize(
    "make",
    [
        lambda: Rectangular(low=1.0, high=1.0),
        lambda: Rectangular(low=0.0, high=math.inf),
        lambda: Rectangular(low=math.nan, high=1.0),
        lambda: from_tolerance(1.0, -0.1),
        lambda: Triangular(low=0.0, mode=2.0, high=1.0),
        lambda: Normal(mean=0.0, standard_uncertainty=0.0),
        lambda: Normal(mean=math.nan, standard_uncertainty=1.0),
        lambda: TruncatedNormal(location=0.0, scale=1.0, low=2.0, high=1.0),
        lambda: TruncatedNormal(location=0.0, scale=1.0, low=9.0, high=10.0),
        lambda: LogNormalFactor(low=0.0, high=1.0),
        lambda: LogRectangular(low=2.0, high=1.0),
        lambda: within_factor(0.9),
        lambda: Normal(mean=0.0, standard_uncertainty=1.0).ppf(1.1),
        lambda: Rectangular(low=0.0, high=1.0).ppf(math.nan),
    ],
)
def test_what_is_no_distribution_is_refused(make: object) -> None:
    with pytest.raises(RangeError):
        make()  # type: ignore[operator]
