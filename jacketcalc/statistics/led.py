"""Means and variances led by what is known of the model beforehand, so that noise drops out.

A sum of functions of one input each whose variances are known is a control variate (Glasserman,
Monte Carlo Methods in Financial Engineering, 2004, 4.1; from memory). It need not be right: what
it lacks is found from the samples, and where it is far off the noise stays what it was.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array


@dataclass(frozen=True, kw_only=True)
class KnownEffects:
    """What each input alone is known to do to an output, each as a function of that input."""

    base: Array
    """At the points of the samples, of shape (replicates, samples, inputs) [unit of the output]."""
    other: Array | None = None
    """At the points from which groups are drawn anew, of shape (replicates, count, inputs); None
    where none are [unit of the output]."""
    variance: Array
    """Variance of each, of shape (inputs,) [unit of the output, squared]."""

    @property
    def together(self) -> Array:
        """Sum over inputs at the points of the samples [unit of the output]."""
        whole: Array = self.base.sum(axis=-1)
        return whole


def slope_on(values: Array, known: Array) -> float:
    """Return the slope of values on what is known, 0 where that does not vary [-]."""
    apart = known - known.mean()
    spread = float(np.mean(apart**2))
    return float(np.mean(apart * values)) / spread if spread > 0.0 else 0.0


def led_variance(values: Array, known: Array, variance: float) -> float:
    """Return the variance of values, led by what is known.

    Parameters
    ----------
    values : samples [unit of the output]
    known : what is known at the same points [unit of the output]
    variance : its variance [unit of the output, squared]

    Returns
    -------
    Variance [unit of the output, squared].
    """
    slope = slope_on(values, known)
    return float(np.var(values)) - slope**2 * (float(np.var(known)) - variance)


def led_means(values: Array, known: Array, expected: Array) -> Array:
    """Return the mean of each group's values, led by what is known.

    Parameters
    ----------
    values : of shape (replicates, groups, count) [any unit]
    known : of the same shape [that unit]
    expected : mean of what is known, one for each group [that unit]

    Returns
    -------
    Means, one for each group [that unit].
    """
    mean, of_known = values.mean(axis=(0, 2)), known.mean(axis=(0, 2))
    apart = known - of_known[:, None]
    spread = np.mean(apart**2, axis=(0, 2))
    along = np.mean(apart * (values - mean[:, None]), axis=(0, 2))
    slope = np.divide(along, spread, out=np.zeros_like(along), where=spread > 0.0)
    led: Array = mean - slope * (of_known - expected)
    return led
