"""A model of many parameters by a polynomial of second degree, from solutions that are there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError


@dataclass(frozen=True, kw_only=True)
class Quadratic:
    """Outputs as a polynomial of second degree in the parameters."""

    coefficients: Array
    """One column for each output: constant, slopes, then products [unit of the output]."""
    error: Array
    """How far the model lies from it, root mean square, each point left out in turn [unit of the
    output]."""

    def __call__(self, points: Array) -> Array:
        """Return the outputs, of shape (points, outputs) [unit of the output]."""
        found: Array = _terms(points) @ self.coefficients
        return found


def fit_quadratic(points: Array, values: Array, weights: Array | None = None) -> Quadratic:
    """Return the polynomial that lies nearest to a model's values.

    Parameters
    ----------
    points : of shape (points, parameters), more than half as many again as coefficients [-]
    values : of shape (points, outputs) [unit of the output]
    weights : what each point counts, in the error too; all the same when None [-]

    Raises
    ------
    RangeError
        When there are too few points.
    """
    count = len(points)
    share = np.full(count, 1.0 / count) if weights is None else weights / np.sum(weights)
    terms = _terms(points)
    if 2 * count < 3 * terms.shape[1]:
        raise RangeError(f"{count} points do not tell {terms.shape[1]} coefficients; solve more")
    root = np.sqrt(share)[:, None]
    basis, triangle = np.linalg.qr(root * terms)
    coefficients: Array = np.linalg.solve(triangle, basis.T @ (root * values))
    held = np.minimum(np.sum(basis**2, axis=1), 0.99)[:, None]
    left = (values - terms @ coefficients) / (1.0 - held)
    error: Array = np.sqrt(share @ left**2)
    return Quadratic(coefficients=coefficients, error=error)


def _terms(points: Array) -> Array:
    """Return constant, parameters, and products of each two, of shape (points, terms) [-]."""
    first, second = np.triu_indices(points.shape[1])
    parts = (np.ones((len(points), 1)), points, points[:, first] * points[:, second])
    return np.concatenate(parts, axis=1)
