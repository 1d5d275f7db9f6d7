"""Total indices of groups against closed forms, and what is known of a model beforehand."""

from __future__ import annotations

import numpy as np
import pytest
from test_statistics_indices import PRODUCT, TOTAL, WEIGHTS, ishigami, mixed, mixed_indices

from jacketcalc.errors import RangeError
from jacketcalc.statistics.distributions import values_at
from jacketcalc.statistics.estimates import Estimate
from jacketcalc.statistics.given_data import first_order_from_samples
from jacketcalc.statistics.group_indices import GroupTotals, group_totals, paired_points
from jacketcalc.statistics.led import KnownEffects
from jacketcalc.statistics.limited import Rectangular
from jacketcalc.statistics.one_way import OneWay
from jacketcalc.statistics.samples import SampleDesign

GROUPS = ((0,), (1,), (2, 3, 4, 5, 6))
"""Of `model`: the factors of its product, and the straight rest."""


def model(points: np.ndarray, product: float) -> np.ndarray:
    """The straight part of `mixed`, and so much of the product of its first two inputs."""
    centred = points - 0.5
    return np.asarray(centred @ WEIGHTS + product * centred[..., 0] * centred[..., 1])


def group_shares(product: float) -> np.ndarray:
    """Exact: a centred uniform has variance 1/12, a product of two 1/144; a sum adds them up."""
    parts = np.append(WEIGHTS**2 / 12.0, product**2 / 144.0)
    return np.array([parts[0] + parts[-1], parts[1] + parts[-1], parts[2:-1].sum()]) / parts.sum()


def solved(seed: int, product: float, *, known: bool, count: int = 16) -> GroupTotals:
    """Return the totals of the model; what is known are its lines, half as steep for one."""
    points = paired_points(SampleDesign(inputs=7, seed=seed), count, range(7))
    again = np.stack([model(points.redrawn(g), product) for g in GROUPS], axis=1)
    slopes = np.array([0.5, 0.7, 0.5, 0.3, 0.2, 0.1, 0.0])
    effects = KnownEffects(
        base=slopes * points.base, other=slopes * points.other, variance=slopes**2 / 12.0
    )
    return group_totals(model(points.base, product), again, GROUPS, effects if known else None)


def test_ishigami_by_single_inputs_and_by_groups() -> None:
    """The product couples the first and the third, so that together they are all but the second."""
    points = paired_points(SampleDesign(inputs=3, per_replicate=2048, seed=4), 2048, (2, 0, 1))
    groups = ((0,), (1,), (2,), (0, 2), (0, 1, 2))
    again = np.stack([ishigami(points.redrawn(g)) for g in groups], axis=1)
    found = group_totals(ishigami(points.base), again)
    exact = [*TOTAL, TOTAL[0], 1.0]
    assert found.total == pytest.approx(exact, abs=0.01)
    assert np.all(np.abs(found.total - exact) < 4.0 * found.sampling_error + 1e-4)


@pytest.mark.parametrize("known", [False, True])
def test_errors_of_group_totals_are_honest(known: bool) -> None:
    """60 seeds: error stated against error made, with and without what is known."""
    found = [solved(seed, PRODUCT, known=known) for seed in range(60)]
    made = np.array([f.total for f in found]) - group_shares(PRODUCT)
    stated = np.array([f.sampling_error for f in found])
    noise = np.sqrt(np.mean(made**2, axis=0))
    assert np.all(np.abs(made.mean(axis=0)) < 4.0 * noise / np.sqrt(60))
    assert 0.7 < np.sqrt(np.mean(stated**2) / np.mean(made**2)) < 1.45


def test_what_is_known_takes_noise_away_and_bends_nothing() -> None:
    """Of a model that is near to a sum; its lines are known, one of them wrongly."""
    plain, led = (
        np.array([solved(seed, 0.2, known=known).total for seed in range(60)]) - group_shares(0.2)
        for known in (False, True)
    )
    assert np.all(np.abs(led.mean(axis=0)) < 4.0 * led.std(axis=0) / np.sqrt(60))
    assert np.sqrt(np.mean(led**2)) < 0.5 * np.sqrt(np.mean(plain**2))


