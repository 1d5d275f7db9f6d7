"""What the samples of an output say, each number with its sampling error."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.statistics.estimates import Estimate, checked, replicate_error


@dataclass(frozen=True, kw_only=True)
class Summary:
    """Distribution of an output, in the unit of that output (JCGM 101, 7.6 and 7.7)."""

    mean: Estimate
    """Estimate y of the output [unit of the output]."""
    median: Estimate
    """As often exceeded as not [unit of the output]."""
    standard_uncertainty: Estimate
    """u(y) [unit of the output]."""
    low: Estimate
    """Lower end of the coverage interval [unit of the output]."""
    high: Estimate
    """Upper end of the coverage interval [unit of the output]."""
    probability_positive: Estimate
    """Probability of exceeding zero [-]."""
    level: float
    """Coverage probability p of the interval [-]."""
    shortest: bool
    """Whether the interval is the shortest, and not the probabilistically symmetric one."""


def summarise(values: Array, *, level: float = 0.95, shortest: bool = False) -> Summary:
    """Summarise the samples of an output.

    Numbers come from all samples, errors from the spread of the replicates. Ends of an interval
    want replicates long enough to hold samples beyond them: 64 or more at 95 %.

    Parameters
    ----------
    values : samples, one row for each replicate [unit of the output]
    level : coverage probability of the interval [-]
    shortest : whether to take the shortest interval

    Raises
    ------
    RangeError
        When the samples cannot be summarised, or the level is not between 0 and 1.

    References
    ----------
    JCGM 101, 5.3.4 (shortest interval), 7.6 and 7.7.
    """
    values = checked(values)
    if not 0.0 < level < 1.0:
        raise RangeError(f"a coverage probability of {level:g} is not between 0 and 1")
    ends = _ends(values, level, shortest)
    return Summary(
        mean=_estimate(np.mean, values),
        median=_estimate(np.median, values),
        # By M and not M - 1 (JCGM 101, 7.6): the mean of balanced points has next to no error.
        standard_uncertainty=_estimate(np.std, values),
        low=ends[0],
        high=ends[1],
        probability_positive=probability_positive(values),
        level=level,
        shortest=shortest,
    )


def summarise_difference(
    values: Array, reference: Array, *, level: float = 0.95, shortest: bool = False
) -> Summary:
    """Summarise how far two outputs differ, sample by sample.

    Both come from the same points, so that what moves both alike drops out.

    Parameters
    ----------
    values, reference : samples at the same points, of one shape [unit of the outputs]
    level : coverage probability of the interval [-]
    shortest : whether to take the shortest interval

    Raises
    ------
    RangeError
        When the two are not paired, or cannot be summarised.
    """
    if np.shape(values) != np.shape(reference):
        raise RangeError(
            f"samples of shapes {np.shape(values)} and {np.shape(reference)} are not paired; "
            "evaluate both outputs at the same points"
        )
    return summarise(values - reference, level=level, shortest=shortest)


def symmetric_interval(values: Array, level: float) -> tuple[float, float]:
    """Return the interval with equal probability beyond either end (JCGM 101, 7.7).

    Percentiles are taken between order statistics, the i-th of n at (i - 1/2)/n.

    Parameters
    ----------
    values : samples, of any shape [unit of the output]
    level : coverage probability [-]

    Returns
    -------
    Ends [unit of the output].
    """
    tail = 0.5 * (1.0 - level)
    low, high = np.quantile(values, (tail, 1.0 - tail), method="hazen")
    return float(low), float(high)


def shortest_interval(values: Array, level: float) -> tuple[float, float]:
    """Return the shortest interval that holds the share `level` of the samples.

    Parameters
    ----------
    values : samples of a distribution with one peak, of any shape [unit of the output]
    level : coverage probability [-]

    Returns
    -------
    Ends [unit of the output].

    References
    ----------
    JCGM 101, 5.3.4 and 7.7.
    """
    ordered = np.sort(values, axis=None)
    held = min(ordered.size - 1, int(level * ordered.size + 0.5))
    first = int(np.argmin(ordered[held:] - ordered[:-held]))
    return float(ordered[first]), float(ordered[first + held])


def _ends(values: Array, level: float, shortest: bool) -> tuple[Estimate, Estimate]:
    interval = shortest_interval if shortest else symmetric_interval
    pooled = interval(values, level)
    single = np.array([interval(row, level) for row in values])
    # The place of the shortest interval settles with the cube root of the count only
    # (Kim and Pollard 1990, from memory), so replicates gain less than their root.
    slow = len(values) ** (1.0 / 6.0) if shortest else 1.0
    low, high = (
        Estimate(
            value=pooled[i],
            sampling_error=slow * replicate_error(single[:, i]),
            replicates=len(values),
        )
        for i in (0, 1)
    )
    return low, high


def probability_positive(values: Array) -> Estimate:
    """Return the probability of exceeding zero.

    Parameters
    ----------
    values : samples, one row for each replicate [unit of the output]
    """
    share = np.mean(values > 0.0, axis=1)
    # Where all samples agree, the probability is still known to one sample's weight only.
    error = max(replicate_error(share), 1.0 / values.size)
    return Estimate(value=float(share.mean()), sampling_error=error, replicates=len(values))


def _estimate(statistic: Callable[[Array], float | np.floating], values: Array) -> Estimate:
    error = replicate_error(np.array([statistic(row) for row in values]))
    return Estimate(value=float(statistic(values)), sampling_error=error, replicates=len(values))
