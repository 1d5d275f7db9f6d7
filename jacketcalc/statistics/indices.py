"""Shares of an output's variance that inputs cause: first order and total.

The first-order index is the share that would go if the input were known; the total index is the
share that would stay if all others were known (Saltelli et al. 2008; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.statistics.estimates import jackknife_error
from jacketcalc.statistics.samples import SampleDesign


@dataclass(frozen=True, kw_only=True)
class VarianceIndices:
    """First-order and total indices of one output, one element for each input.

    They are not cut at 0 and 1: an index within its error of zero may come out below.
    """

    first: Array
    """First-order index S [-]."""
    first_error: Array
    """Its sampling error [-]."""
    total: Array
    """Total index ST [-]."""
    total_error: Array
    """Its sampling error [-]."""


def index_points(design: SampleDesign) -> Array:
    """Return the points at which the model is to be evaluated for indices.

    Parameters
    ----------
    design : replicates, points and seed; `inputs` is the count of inputs of the model

    Returns
    -------
    Points of shape (replicates, inputs + 2, per_replicate, inputs): matrix A, matrix B, and for
    each input the matrix A with that input's column from B [-].

    References
    ----------
    Saltelli et al., Comput. Phys. Commun. 181, 2010, 259 (from memory).
    """
    count = design.inputs
    drawn = replace(design, inputs=2 * count).points()
    A, B = drawn[..., :count], drawn[..., count:]
    mixed = [np.where(np.arange(count) == i, B, A) for i in range(count)]
    return np.stack([A, B, *mixed], axis=1)


def variance_indices(values: Array) -> VarianceIndices:
    """Return the indices from the model's values at `index_points`.

    Parameters
    ----------
    values : of shape (replicates, inputs + 2, per_replicate) [unit of the output]

    Raises
    ------
    RangeError
        When the shape is another, a value is not finite, or the output does not vary.

    References
    ----------
    First order: Saltelli et al., Comput. Phys. Commun. 181, 2010, 259, table 2 (b). Total:
    Jansen, Comput. Phys. Commun. 117, 1999, 35 (both from memory). Errors: the jackknife over
    replicates.
    """
    values = np.asarray(values, dtype=float)
    if values.ndim != 3 or values.shape[0] < 2 or values.shape[1] < 3:
        raise RangeError(f"values of shape {values.shape} are not those of index_points")
    if not np.all(np.isfinite(values)):
        raise RangeError("samples without a value leave no indices; narrow the inputs")
    if np.ptp(values[:, :2]) == 0.0:
        raise RangeError("the output does not vary, so that no input causes a share of it")
    # The estimator of first order loses digits on a large mean.
    values = values - values[:, :2].mean()
    first, total = _indices(values)
    first_error, total_error = jackknife_error(_indices, values)
    return VarianceIndices(
        first=first, first_error=first_error, total=total, total_error=total_error
    )


def _indices(values: Array) -> Array:
    """Return first-order and total indices, of shape (2, inputs) [-]."""
    A, B, mixed = values[:, 0], values[:, 1], values[:, 2:]
    variance = np.var(values[:, :2])
    step = mixed - A[:, None]
    first = np.mean(B[:, None] * step, axis=(0, 2))
    total = 0.5 * np.mean(step**2, axis=(0, 2))
    shares: Array = np.stack([first, total]) / variance
    return shares
