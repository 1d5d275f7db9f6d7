"""Which further reading would tell most of the answer, before it is taken.

In a linear model with Gaussian uncertainties the variance after a reading does not depend on what
it shows (c-optimal Bayesian design: Chaloner and Verdinelli, Statist. Sci. 10, 1995, 273; from
memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError


@dataclass(frozen=True, kw_only=True)
class ExpectedGain:
    """Variance of the answer before and after each candidate reading alone."""

    before: float
    """Variance with no further reading [unit of the answer, squared]."""
    after: Array
    """Variance after each candidate [unit of the answer, squared]."""

    @property
    def share(self) -> Array:
        """Share of the variance that each candidate takes away [-]."""
        share: Array = 1.0 - self.after / self.before
        return share


@dataclass(frozen=True, kw_only=True)
class ReadingPlan:
    """The readings to take, the best first."""

    chosen: tuple[int, ...]
    """Places of the candidates, in the order of choice."""
    before: float
    """Variance of the answer with no further reading [unit of the answer, squared]."""
    after: Array
    """Variance after each choice and those before it [unit of the answer, squared]."""


def expected_gain(
    candidates: Array, uncertainties: Array, answer: Array, covariance: Array | None = None
) -> ExpectedGain:
    """Return the variance of the answer after each candidate reading.

    Parameters
    ----------
    candidates : slopes of the readings in the parameters, of shape (readings, parameters) [unit
        of the reading]
    uncertainties : standard uncertainty of each reading [unit of the reading]
    answer : slopes of the answer in the parameters [unit of the answer]
    covariance : of the parameters by now, as of `Fit`; None for their priors [-]

    Raises
    ------
    RangeError
        When shapes do not agree, an uncertainty is not above zero, or the answer depends on no
        parameter.
    """
    J, a, P = _scaled(candidates, uncertainties, answer, covariance)
    before = float(a @ P @ a)
    return ExpectedGain(before=before, after=before - _gains(J, a, P))


def plan_readings(
    candidates: Array,
    uncertainties: Array,
    answer: Array,
    count: int,
    covariance: Array | None = None,
) -> ReadingPlan:
    """Choose readings one after the other, each the best after those before it.

    Each candidate is taken once at most. The choice is greedy: a pair may exist that is better
    than the first two.

    Parameters
    ----------
    candidates : slopes of the readings in the parameters, of shape (readings, parameters) [unit
        of the reading]
    uncertainties : standard uncertainty of each reading [unit of the reading]
    answer : slopes of the answer in the parameters [unit of the answer]
    count : readings to choose, at most the count of candidates
    covariance : of the parameters by now, as of `Fit`; None for their priors [-]

    Raises
    ------
    RangeError
        When so many cannot be chosen, or as `expected_gain`.
    """
    J, a, P = _scaled(candidates, uncertainties, answer, covariance)
    if not 1 <= count <= len(J):
        raise RangeError(f"{count} readings cannot be chosen among {len(J)} candidates")
    before = float(a @ P @ a)
    chosen: list[int] = []
    after: list[float] = []
    for _ in range(count):
        gains = _gains(J, a, P)
        gains[chosen] = -np.inf
        best = int(np.argmax(gains))
        told = P @ J[best]
        P = P - np.outer(told, told) / (1.0 + J[best] @ told)
        chosen.append(best)
        after.append(float(a @ P @ a))
    return ReadingPlan(chosen=tuple(chosen), before=before, after=np.array(after))


def _gains(J: Array, a: Array, P: Array) -> Array:
    """Return how much each reading lowers the variance [unit of the answer, squared]."""
    told = J @ P
    gain: Array = (told @ a) ** 2 / (1.0 + np.sum(told * J, axis=1))
    return gain


def _scaled(
    candidates: Array, uncertainties: Array, answer: Array, covariance: Array | None
) -> tuple[Array, Array, Array]:
    """Return slopes over uncertainties [-], the answer's slopes, the parameters' covariance."""
    J, u = np.asarray(candidates, dtype=float), np.asarray(uncertainties, dtype=float)
    a = np.asarray(answer, dtype=float)
    P = np.eye(a.size) if covariance is None else np.asarray(covariance, dtype=float)
    if J.shape != (u.size, a.size) or u.ndim != 1 or P.shape != (a.size, a.size):
        raise RangeError(
            f"slopes of shape {J.shape}, {u.size} uncertainties, {a.size} slopes of the answer "
            f"and a covariance of shape {P.shape} do not belong together"
        )
    if not (np.all(u > 0.0) and np.all(np.isfinite(J))):
        raise RangeError("a reading needs an uncertainty above zero and finite slopes")
    if not a @ P @ a > 0.0:
        raise RangeError("the answer depends on no uncertain parameter: no reading can tell more")
    return J / u[:, None], a, P