def test_first_order_led_by_wrong_slopes_is_still_that_of_the_closed_form() -> None:
    """60 seeds; lines that are known wrongly, one with the wrong sign, bend nothing."""
    first = mixed_indices()[0]
    slopes = np.array([0.5, 0.7, 1.0, -0.3, 0.2, 0.0, 0.1])
    made, noise = [], []
    for seed in range(60):
        points = SampleDesign(inputs=7, seed=seed).points()
        known = KnownEffects(base=slopes * points, variance=slopes**2 / 12.0)
        led = first_order_from_samples(points, mixed(points), known=known)
        made.append(led.first - first)
        noise.append(led.sampling_error)
    # With 16 bins a straight effect loses 1/256 of its share.
    bias = np.mean(made, axis=0) + first / 256.0
    spread = np.std(made, axis=0)
    assert np.all(np.abs(bias) < 4.0 * spread / np.sqrt(60) + 5e-4)
    assert 0.7 < np.sqrt(np.mean(np.square(noise)) / np.mean(spread**2)) < 2.0


def test_a_parabola_goes_through_all_three_values_and_has_the_variance_of_the_integral() -> None:
    square = OneWay(low=1.0, nominal=2.0, high=4.0, at_low=-3.0, at_high=12.0)
    assert square(np.array([1.0, 2.0, 4.0, 3.0])) == pytest.approx([-3.0, 0.0, 12.0, 5.0])
    # x^2 over 0..1 has variance 1/5 - 1/9.
    unit = OneWay(low=0.1, nominal=0.5, high=0.9, at_low=0.01 - 0.25, at_high=0.81 - 0.25)
    assert unit.variance(Rectangular(low=0.0, high=1.0)) == pytest.approx(4.0 / 45.0, rel=1e-5)
    line = OneWay(low=0.0, nominal=0.0, high=1.0, at_low=0.0, at_high=2.0)
    assert line(np.array([0.25])) == pytest.approx([0.5])


def test_points_of_inputs_that_matter_come_first_and_are_drawn_evenly() -> None:
    design = SampleDesign(inputs=5, per_replicate=16, seed=3)
    points = paired_points(design, 4, (3, 0, 4, 1, 2))
    whole = SampleDesign(inputs=10, per_replicate=16, seed=3).points()
    assert np.array_equal(points.base[..., 3], whole[..., 0])
    assert np.array_equal(points.other[..., 3], whole[:, :4, 1])
    assert np.array_equal(points.base[..., 2], whole[..., 8])
    again = points.redrawn((3, 1))
    assert np.array_equal(again[..., [0, 2, 4]], points.base[:, :4, [0, 2, 4]])
    assert np.array_equal(again[..., [3, 1]], points.other[..., [3, 1]])
    values = values_at([Rectangular(low=0.0, high=16.0)] * 5, points.base).astype(int)
    assert all(len(set(v)) == 16 for row in values for v in row.T)


def test_an_estimate_is_told_from_nought_by_twice_its_error() -> None:
    def told(value: float) -> bool:
        return Estimate(value=value, sampling_error=0.1, replicates=8).told

    assert told(0.21) and not told(0.2) and not told(-0.5)


def test_what_no_total_can_be_made_of_is_refused() -> None:
    points = paired_points(SampleDesign(inputs=2), 8, (0, 1))
    with pytest.raises(RangeError, match="power of two"):
        paired_points(SampleDesign(inputs=2), 128, (0, 1))
    values = points.base.sum(axis=-1)
    again = np.stack([points.redrawn((0,)).sum(axis=-1)], axis=1)
    with pytest.raises(RangeError, match="does not vary"):
        group_totals(np.ones_like(values), again)
    with pytest.raises(RangeError, match="no pairs"):
        group_totals(values, again[:4])
    with pytest.raises(RangeError, match="without a value"):
        group_totals(values, np.full_like(again, np.nan))
