"""Residuals of a model of many sets of parameters at once, and their slopes."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import ConvergenceError, RangeError

Residuals = Callable[[Array], Array]
"""From parameters of shape (count, parameters) [-] to residuals of shape (count, readings) [-]."""


def evaluate(residuals: Residuals, rows: Array) -> Array:
    """Return the residuals of several sets of parameters.

    Parameters
    ----------
    residuals : the function given to `fit`
    rows : parameters, of shape (count, parameters) [-]

    Returns
    -------
    Residuals, of shape (count, readings) [-].

    Raises
    ------
    RangeError
        When the function returns another shape.
    """
    found = np.asarray(residuals(rows), dtype=float)
    if found.ndim != 2 or len(found) != len(rows) or found.shape[1] == 0:
        raise RangeError(
            f"residuals of shape {found.shape} for {len(rows)} sets of parameters; return one row "
            "for each set, one column for each reading"
        )
    return found


def slopes(residuals: Residuals, z: Array, step: float) -> Array:
    """Return the slopes of the residuals by central differences, in one call of the model.

    Parameters
    ----------
    residuals : the function given to `fit`
    z : parameters [-]
    step : half distance of the differences [-]

    Returns
    -------
    Slopes, of shape (readings, parameters) [-].

    Raises
    ------
    ConvergenceError
        When the model has no solution at one of the points.
    """
    shift = step * np.eye(len(z))
    found = evaluate(residuals, np.concatenate((z + shift, z - shift)))
    if not np.all(np.isfinite(found)):
        raise ConvergenceError(
            f"the model has no solution within {step:g} prior standard uncertainties of "
            f"z = {np.round(z, 3).tolist()}, so that slopes are not known there; narrow the priors"
        )
    J: Array = (found[: len(z)] - found[len(z) :]).T / (2.0 * step)
    return J
