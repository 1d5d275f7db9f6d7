"""Distributions of a factor: what is known is a ratio, as of a correlation's scatter."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.statistics.distributions import COVERAGE_FACTOR, probability


@dataclass(frozen=True, kw_only=True)
class LogNormalFactor:
    """A positive factor whose logarithm is normal, given by its 95 % span.

    Raises
    ------
    RangeError
        When the ends are not positive and in order.
    """

    low: float
    """Value that is exceeded with probability 97.5 % [unit of the factor]."""
    high: float
    """Value that is exceeded with probability 2.5 % [unit of the factor]."""

    def __post_init__(self) -> None:
        _check_positive(self.low, self.high)

    @property
    def median(self) -> float:
        """Geometric mean of the ends [unit of the factor]."""
        return math.sqrt(self.low * self.high)

    @property
    def log_uncertainty(self) -> float:
        """Standard deviation of the logarithm [-]."""
        return math.log(self.high / self.low) / (2.0 * COVERAGE_FACTOR)

    @property
    def mean(self) -> float:
        """Expectation, above the median [unit of the factor]."""
        return self.median * math.exp(0.5 * self.log_uncertainty**2)

    @property
    def standard_uncertainty(self) -> float:
        """Standard deviation [unit of the factor]."""
        return self.mean * math.sqrt(math.expm1(self.log_uncertainty**2))

    def ppf(self, u: ArrayLike) -> Array:
        """Return the value at cumulative probability `u` [-], in the unit of the factor."""
        value: Array = self.median * np.exp(self.log_uncertainty * ndtri(probability(u)))
        return value


def within_factor(factor: float, median: float = 1.0) -> LogNormalFactor:
    """Return the factor that lies between median / f and median x f with probability 95 %.

    Parameters
    ----------
    factor : f, above 1 [-]
    median : value as likely exceeded as not [unit of the factor]

    Raises
    ------
    RangeError
        When the factor is not above 1 or the median is not positive.
    """
    if not (factor > 1.0 and median > 0.0):
        raise RangeError(
            f"a span of a factor {factor:g} about {median:g} is empty; give a factor above 1"
        )
    return LogNormalFactor(low=median / factor, high=median * factor)


@dataclass(frozen=True, kw_only=True)
class LogRectangular:
    """A positive factor whose logarithm is equally likely between two limits.

    It says that the order of magnitude is open, and no value within is preferred.

    Raises
    ------
    RangeError
        When the limits are not positive and in order.
    """

    low: float
    """Lower limit [unit of the factor]."""
    high: float
    """Upper limit [unit of the factor]."""

    def __post_init__(self) -> None:
        _check_positive(self.low, self.high)

    @property
    def mean(self) -> float:
        """Logarithmic mean of the limits [unit of the factor]."""
        return (self.high - self.low) / math.log(self.high / self.low)

    @property
    def standard_uncertainty(self) -> float:
        """Standard deviation [unit of the factor]."""
        second = 0.5 * (self.high + self.low) * self.mean
        return math.sqrt(max(0.0, second - self.mean**2))

    def ppf(self, u: ArrayLike) -> Array:
        """Return the value at cumulative probability `u` [-], in the unit of the factor."""
        value: Array = self.low * np.power(self.high / self.low, probability(u))
        return value


def _check_positive(low: float, high: float) -> None:
    if not 0.0 < low < high < math.inf:
        raise RangeError(
            f"ends {low:g} and {high:g} of a factor are not positive and in order; "
            "give the lower one first"
        )
