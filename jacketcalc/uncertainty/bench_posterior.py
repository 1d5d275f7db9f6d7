"""What readings leave of the unknowns and of the judged change, integrated over the priors.

The model is solved at points spread over the priors and, where that is too coarse for the readings,
again where the probability lies after them. Between them it is a polynomial of second degree in
unknowns that run straight from limit to limit, so that a prior's limits are kept exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from scipy.special import ndtri
from scipy.stats.qmc import Sobol

from jacketcalc.arrays import Array
from jacketcalc.errors import ConvergenceError
from jacketcalc.statistics.least_squares import fit
from jacketcalc.statistics.posterior import Posterior, sample_posterior
from jacketcalc.statistics.quadratic import Quadratic, fit_quadratic
from jacketcalc.uncertainty.unknowns import Unknown

SPREAD, NEAR = 128, 32
"""Points over the priors, and points where the probability lies after the readings [-]."""
ROUNDS = 3
"""Times at most that the model is solved anew where the probability lies [-]."""
FAR = 0.05
"""What a point over the priors counts beside one where the probability lies, in the first round;
in the others powers of it [-]."""
CLOSE = 1.0
"""How near the polynomial must come to the model, over the readings' own u; what is left widens
that u, and costs at most its root of two [-]."""
MOST_LOST = 0.25
"""Share of points without a solution above which nothing is integrated [-]."""


class Solved(Protocol):
    """A bench that can be solved."""

    value: Array
    """What was read [SI]."""
    u: Array
    """Its standard uncertainties [SI]."""
    unknowns: tuple[Unknown, ...]

    def outputs(self, z: Array) -> Array:
        """Return readings and judged change at rows of all unknowns; NaN without a solution."""
        ...


@dataclass(frozen=True, kw_only=True)
class Left:
    """What is left open after the readings."""

    posterior: Posterior
    """Of the unknowns, in prior standard deviations from their medians."""
    gains: Array
    """Judged change of each draw [-, of temperatures K]."""
    error: float
    """How far the polynomial lies from the model, the worst of the readings, over its u [-]."""


@dataclass(frozen=True, kw_only=True)
class Points:
    """Where the model was solved, and what it gave."""

    at: Array
    """Unknowns in straight coordinates, of shape (points, unknowns) [-]."""
    values: Array
    """Readings and judged change there [SI]."""


def solve_spread(bench: Solved) -> Points:
    """Return readings and judged change over the priors; what was read does not matter.

    Raises
    ------
    ConvergenceError
        When too many machines have no solution.
    """
    count = len(bench.unknowns)
    points = Sobol(count, scramble=True, seed=np.random.default_rng(1)).random(SPREAD)
    return _solve(bench, ndtri(np.clip(points, 1e-9, 1.0 - 1e-9)))


def integrate(bench: Solved, spread: Points) -> Left:
    """Return what the readings leave open.

    Parameters
    ----------
    bench : readings and unknowns
    spread : the model over the priors, of `solve_spread`

    Raises
    ------
    ConvergenceError
        When too many machines have no solution where the probability lies, or it is not found.
    """
    known, far = spread, len(spread.at)
    model = fit_quadratic(known.at, known.values)
    posterior = _after(bench, model)
    for round_ in range(ROUNDS):
        if _apart(bench, model) <= CLOSE:
            break
        near = _solve(bench, posterior.some(NEAR))
        known = Points(
            at=np.concatenate((known.at, near.at)),
            values=np.concatenate((known.values, near.values)),
        )
        weights = np.where(np.arange(len(known.at)) < far, FAR ** (1 + round_), 1.0)
        model = fit_quadratic(known.at, known.values, weights)
        posterior = _after(bench, model)
    gains = model(straight(bench.unknowns, posterior.draws))[:, -1]
    return Left(posterior=posterior, gains=gains, error=_apart(bench, model))


def prior_gains(bench: Solved, spread: Points, count: int = 4096) -> Array:
    """Return the judged change over the priors, each value as likely [-, of temperatures K]."""
    points = Sobol(len(bench.unknowns), scramble=True, seed=np.random.default_rng(2)).random(count)
    z = ndtri(np.clip(points, 1e-9, 1.0 - 1e-9))
    gains: Array = fit_quadratic(spread.at, spread.values)(straight(bench.unknowns, z))[:, -1]
    return gains


def straight(unknowns: tuple[Unknown, ...], z: Array) -> Array:
    """Return unknowns in coordinates in which the model is nearly straight [-]."""
    return np.stack([one.straight(z[:, i]) for i, one in enumerate(unknowns)], axis=1)


def _apart(bench: Solved, model: Quadratic) -> float:
    return float(np.max(model.error[:-1] / bench.u))


def _solve(bench: Solved, z: Array) -> Points:
    """Solve a bench at rows of its unknowns; return those with a solution, and their outputs."""
    values = bench.outputs(z)
    kept = np.all(np.isfinite(values), axis=1)
    if np.mean(kept) < 1.0 - MOST_LOST:
        raise ConvergenceError(
            f"{int(np.sum(~kept))} of {len(z)} machines do not settle within the unknowns' spans"
        )
    return Points(at=straight(bench.unknowns, z[kept]), values=values[kept])


def _after(bench: Solved, model: Quadratic) -> Posterior:
    """Return the unknowns after the readings, by the polynomial; its error widens their u."""
    u = np.hypot(bench.u, model.error[:-1])

    def residuals(z: Array) -> Array:
        found: Array = (bench.value - model(straight(bench.unknowns, z))[:, :-1]) / u
        return found

    def log_density(z: Array) -> Array:
        found: Array = -0.5 * (np.sum(residuals(z) ** 2, axis=1) + np.sum(z**2, axis=1))
        return found

    near = fit(residuals, len(bench.unknowns), tolerance=1e-6)
    return sample_posterior(log_density, near.estimate, near.covariance)
