"""Distributions of an input that lies between two limits."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.statistics.distributions import check_order, probability


@dataclass(frozen=True, kw_only=True)
class Rectangular:
    """Equally likely between two limits (JCGM 100, 4.3.7; JCGM 101, 6.4.2).

    Raises
    ------
    RangeError
        When the limits are not in order.
    """

    low: float
    """Lower limit [unit of the input]."""
    high: float
    """Upper limit [unit of the input]."""

    def __post_init__(self) -> None:
        check_order(self.low, self.high)

    @property
    def mean(self) -> float:
        """Middle of the limits [unit of the input]."""
        return 0.5 * (self.low + self.high)

    @property
    def standard_uncertainty(self) -> float:
        """Half width over root three [unit of the input]."""
        return (self.high - self.low) / math.sqrt(12.0)

    def ppf(self, u: ArrayLike) -> Array:
        """Return the value at cumulative probability `u` [-], in the unit of the input."""
        return self.low + (self.high - self.low) * probability(u)


def from_tolerance(centre: float, half_width: float) -> Rectangular:
    """Return what a tolerance of plus or minus a says: rectangular, u = a / sqrt(3).

    Parameters
    ----------
    centre : stated value [unit of the input]
    half_width : a, half of the tolerance's width [unit of the input]

    References
    ----------
    JCGM 100, 4.3.7: only limits are known, and no value between them is preferred.
    """
    return Rectangular(low=centre - half_width, high=centre + half_width)


@dataclass(frozen=True, kw_only=True)
class Triangular:
    """Likeliest at a mode, falling in straight lines to both limits (JCGM 100, 4.3.9).

    Raises
    ------
    RangeError
        When limits and mode are not in order.
    """

    low: float
    """Lower limit [unit of the input]."""
    mode: float
    """Likeliest value [unit of the input]."""
    high: float
    """Upper limit [unit of the input]."""

    def __post_init__(self) -> None:
        check_order(self.low, self.high)
        if not self.low <= self.mode <= self.high:
            raise RangeError(
                f"the mode {self.mode:g} lies outside its limits {self.low:g} and {self.high:g}; "
                "a triangular distribution has its peak between its ends"
            )

    @property
    def mean(self) -> float:
        """Mean of limits and mode [unit of the input]."""
        return (self.low + self.mode + self.high) / 3.0

    @property
    def standard_uncertainty(self) -> float:
        """Standard deviation; a / sqrt(6) where it is symmetric [unit of the input]."""
        a, b, c = self.mode - self.low, self.high - self.mode, self.high - self.low
        return math.sqrt((a * a + b * b + c * c) / 36.0)

    def ppf(self, u: ArrayLike) -> Array:
        """Return the value at cumulative probability `u` [-], in the unit of the input."""
        p = probability(u)
        left, right, width = self.mode - self.low, self.high - self.mode, self.high - self.low
        rising = self.low + np.sqrt(p * width * left)
        falling = self.high - np.sqrt((1.0 - p) * width * right)
        value: Array = np.where(p * width < left, rising, falling)
        return value
