"""An estimate from replicates, with the error that sampling leaves in it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError

TOLD = 2.0
"""Sampling errors by which a share must exceed nought to be told from it; practice [-]."""


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A number computed from samples.

    The sampling error is how far another seed would move the number. It says nothing of how well
    the model or the inputs are known.
    """

    value: float
    """The number, from all samples [unit of the quantity]."""
    sampling_error: float
    """Its standard error from the replicates [unit of the quantity]."""
    replicates: int
    """Independent scramblings behind the error."""

    @property
    def told(self) -> bool:
        """Whether it is told from nought."""
        return self.value > TOLD * self.sampling_error

    def margin(self, level: float = 0.95) -> float:
        """Return the half width within which the number is known at a level of confidence.

        Student's t with one degree of freedom less than replicates; at 8 replicates and 95 %
        its factor is 2.36, where JCGM 101 (7.9.4) takes 2 for many batches.

        Parameters
        ----------
        level : level of confidence [-]

        Returns
        -------
        Half width [unit of the quantity].
        """
        factor = float(stdtrit(self.replicates - 1, 0.5 * (1.0 + level)))
        return factor * self.sampling_error


def checked(values: Array) -> Array:
    """Return the values of an output, of shape (replicates, samples), if they can be summarised.

    Parameters
    ----------
    values : one row for each replicate [unit of the output]

    Raises
    ------
    RangeError
        When there are not two replicates of two samples, or a value is not finite.
    """
    values = np.asarray(values, dtype=float)
    if values.ndim != 2 or min(values.shape) < 2:
        raise RangeError(
            f"values of shape {values.shape}: at least 2 replicates of at least 2 samples are "
            "needed, one row for each replicate"
        )
    if not np.all(np.isfinite(values)):
        count = int(np.sum(~np.isfinite(values)))
        raise RangeError(
            f"{count} of {values.size} samples have no value, and to leave them out would bend "
            "the distribution; say what they are worth, or narrow the inputs"
        )
    return values


def replicate_error(values: Array) -> float:
    """Return the standard error of a mean of independent replicates.

    Parameters
    ----------
    values : a statistic's value in each replicate [unit of the statistic]

    Returns
    -------
    Standard deviation over the root of their count [unit of the statistic].
    """
    return float(np.std(values, ddof=1)) / math.sqrt(len(values))


def jackknife_error(statistic: Callable[[Array], Array], values: Array) -> Array:
    """Return the error of a statistic by leaving out one replicate after the other.

    Parameters
    ----------
    statistic : function of values whose first axis is the replicates
    values : of shape (replicates, ...) [unit of the output]

    Returns
    -------
    Standard error, of the shape of the statistic [unit of the statistic].

    References
    ----------
    The delete-one jackknife, Tukey 1958; Efron and Tibshirani 1993 (from memory).
    """
    count = len(values)
    left = np.array([statistic(np.delete(values, r, axis=0)) for r in range(count)])
    error: Array = np.sqrt((count - 1) / count * np.sum((left - left.mean(axis=0)) ** 2, axis=0))
    return error
