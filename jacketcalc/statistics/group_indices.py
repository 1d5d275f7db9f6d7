"""Total indices of inputs and of groups of inputs, from samples of which a group is drawn anew.

The total index of a group is the share of the variance that would stay if all other inputs were
known. A group may hold one input, or all that no other group holds, so that nothing is hidden.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.statistics.estimates import jackknife_error
from jacketcalc.statistics.led import KnownEffects, led_means, led_variance
from jacketcalc.statistics.samples import SampleDesign


@dataclass(frozen=True, kw_only=True)
class PairedPoints:
    """Points of all inputs, and as many others to take a group's columns from."""

    base: Array
    """Matrix A, of shape (replicates, samples, inputs) [-]."""
    other: Array
    """Matrix B, for the first of the points of each replicate [-]."""

    def redrawn(self, group: Sequence[int]) -> Array:
        """Return the first points of A with the columns of a group from B [-]."""
        mixed = self.base[:, : self.other.shape[1]].copy()
        mixed[..., list(group)] = self.other[..., list(group)]
        return mixed


@dataclass(frozen=True, kw_only=True)
class GroupTotals:
    """Total indices of one output, one element for each group."""

    total: Array
    """Total index ST [-]."""
    sampling_error: Array
    """Its sampling error [-]."""


def paired_points(design: SampleDesign, count: int, order: Sequence[int]) -> PairedPoints:
    """Return the points for indices of groups.

    Parameters
    ----------
    design : replicates, points and seed; `inputs` is the count of inputs of the model
    count : points of each replicate that are drawn anew, a power of two
    order : inputs, those first that matter most: the first coordinates fill the cube best

    Raises
    ------
    RangeError
        When the count is no power of two up to the points of a replicate.
    """
    if not 2 <= count <= design.per_replicate or count & (count - 1):
        raise RangeError(f"{count} points cannot be drawn anew; take a power of two from 2")
    drawn = replace(design, inputs=2 * design.inputs).points()
    place = np.empty(design.inputs, dtype=int)
    place[list(order)] = 2 * np.arange(design.inputs)
    return PairedPoints(base=drawn[..., place], other=drawn[:, :count, place + 1])


def group_totals(
    values: Array,
    redrawn: Array,
    groups: Sequence[Sequence[int]] = (),
    known: KnownEffects | None = None,
) -> GroupTotals:
    """Return the total index of each group.

    Parameters
    ----------
    values : at the points of A, of shape (replicates, samples) [unit of the output]
    redrawn : at the first of them with each group drawn anew, of shape (replicates, groups,
        count) [unit of the output]
    groups : inputs of each group; used with what is known only
    known : what inputs are known to do alone, which takes noise away; None for nothing

    Raises
    ------
    RangeError
        When shapes do not agree, a value is not finite, or the output does not vary.

    References
    ----------
    Jansen, Comput. Phys. Commun. 117, 1999, 35; of groups: Saltelli et al. 2008 (both from
    memory). Errors: the jackknife over replicates.
    """
    values, redrawn = np.asarray(values, dtype=float), np.asarray(redrawn, dtype=float)
    if values.ndim != 2 or redrawn.ndim != 3 or len(values) != len(redrawn) or len(values) < 2:
        raise RangeError(f"values of shapes {values.shape} and {redrawn.shape} are no pairs")
    if not (np.all(np.isfinite(values)) and np.all(np.isfinite(redrawn))):
        raise RangeError("samples without a value leave no indices; narrow the inputs")
    if np.ptp(values) == 0.0:
        raise RangeError("the output does not vary, so that no input causes a share of it")
    count, size = redrawn.shape[2], values.shape[1]
    made = (redrawn - values[:, None, :count]) ** 2
    whole, steps, variance = np.zeros_like(values), np.zeros_like(made), 0.0
    expected = np.zeros(redrawn.shape[1])
    if known is not None and known.other is not None:
        moved = known.other - known.base[:, :count]
        steps = np.stack([moved[..., list(g)].sum(axis=-1) ** 2 for g in groups], axis=1)
        expected = np.array([2.0 * known.variance[list(g)].sum() for g in groups])
        whole, variance = known.together, float(known.variance.sum())

    def total(rows: Array) -> Array:
        own, led, squares = np.split(rows, [size, 2 * size], axis=1)
        own_steps, led_steps = np.split(squares.reshape(len(rows), 2, *made.shape[1:]), 2, axis=1)
        mean = led_means(own_steps[:, 0], led_steps[:, 0], expected)
        index: Array = 0.5 * mean / led_variance(own, led, variance)
        return index

    parts = [part.reshape(len(values), -1) for part in (values, whole, made, steps)]
    stacked = np.concatenate(parts, axis=1)
    return GroupTotals(total=total(stacked), sampling_error=jackknife_error(total, stacked))
