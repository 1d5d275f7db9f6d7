"""Normal distributions of an input, whole and cut off."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri
from scipy.stats import truncnorm

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.statistics.distributions import check_order, check_spread, probability


@dataclass(frozen=True, kw_only=True)
class Normal:
    """Best estimate and standard uncertainty (JCGM 101, 6.4.7).

    Raises
    ------
    RangeError
        When the standard uncertainty is not above zero.
    """

    mean: float
    """Best estimate x [unit of the input]."""
    standard_uncertainty: float
    """u(x) [unit of the input]."""

    def __post_init__(self) -> None:
        check_spread(self.mean, self.standard_uncertainty)

    def ppf(self, u: ArrayLike) -> Array:
        """Return the value at cumulative probability `u` [-], in the unit of the input."""
        value: Array = self.mean + self.standard_uncertainty * ndtri(probability(u))
        return value


@dataclass(frozen=True, kw_only=True)
class TruncatedNormal:
    """Normal, cut off where a value cannot be; its mean moves inwards and its spread narrows.

    Raises
    ------
    RangeError
        When the limits are not in order, the scale is not above zero, or next to nothing of the
        normal lies between the limits.
    """

    location: float
    """Mean of the normal before the cut [unit of the input]."""
    scale: float
    """Standard deviation before the cut [unit of the input]."""
    low: float
    """Lowest possible value; minus infinity where there is none [unit of the input]."""
    high: float
    """Highest possible value; infinity where there is none [unit of the input]."""

    def __post_init__(self) -> None:
        check_spread(self.location, self.scale)
        if not self.low < self.high:
            check_order(self.low, self.high)
        a, b = self._ends
        if a > 8.0 or b < -8.0:
            raise RangeError(
                f"limits {self.low:g} to {self.high:g} lie over 8 standard deviations from "
                f"{self.location:g}: nothing of that normal is left; give a rectangular one"
            )

    @property
    def _ends(self) -> tuple[float, float]:
        return (self.low - self.location) / self.scale, (self.high - self.location) / self.scale

    @property
    def mean(self) -> float:
        """Expectation after the cut [unit of the input]."""
        return float(truncnorm.mean(*self._ends, loc=self.location, scale=self.scale))

    @property
    def standard_uncertainty(self) -> float:
        """Standard deviation after the cut [unit of the input]."""
        return float(truncnorm.std(*self._ends, loc=self.location, scale=self.scale))

    def ppf(self, u: ArrayLike) -> Array:
        """Return the value at cumulative probability `u` [-], in the unit of the input."""
        p = probability(u)
        value = truncnorm.ppf(p, *self._ends, loc=self.location, scale=self.scale)
        return np.asarray(value, dtype=float)
