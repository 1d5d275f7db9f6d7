"""Weighted least squares with Gaussian priors.

Parameters are departures from their prior estimates in units of their prior standard
uncertainties, residuals are in units of the readings' standard uncertainties; then the sum of
squares of both is least at the likeliest parameters (Tarantola, Inverse Problem Theory, 2005;
from memory).
"""

from __future__ import annotations

import numpy as np
from scipy.linalg import lstsq
from scipy.optimize import least_squares

from jacketcalc.arrays import Array
from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.statistics.fit import Fit
from jacketcalc.statistics.residuals import Residuals, evaluate, slopes


def fit_linear(residuals_at_prior: Array, jacobian: Array) -> Fit:
    """Fit a model that is linear in its parameters, in closed form.

    Parameters
    ----------
    residuals_at_prior : residuals with every parameter at its prior estimate [-]
    jacobian : slopes of the residuals, of shape (readings, parameters) [-]

    Raises
    ------
    RangeError
        When shapes do not agree or a number is not finite.
    """
    start = np.asarray(residuals_at_prior, dtype=float)
    J = np.asarray(jacobian, dtype=float)
    if start.ndim != 1 or J.ndim != 2 or len(J) != len(start) or 0 in J.shape:
        raise RangeError(f"slopes of shape {J.shape} do not belong to {start.shape} residuals")
    if not (np.all(np.isfinite(start)) and np.all(np.isfinite(J))):
        raise RangeError("a residual or slope is not finite; leave that reading out")
    stacked = np.concatenate((J, np.eye(J.shape[1])))
    target = np.concatenate((-start, np.zeros(J.shape[1])))
    estimate = np.asarray(lstsq(stacked, target)[0], dtype=float)
    return _make_fit(estimate, start + J @ estimate, J)


def fit(
    residuals: Residuals,
    parameters: int,
    *,
    step: float = 1e-3,
    tolerance: float = 1e-8,
    most_steps: int = 100,
) -> Fit:
    """Fit a model to readings, beginning at the prior estimates.

    Parameters
    ----------
    residuals : readings less model over their standard uncertainties; not finite where the
        model has no solution
    parameters : count of parameters
    step : half distance of central differences; above the model's own noise [-]
    tolerance : relative change of parameters and of the sum of squares that ends the search [-]
    most_steps : steps after which the search is given up

    Raises
    ------
    RangeError
        When the residuals are not of the shape asked for.
    ConvergenceError
        When the model has no solution at the prior estimates or beside a step, or the search
        does not end.
    """
    estimate = _search(residuals, np.zeros(parameters), step, tolerance, most_steps)
    return _make_fit(
        estimate, evaluate(residuals, estimate[None])[0], slopes(residuals, estimate, step)
    )


def fit_others(residuals: Residuals, z: Array, held: int, step: float = 1e-3) -> Array:
    """Return the parameters of least chi-square with one of them held.

    Parameters
    ----------
    residuals : the function given to `fit`
    z : parameters to begin with; the held one keeps its value [-]
    held : place of the held parameter
    step : half distance of central differences [-]

    Returns
    -------
    Parameters [-].

    Raises
    ------
    ConvergenceError
        When the model has no solution where it is needed, or the search does not end.
    """

    def rest(rows: Array) -> Array:
        return residuals(np.insert(rows, held, z[held], axis=1))

    return np.insert(_search(rest, np.delete(z, held), step, 1e-8, 100), held, z[held])


def _search(
    residuals: Residuals, start: Array, step: float, tolerance: float, most_steps: int
) -> Array:
    """Return the likeliest parameters [-]."""
    if not np.all(np.isfinite(evaluate(residuals, start[None]))):
        raise ConvergenceError(
            "the model has no solution at the prior estimates, where the search begins; choose "
            "priors at which it runs"
        )
    prior = np.eye(len(start))

    def with_priors(z: Array) -> Array:
        return np.concatenate((evaluate(residuals, z[None])[0], z))

    def slopes_with_priors(z: Array) -> Array:
        return np.concatenate((slopes(residuals, z, step), prior))

    found = least_squares(
        with_priors,
        start,
        jac=slopes_with_priors,
        xtol=tolerance,
        ftol=tolerance,
        gtol=tolerance,
        max_nfev=most_steps,
    )
    if found.status <= 0:
        raise ConvergenceError(
            f"the fit did not settle in {most_steps} steps, slope {found.optimality:.2g}; allow "
            "more steps, or a larger step of the differences if the model is rough"
        )
    return np.asarray(found.x, dtype=float)


def _make_fit(estimate: Array, residuals: Array, J: Array) -> Fit:
    covariance: Array = np.asarray(np.linalg.inv(J.T @ J + np.eye(len(estimate))), dtype=float)
    return Fit(
        estimate=estimate,
        covariance=covariance,
        residuals=residuals,
        jacobian=J,
        chi_square=float(residuals @ residuals + estimate @ estimate),
    )
