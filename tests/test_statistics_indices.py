"""Variance indices against closed forms: Ishigami's function, and a sum with a product."""

from __future__ import annotations

import numpy as np
import pytest

from jacketcalc.errors import RangeError
from jacketcalc.statistics.given_data import first_order_from_samples
from jacketcalc.statistics.indices import index_points, variance_indices
from jacketcalc.statistics.samples import SampleDesign

# Ishigami and Homma 1990, a = 7, b = 0.1; closed values as in Saltelli et al. 2008 (from memory).
FIRST = np.array([0.3139, 0.4424, 0.0])
TOTAL = np.array([0.5576, 0.4424, 0.2437])
A_ISHIGAMI, B_ISHIGAMI = 7.0, 0.1


def ishigami(points: np.ndarray) -> np.ndarray:
    x, y, z = np.moveaxis(np.pi * (2.0 * points - 1.0), -1, 0)
    return np.asarray(np.sin(x) + A_ISHIGAMI * np.sin(y) ** 2 + B_ISHIGAMI * z**4 * np.sin(x))


WEIGHTS = np.array([1.0, 0.7, 0.5, 0.3, 0.2, 0.1, 0.0])
PRODUCT = 2.0


def mixed(points: np.ndarray) -> np.ndarray:
    """A weighted sum of centred inputs and a product of the first two, on a large mean."""
    centred = points - 0.5
    return np.asarray(100.0 + centred @ WEIGHTS + PRODUCT * centred[..., 0] * centred[..., 1])


def mixed_indices() -> tuple[np.ndarray, np.ndarray]:
    """Exact: a centred uniform has variance 1/12, a product of two has 1/144."""
    parts = WEIGHTS**2 / 12.0
    product = PRODUCT**2 / 144.0
    variance = parts.sum() + product
    total = parts.copy()
    total[:2] += product
    return parts / variance, total / variance


def test_the_printed_values_are_the_closed_form() -> None:
    """Variance parts of Ishigami's function, integrated by hand."""
    a, b, pi = A_ISHIGAMI, B_ISHIGAMI, np.pi
    v1 = 0.5 * (1.0 + b * pi**4 / 5.0) ** 2
    v2 = a**2 / 8.0
    v13 = b**2 * pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
    variance = v1 + v2 + v13
    assert np.array([v1, v2, 0.0]) / variance == pytest.approx(FIRST, abs=5e-5)
    assert np.array([v1 + v13, v2, v13]) / variance == pytest.approx(TOTAL, abs=6e-5)


def test_ishigami() -> None:
    design = SampleDesign(inputs=3, per_replicate=2048, seed=4)
    found = variance_indices(ishigami(index_points(design)))
    assert found.first == pytest.approx(FIRST, abs=0.01)
    assert found.total == pytest.approx(TOTAL, abs=0.01)
    assert np.all(found.first_error < 0.005) and np.all(found.total_error < 0.005)


@pytest.mark.parametrize("model", ["ishigami", "mixed"])
def test_errors_of_indices_are_honest(model: str) -> None:
    """60 seeds of 8 x 64 base points: error stated against error made, over all inputs."""
    function = ishigami if model == "ishigami" else mixed
    first, total = (FIRST, TOTAL) if model == "ishigami" else mixed_indices()
    found = [
        variance_indices(function(index_points(SampleDesign(inputs=len(first), seed=seed))))
        for seed in range(60)
    ]
    for name, exact in (("first", first), ("total", total)):
        made = np.array([getattr(f, name) for f in found]) - exact
        stated = np.array([getattr(f, f"{name}_error") for f in found])
        assert np.max(np.abs(made.mean(axis=0))) < 0.01
        assert 0.75 < np.sqrt(np.mean(stated**2) / np.mean(made**2)) < 1.35


def test_an_input_that_does_nothing_has_no_index() -> None:
    found = variance_indices(mixed(index_points(SampleDesign(inputs=7))))
    assert found.total[-1] == 0.0 and abs(found.first[-1]) < 1e-12


@pytest.mark.parametrize(
    ("model", "per_replicate", "cut"), [("ishigami", 64, 0.03), ("mixed", 64, 0.004)]
)
def test_indices_of_samples_that_are_there(model: str, per_replicate: int, cut: float) -> None:
    """60 seeds of 512 samples and no others. With 16 bins a straight effect loses 1/256 of its
    share, and two full waves of a sine square 5 %, which is `cut` here; the rest is unbiased."""
    function = ishigami if model == "ishigami" else mixed
    exact = FIRST if model == "ishigami" else mixed_indices()[0]
    made, stated = [], []
    for seed in range(60):
        points = SampleDesign(inputs=len(exact), per_replicate=per_replicate, seed=seed).points()
        found = first_order_from_samples(points, function(points))
        assert found.bins == 16
        made.append(found.first - exact)
        stated.append(found.sampling_error)
    bias = np.mean(made, axis=0)
    noise = np.std(made, axis=0)
    assert np.all(np.abs(bias) < cut + 4.0 * noise / np.sqrt(60))
    assert np.max(noise) < 0.05
    ratio = np.sqrt(np.mean(np.square(stated)) / np.mean(noise**2))
    assert 0.7 < ratio < 2.0


def test_what_no_index_can_be_made_of_is_refused() -> None:
    points = SampleDesign(inputs=2).points()
    with pytest.raises(RangeError, match="does not vary"):
        first_order_from_samples(points, np.ones((8, 64)))
    with pytest.raises(RangeError, match="do not belong"):
        first_order_from_samples(points[:, :32], points[..., 0])
    with pytest.raises(RangeError, match="without a sample"):
        first_order_from_samples(points, points[..., 0], bins=128)
    with pytest.raises(RangeError, match="does not vary"):
        variance_indices(np.ones((8, 4, 64)))
    with pytest.raises(RangeError, match="index_points"):
        variance_indices(np.ones((8, 64)))
    with pytest.raises(RangeError, match="without a value"):
        variance_indices(np.full((8, 4, 64), np.nan))
