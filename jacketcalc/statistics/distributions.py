"""What is known of an input, as a distribution (JCGM 101, 6.4): what all kinds share.

Each kind gives its value at a cumulative probability, its mean and its standard uncertainty, all in
the unit of the input. Inputs are independent of one another.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtri

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError

COVERAGE_FACTOR = float(ndtri(0.975))
"""Standard uncertainties from centre to end of a normal 95 % interval, 1.96 [-]."""


class Distribution(Protocol):
    """What every distribution of an input offers."""

    @property
    def mean(self) -> float:
        """Expectation [unit of the input]."""
        ...

    @property
    def standard_uncertainty(self) -> float:
        """Standard deviation, u(x) of JCGM 100 [unit of the input]."""
        ...

    def ppf(self, u: ArrayLike) -> Array:
        """Return the value at cumulative probability `u` [-], in the unit of the input."""
        ...


def values_at(inputs: Sequence[Distribution], points: Array) -> Array:
    """Return the inputs' values at points of the unit cube.

    Parameters
    ----------
    inputs : distributions, one for each column
    points : cumulative probabilities, of shape (..., inputs) [-]

    Returns
    -------
    Values of the same shape, each column in the unit of its input.

    Raises
    ------
    RangeError
        When there are not as many columns as inputs.
    """
    if points.shape[-1] != len(inputs):
        raise RangeError(f"{points.shape[-1]} columns of points for {len(inputs)} inputs")
    return np.stack([given.ppf(points[..., i]) for i, given in enumerate(inputs)], axis=-1)


def probability(u: ArrayLike) -> Array:
    """Return cumulative probabilities as an array [-].

    Raises
    ------
    RangeError
        When one does not lie between 0 and 1.
    """
    p = np.asarray(u, dtype=float)
    if not np.all((p >= 0.0) & (p <= 1.0)):
        raise RangeError("a cumulative probability lies between 0 and 1; sample the unit cube")
    return p


def check_order(low: float, high: float) -> None:
    """Refuse limits that enclose nothing.

    Raises
    ------
    RangeError
        When they are not finite and in order.
    """
    if not -math.inf < low < high < math.inf:
        raise RangeError(f"limits {low:g} and {high:g} enclose nothing; give the lower one first")


def check_spread(centre: float, spread: float) -> None:
    """Refuse a centre or a spread that make no distribution.

    Raises
    ------
    RangeError
        When the centre is not finite or the spread not above zero.
    """
    if not (math.isfinite(centre) and 0.0 < spread < math.inf):
        raise RangeError(
            f"{centre:g} with a standard uncertainty of {spread:g} is no distribution; an input "
            "that is known exactly is no uncertain input: leave it out"
        )
