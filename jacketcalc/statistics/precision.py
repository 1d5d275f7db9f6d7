"""As many samples as a stated numerical tolerance needs (JCGM 101, 7.9, with replicates)."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.statistics.samples import SampleDesign
from jacketcalc.statistics.summary import Summary, summarise

Evaluate = Callable[[Array], Mapping[str, Array]]
"""From points of shape (count, inputs) [-] to each output by name, of shape (count,)."""


@dataclass(frozen=True, kw_only=True)
class PreciseSamples:
    """Samples that were drawn until their summaries stood still, or until no more were allowed."""

    design: SampleDesign
    """The design in the end."""
    points: Array
    """Points of shape (replicates, per_replicate, inputs) [-]."""
    outputs: Mapping[str, Array]
    """Samples of each output, of shape (replicates, per_replicate) [unit of the output]."""
    summaries: Mapping[str, Summary]
    """Summary of each output that has a tolerance."""
    reached: bool
    """Whether every tolerance is kept."""


def numerical_tolerance(standard_uncertainty: float, digits: int = 2) -> float:
    """Return the tolerance that leaves so many digits of a standard uncertainty right.

    u is written c x 10^l with c a whole number of so many digits; the tolerance is 10^l / 2.

    Parameters
    ----------
    standard_uncertainty : u, above zero [unit of the output]
    digits : significant digits that matter

    Returns
    -------
    Tolerance delta [unit of the output].

    Raises
    ------
    RangeError
        When the standard uncertainty is not above zero.

    References
    ----------
    JCGM 101, 7.9.2.
    """
    if not (standard_uncertainty > 0.0 and math.isfinite(standard_uncertainty)):
        raise RangeError(f"a standard uncertainty of {standard_uncertainty:g} has no digits")
    rounded = f"{standard_uncertainty:.{digits - 1}e}"
    return 0.5 * 10.0 ** (int(rounded.partition("e")[2]) - digits + 1)


def sample_until_precise(
    evaluate: Evaluate,
    design: SampleDesign,
    tolerances: Mapping[str, float],
    *,
    most: int,
    level: float = 0.95,
    shortest: bool = False,
) -> PreciseSamples:
    """Double the samples until the named outputs are precise enough.

    An output is precise where estimate, standard uncertainty and both ends of its interval have
    margins (`Estimate.margin`) within its tolerance. Earlier samples are kept.

    Parameters
    ----------
    evaluate : the model, called with new points only
    design : samples to begin with
    tolerances : tolerance of each output that must be precise [unit of the output]
    most : samples in all that may be spent
    level : coverage probability of the interval [-]
    shortest : whether to take the shortest interval

    Raises
    ------
    RangeError
        When the first samples are more than may be spent, or an output is missing or of the
        wrong shape.

    References
    ----------
    JCGM 101, 7.9.4, whose batches are the replicates here.
    """
    if design.total > most:
        raise RangeError(f"{design.total} samples to begin with are more than {most}; allow more")
    points = design.points()
    outputs = _evaluate(evaluate, points, tolerances)
    while True:
        found = {
            name: summarise(outputs[name], level=level, shortest=shortest) for name in tolerances
        }
        reached = all(_precise(found[name], tolerances[name]) for name in tolerances)
        if reached or 2 * design.total > most:
            return PreciseSamples(
                design=design, points=points, outputs=outputs, summaries=found, reached=reached
            )
        added = design.added_by_more()
        new = _evaluate(evaluate, added, tolerances)
        outputs = {name: np.concatenate((old, new[name]), axis=1) for name, old in outputs.items()}
        points = np.concatenate((points, added), axis=1)
        design = design.more()


def _precise(summary: Summary, tolerance: float) -> bool:
    watched = (summary.mean, summary.standard_uncertainty, summary.low, summary.high)
    return all(estimate.margin() <= tolerance for estimate in watched)


def _evaluate(evaluate: Evaluate, points: Array, needed: Mapping[str, float]) -> dict[str, Array]:
    """Return each output at the points, one row for each replicate [unit of the output]."""
    count = points.shape[0] * points.shape[1]
    given = evaluate(points.reshape(count, -1))
    lacking = sorted(set(needed) - set(given))
    if lacking:
        raise RangeError(f"no output is called {', '.join(lacking)}; there are {', '.join(given)}")
    for name, values in given.items():
        if np.shape(values) != (count,):
            raise RangeError(f"output {name}: {np.shape(values)} values for {count} points")
    return {name: np.reshape(values, points.shape[:2]) for name, values in given.items()}
