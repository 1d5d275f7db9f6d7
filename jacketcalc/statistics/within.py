"""A distribution cut off at what its input may be."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.statistics.distributions import Distribution, check_order, probability

_TAIL = 1e-12
"""Probability beyond which nothing is sampled; the first point of a sequence lies at 1e-10 [-]."""
_POINTS = 4096
"""Points that mean and standard uncertainty are taken from [-]."""


@dataclass(frozen=True, kw_only=True)
class Within:
    """A distribution of which only what lies between two limits is kept.

    Raises
    ------
    RangeError
        When the limits are not in order, or nothing lies between them.
    """

    whole: Distribution
    """Before the cut."""
    low: float
    """Lowest value that is possible [unit of the input]."""
    high: float
    """Highest value that is possible [unit of the input]."""

    def __post_init__(self) -> None:
        check_order(self.low, self.high)
        start, end = self._kept
        if not start < end:
            raise RangeError(
                f"nothing of the distribution lies between {self.low:g} and {self.high:g}; state "
                "a value inside its limits"
            )

    @cached_property
    def _kept(self) -> tuple[float, float]:
        """Cumulative probabilities at the limits [-]."""
        return _below(self.whole, self.low), _below(self.whole, self.high)

    @cached_property
    def _moments(self) -> tuple[float, float]:
        values = self.ppf((np.arange(_POINTS) + 0.5) / _POINTS)
        return float(values.mean()), float(values.std())

    @property
    def mean(self) -> float:
        """Expectation after the cut [unit of the input]."""
        return self._moments[0]

    @property
    def standard_uncertainty(self) -> float:
        """Standard deviation after the cut [unit of the input]."""
        return self._moments[1]

    def ppf(self, u: ArrayLike) -> Array:
        """Return the value at cumulative probability `u` [-], in the unit of the input."""
        start, end = self._kept
        values = self.whole.ppf(start + (end - start) * probability(u))
        return np.clip(values, self.low, self.high)


def within(whole: Distribution, low: float, high: float) -> Distribution:
    """Return a distribution cut off at limits, itself where it keeps them.

    Parameters
    ----------
    whole : the distribution
    low, high : limits; infinite where there are none [unit of the input]
    """
    first, last = whole.ppf([_TAIL, 1.0 - _TAIL])
    if first >= low and last <= high:
        return whole
    return Within(whole=whole, low=max(low, float(first)), high=min(high, float(last)))


def family(distribution: Distribution) -> str:
    """Return the class of a distribution, of one that is cut off that before the cut."""
    whole = distribution.whole if isinstance(distribution, Within) else distribution
    return type(whole).__name__


def _below(whole: Distribution, limit: float) -> float:
    """Return the probability of lying below a limit, by halving [-]."""
    start, end = _TAIL, 1.0 - _TAIL
    if whole.ppf(start) >= limit:
        return start
    if whole.ppf(end) <= limit:
        return end
    for _ in range(60):
        middle = 0.5 * (start + end)
        start, end = (middle, end) if whole.ppf(middle) < limit else (start, middle)
    return 0.5 * (start + end)
