"""Sobol points: repeatable, extensible, better than random, honest about their error."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.special import ndtri

from jacketcalc.errors import RangeError
from jacketcalc.statistics.samples import SampleDesign
from jacketcalc.statistics.summary import Estimate, Summary, summarise

# A linear sum of normals is normal: mean 0, median 0, standard deviation SPREAD, all exact.
WEIGHTS = np.array([1.0, 0.7, 0.5, 0.3, 0.2])
SPREAD = float(np.linalg.norm(WEIGHTS))
K = 1.959964
"""97.5 % percentile of the standard normal, as any table has it [-]."""


def normal_sum(points: np.ndarray) -> np.ndarray:
    return np.asarray(ndtri(points) @ WEIGHTS / SPREAD)


def test_same_seed_same_bytes() -> None:
    design = SampleDesign(inputs=7, seed=11)
    assert design.points().tobytes() == SampleDesign(inputs=7, seed=11).points().tobytes()
    assert design.points().tobytes() != SampleDesign(inputs=7, seed=12).points().tobytes()
    first, second = design.points()[:2]
    assert not np.any(np.isin(first, second))


def test_more_keeps_what_was_drawn() -> None:
    design = SampleDesign(inputs=4, per_replicate=32, seed=5)
    longer = design.more().points()
    assert longer.shape == (8, 64, 4)
    assert longer[:, :32].tobytes() == design.points().tobytes()
    assert longer[:, 32:].tobytes() == design.added_by_more().tobytes()


def test_points_are_balanced_and_inside() -> None:
    """A scrambled Sobol sequence of 2^m points has one in each of 2^m slices of a coordinate,
    and four in each quarter by quarter of its first two (Sobol 1967; Owen 1995; from memory)."""
    points = SampleDesign(inputs=6, per_replicate=64, replicates=4, seed=3).points()
    assert np.all((points > 0.0) & (points < 1.0))
    slices = np.sort((points * 64).astype(int), axis=1)
    assert np.all(slices == np.arange(64)[:, None])
    for replicate in points:
        cells = (replicate[:, :2] * 4).astype(int) @ [4, 1]
        assert np.all(np.bincount(cells, minlength=16) == 4)


@pytest.mark.parametrize(
    "wrong",
    [
        {"per_replicate": 48}, {"per_replicate": 1}, {"replicates": 1},
        {"inputs": 0}, {"inputs": 30000}, {"seed": -1},
    ],
)  # fmt: skip
def test_designs_that_cannot_be_drawn_are_refused(wrong: dict[str, int]) -> None:
    with pytest.raises(RangeError):
        SampleDesign(**{"inputs": 3, **wrong})


def test_convergence_is_faster_than_random() -> None:
    """A smooth integrand: the product of 1 + (u - 1/2)/2, whose integral is 1 exactly.

    Plain sampling gains the power 1/2 of the count; scrambled nets up to 3/2 on smooth functions
    (Owen 1997; from memory).
    """

    def rms(per_replicate: int) -> float:
        design = SampleDesign(inputs=4, per_replicate=per_replicate, replicates=64, seed=1)
        means = np.prod(1.0 + 0.5 * (design.points() - 0.5), axis=2).mean(axis=1)
        return float(np.sqrt(np.mean((means - 1.0) ** 2)))

    order = math.log(rms(32) / rms(1024)) / math.log(32.0)
    assert 0.9 < order < 1.6


# Name, its exact value, and how a reading of it is taken from a summary.
KNOWN = {
    "mean": 0.0,
    "median": 0.0,
    "standard_uncertainty": 1.0,
    "low": -K,
    "high": K,
    "probability_positive": 0.5,
}


@pytest.fixture(scope="module")
def many() -> list[Summary]:
    return [
        summarise(normal_sum(SampleDesign(inputs=5, seed=seed).points())) for seed in range(200)
    ]


@pytest.mark.parametrize("name", KNOWN)
def test_the_sampling_error_is_the_error_that_is_made(many: list[Summary], name: str) -> None:
    """200 seeds of 8 x 64 samples against the exact normal.

    The error stated, squared and averaged, is the error made, squared and averaged; a chi-square
    of 200 keeps their ratio within 20 % 999 times of 1000. Margins at 95 % hold 95 % of the time,
    within three standard deviations of a binomial of 200.
    """
    found: list[Estimate] = [getattr(summary, name) for summary in many]
    made = np.array([estimate.value - KNOWN[name] for estimate in found])
    stated = np.array([estimate.sampling_error for estimate in found])
    ratio = float(np.sqrt(np.mean(stated**2) / np.mean(made**2)))
    assert 0.8 < ratio < 1.25
    held = float(np.mean([abs(e) <= f.margin() for e, f in zip(made, found, strict=True)]))
    assert held >= 0.95 - 3.0 * math.sqrt(0.95 * 0.05 / 200)


def test_it_is_smaller_than_that_of_plain_sampling(many: list[Summary]) -> None:
    """The standard error of a mean of 512 plain random draws of unit spread is 1/sqrt(512)."""
    error = np.sqrt(np.mean([summary.mean.value**2 for summary in many]))
    assert error < 0.3 / math.sqrt(512.0)
