"""What one input does alone, as a curve through three values of the model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.statistics.distributions import Distribution

_POINTS = 2048
"""Points of equal probability that mean and variance are taken from [-]."""


@dataclass(frozen=True, kw_only=True)
class OneWay:
    """Change of an output from its nominal value, through what was solved at both ends.

    A parabola where the nominal value lies between the ends, else a straight line.
    """

    low: float
    """Low end of the input [unit of the input]."""
    nominal: float
    """Nominal value of the input [unit of the input]."""
    high: float
    """High end of the input [unit of the input]."""
    at_low: float
    """Change of the output at the low end [unit of the output]."""
    at_high: float
    """Change of the output at the high end [unit of the output]."""

    def __call__(self, value: Array) -> Array:
        """Return the change of the output at values of the input [unit of the output]."""
        share = (value - self.low) / (self.high - self.low)
        line = self.at_low + (self.at_high - self.at_low) * share
        middle = (self.nominal - self.low) / (self.high - self.low)
        bow = middle * (1.0 - middle)
        if bow < 0.01:
            return np.asarray(line, dtype=float)
        # The parabola that is nought at both ends, and takes the line to nought at the middle.
        at_middle = self.at_low + (self.at_high - self.at_low) * middle
        curve: Array = line - at_middle * share * (1.0 - share) / bow
        return curve

    def variance(self, distribution: Distribution) -> float:
        """Return the variance of the change [unit of the output, squared]."""
        even = (np.arange(_POINTS) + 0.5) / _POINTS
        return float(np.var(self(distribution.ppf(even))))
