"""First-order indices from samples that are there already: no further run of the model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.statistics.estimates import checked, jackknife_error
from jacketcalc.statistics.led import KnownEffects, led_variance, slope_on

_PER_BIN = 4
"""Samples of one replicate in a bin, unless bins are stated."""
_MOST_BINS = 32


@dataclass(frozen=True, kw_only=True)
class FirstOrder:
    """First-order indices of one output, one element for each input."""

    first: Array
    """First-order index S, not cut at 0 and 1 [-]."""
    sampling_error: Array
    """Its sampling error [-]."""
    bins: int
    """Bins of equal probability into which each input was cut."""


def first_order_from_samples(
    points: Array, values: Array, *, bins: int | None = None, known: KnownEffects | None = None
) -> FirstOrder:
    """Return first-order indices from existing samples.

    Each input is cut into bins of equal probability; the variance of the output's mean from bin
    to bin is the index. Squares of such means are products of two different replicates, whose
    noise is independent, so that noise adds nothing on average; no rule for plain random samples
    is used. What an input does within a bin is lost: the share 1/bins^2 of a straight effect.

    Parameters
    ----------
    points : of shape (replicates, samples, inputs), from `SampleDesign.points` [-]
    values : of shape (replicates, samples) [unit of the output]
    bins : bins of each input; None for four samples of a replicate in each, at most 32
    known : what inputs are known to do alone; the others' part of it is taken away, and their
        noise with it

    Raises
    ------
    RangeError
        When shapes do not agree, a bin is empty in some replicate, or the output does not vary.

    References
    ----------
    Correlation ratio of binned samples: McKay 1995; Plischke, Borgonovo and Smith, Eur. J. Oper.
    Res. 226, 2013, 536 (both from memory). Products of replicates instead of their correction
    for noise: computed for this project.
    """
    values = checked(values)
    if points.ndim != 3 or points.shape[:2] != values.shape:
        raise RangeError(f"points of shape {points.shape} do not belong to {values.shape} values")
    if np.ptp(values) == 0.0:
        raise RangeError("the output does not vary, so that no input causes a share of it")
    count = bins or max(2, min(_MOST_BINS, values.shape[1] // _PER_BIN))
    centred = values - values.mean()
    whole = np.zeros_like(values) if known is None else known.together
    each = np.zeros(points.shape) if known is None else known.base
    variance = 0.0 if known is None else float(known.variance.sum())
    others = slope_on(values, whole) * (whole[..., None] - each)
    tables = np.stack(
        [
            _bin_means(points[..., i], centred - others[..., i], count)
            for i in range(points.shape[-1])
        ],
        axis=1,
    )
    stacked = np.concatenate((tables.reshape(len(values), -1), centred, whole), axis=1)

    def share(rows: Array) -> Array:
        cells, made, led = np.split(rows, [tables[0].size, -whole.shape[1]], axis=1)
        means = cells.reshape(len(rows), *tables.shape[1:])
        mean = means.mean(axis=2)
        between = np.mean(_cross_square(means), axis=1) - _cross_square(mean)
        index: Array = between / led_variance(made, led, variance)
        return index

    return FirstOrder(
        first=share(stacked), sampling_error=jackknife_error(share, stacked), bins=count
    )


def _cross_square(means: Array) -> Array:
    """Return the mean product of two different replicates [unit of the output, squared]."""
    count = len(means)
    product: Array = means.sum(axis=0) ** 2 - np.sum(means**2, axis=0)
    return product / (count * (count - 1))


def _bin_means(points: Array, values: Array, bins: int) -> Array:
    """Return the mean in each bin, of shape (replicates, bins) [unit of the output]."""
    index = np.minimum((points * bins).astype(int), bins - 1)
    flat = (index + bins * np.arange(len(points))[:, None]).ravel()
    held = np.bincount(flat, minlength=bins * len(points))
    if np.any(held == 0):
        raise RangeError(
            f"{bins} bins leave some without a sample in a replicate; take fewer bins, a power "
            "of two"
        )
    sums = np.bincount(flat, weights=values.ravel(), minlength=bins * len(points))
    means: Array = (sums / held).reshape(len(points), bins)
    return means
