"""Samples are doubled until the stated tolerance is kept, and not longer."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtri

from jacketcalc.errors import RangeError
from jacketcalc.statistics.precision import numerical_tolerance, sample_until_precise
from jacketcalc.statistics.samples import SampleDesign


@pytest.mark.parametrize(
    ("u", "digits", "expected"),
    [
        (0.00035, 2, 0.5e-5),
        (2.0, 1, 0.5),
        (0.0754, 2, 0.5e-3),
        (112.0, 2, 5.0),
        (0.0996, 2, 0.5e-2),
    ],
)
def test_the_tolerance_of_digits(u: float, digits: int, expected: float) -> None:
    """JCGM 101, 7.9.2: u = 0.000 35 g with two digits is 35e-5 g, so delta is 0.5e-5 g (the
    standard's example, from memory); the others by the same rule. 0.0996 is 10e-2 in two digits.
    """
    assert numerical_tolerance(u, digits) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("u", [0.0, -1.0, np.nan])
def test_no_digits_of_no_uncertainty(u: float) -> None:
    with pytest.raises(RangeError):
        numerical_tolerance(u)


def test_a_tolerance_is_kept_by_the_error_made() -> None:
    """Sum of normals, exact: mean 0, u 1, ends +-1.96. Margins at 95 % hold for all four numbers
    in at least 85 of 100 runs; each sample is asked for once."""
    held = 0
    for seed in range(40):
        asked: list[np.ndarray] = []

        def model(points: np.ndarray, asked: list[np.ndarray] = asked) -> dict[str, np.ndarray]:
            asked.append(points)
            return {"y": ndtri(points) @ [0.6, 0.64, 0.48], "free": points[:, 0]}

        design = SampleDesign(inputs=3, per_replicate=32, seed=seed)
        found = sample_until_precise(model, design, {"y": 0.05}, most=65536)
        assert found.reached and set(found.summaries) == {"y"}
        every = np.concatenate(asked)
        assert len(every) == found.design.total == len(np.unique(every, axis=0)) > 256
        assert found.points.tobytes() == found.design.points().tobytes()
        assert np.allclose(found.outputs["y"], ndtri(found.points) @ [0.6, 0.64, 0.48])
        summary = found.summaries["y"]
        errors = (
            summary.mean.value,
            summary.standard_uncertainty.value - 1.0,
            summary.low.value + 1.959964,
            summary.high.value - 1.959964,
        )
        held += max(map(abs, errors)) <= 0.05
    assert held >= 34


def test_what_was_not_reached_is_told() -> None:
    design = SampleDesign(inputs=1, per_replicate=16)
    found = sample_until_precise(
        lambda points: {"y": ndtri(points[:, 0])}, design, {"y": 1e-9}, most=600
    )
    assert not found.reached and found.design.total == 512
    assert found.summaries["y"].mean.margin() < 0.1


@pytest.mark.parametrize(
    ("output", "most"), [({"x": np.zeros(128)}, 500), ({"y": np.zeros(3)}, 500), ({}, 100)]
)
def test_models_that_give_no_answer_are_refused(output: dict[str, np.ndarray], most: int) -> None:
    design = SampleDesign(inputs=1, per_replicate=16)
    with pytest.raises(RangeError):
        sample_until_precise(lambda points: output, design, {"y": 0.1}, most=most)
