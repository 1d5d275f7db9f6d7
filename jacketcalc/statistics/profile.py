"""A parameter's interval from the rise of chi-square, where a covariance is too straight."""

from __future__ import annotations

import math

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtri

from jacketcalc.arrays import Array
from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.statistics.fit import Fit
from jacketcalc.statistics.least_squares import fit_others
from jacketcalc.statistics.residuals import Residuals, evaluate

_SHARE = 1e-4
"""Accuracy of an end, as a share of the parameter's standard uncertainty [-]."""


def profile_interval(
    residuals: Residuals, fit: Fit, index: int, *, level: float = 0.95, step: float = 1e-3
) -> tuple[float, float]:
    """Return the ends at which the least chi-square has risen by the square of k.

    The parameter is held, all others are fitted anew. For a linear model the ends are those of
    `Fit.interval`.

    Parameters
    ----------
    residuals : the function given to the fit
    fit : its result
    index : place of the parameter
    level : coverage probability; k is the normal coverage factor [-]
    step : half distance of central differences [-]

    Returns
    -------
    Ends in units of the prior standard uncertainty [-].

    Raises
    ------
    RangeError
        When there is no parameter at that place.
    ConvergenceError
        When the model has no solution on the way to an end.

    References
    ----------
    Likelihood-ratio interval; Venzon and Moolgavkar, Appl. Statist. 37, 1988, 87 (from memory).
    """
    if not 0 <= index < len(fit.estimate):
        raise RangeError(f"no parameter {index} among {len(fit.estimate)}")
    rise = float(ndtri(0.5 * (1.0 + level))) ** 2
    centre, u = float(fit.estimate[index]), float(fit.standard_uncertainty[index])
    # The prior alone lifts chi-square by z^2, so an end cannot lie further out.
    furthest = (1.0 + _SHARE) * math.sqrt(fit.chi_square + rise)

    def excess(value: float) -> float:
        return _least(residuals, fit, index, value, step) - fit.chi_square - rise

    ends = []
    for side in (-1.0, 1.0):
        inner, width = centre, math.sqrt(rise) * u
        outer = centre + side * width
        while abs(outer) < furthest and excess(outer) < 0.0:
            inner, width = outer, 2.0 * width
            outer = inner + side * width
        if abs(outer) >= furthest:
            outer = side * furthest
        ends.append(float(brentq(excess, inner, outer, xtol=_SHARE * u)))
    return ends[0], ends[1]


def _least(residuals: Residuals, fit: Fit, index: int, value: float, step: float) -> float:
    """Return the least chi-square with one parameter held [-]."""
    z = fit.estimate.copy()
    z[index] = value
    if len(z) > 1:
        z = fit_others(residuals, z, index, step)
    found: Array = evaluate(residuals, z[None])[0]
    if not np.all(np.isfinite(found)):
        raise ConvergenceError(
            f"the model has no solution with parameter {index} at {value:.3g} prior standard "
            "uncertainties, on the way to the end of its interval; narrow its prior"
        )
    return float(found @ found + z @ z)
