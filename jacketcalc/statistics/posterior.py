"""What is known of parameters after readings, integrated and not taken for a normal distribution.

Where a prior has limits, or a model is bent, the distribution after readings is neither normal nor
centred on the likeliest parameters, and intervals from a covariance hold the truth less often than
they say. Weighted draws make no such assumption.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaincinv, logsumexp, ndtri
from scipy.stats.qmc import Sobol

from jacketcalc.arrays import Array
from jacketcalc.errors import ConvergenceError

DRAWS = 16384
"""Draws of each round, a power of two [-]."""
ROUNDS = 6
"""Rounds at most, each led by the one before [-]."""
ENOUGH, LEAST = 0.12, 0.02
"""Share of the draws that they are to be worth with equal weights, and must be at last [-]."""
_SMOOTH = 0.7
"""Width of the smoothing over spread and fifth root of the draws' worth; two thirds of the rule of
Silverman 1986 (from memory), so that limits stay sharp [-]."""
_FREEDOM = 5.0
"""Degrees of freedom of the distribution that is drawn from: its tails are heavier [-]."""
_WIDER = 1.2
"""Factor on its spread over that of the round before [-]."""


@dataclass(frozen=True, kw_only=True)
class Posterior:
    """Draws of the parameters, each with its weight."""

    draws: Array
    """Of shape (draws, parameters) [-]."""
    weights: Array
    """Their probabilities, which add up to 1 [-]."""

    @property
    def effective(self) -> float:
        """Draws of equal weight that they are worth [-]."""
        return float(1.0 / np.sum(self.weights**2))

    def interval(self, values: Array, level: float) -> tuple[float, float]:
        """Return the interval with equal probability beyond either end.

        Parameters
        ----------
        values : of the quantity, one for each draw [unit of the quantity]
        level : coverage probability [-]
        """
        order, below = self._ordered(values)
        tail = 0.5 * (1.0 - level)
        low, high = np.interp([tail, 1.0 - tail], below, values[order])
        return float(low), float(high)

    def probability_below(self, values: Array, value: float) -> float:
        """Return the probability that a quantity lies below a value [-].

        Parameters
        ----------
        values : of the quantity, one for each draw [unit of the quantity]
        value : where it is asked [unit of the quantity]
        """
        order, below = self._ordered(values)
        return float(np.interp(value, values[order], below))

    def density(self, values: Array, at: Array) -> Array:
        """Return the density of a quantity, smoothed, at evenly spaced values of it.

        Parameters
        ----------
        values : of the quantity, one for each draw [unit of the quantity]
        at : where it is asked, evenly spaced [unit of the quantity]

        Returns
        -------
        Density [1/unit of the quantity].
        """
        step = float(at[1] - at[0])
        edges = np.append(at, at[-1] + step) - 0.5 * step
        counts = np.histogram(values, bins=edges, weights=self.weights)[0]
        spread = float(np.sqrt(self.weights @ (values - self.weights @ values) ** 2))
        width = max(_SMOOTH * spread * self.effective**-0.2, step)
        reach = np.arange(-round(4.0 * width / step), round(4.0 * width / step) + 1) * step
        kernel = np.exp(-0.5 * (reach / width) ** 2)
        smooth: Array = np.convolve(counts, kernel / kernel.sum(), mode="same") / step
        return smooth

    def some(self, count: int) -> Array:
        """Return draws of equal weight, spread evenly over the probability [-]."""
        at = (np.arange(count) + 0.5) / count
        return self.draws[np.searchsorted(np.cumsum(self.weights), at)]

    def _ordered(self, values: Array) -> tuple[NDArray[np.intp], Array]:
        """Return the order of values, and the probability below each."""
        order = np.argsort(values, kind="stable")
        weights = self.weights[order]
        return order, np.cumsum(weights) - 0.5 * weights


def sample_posterior(
    log_density: Callable[[Array], Array],
    start: Array,
    covariance: Array,
    *,
    draws: int = DRAWS,
    seed: int = 0,
) -> Posterior:
    """Draw from a distribution that is known but for a factor.

    Draws come from Student's distribution of heavier tails, the first about the start, the others
    about the mean of the round before, until they are worth enough.

    Parameters
    ----------
    log_density : logarithm of the density at rows of parameters, but for a constant [-]
    start : where it is near its greatest [-]
    covariance : near to its covariance [-]
    draws : draws of each round, a power of two
    seed : the same seed gives the same draws

    Raises
    ------
    ConvergenceError
        When the rounds do not find where the probability lies.

    References
    ----------
    Importance sampling led by its own moments: Oh and Berger, J. Statist. Comput. Simul. 41, 1992,
    143; worth of weighted draws: Kong 1992 (both from memory).
    """
    mean, spread = np.asarray(start, dtype=float), np.asarray(covariance, dtype=float)
    for round_ in range(ROUNDS):
        rows, log_drawn = _draw(mean, _WIDER**2 * spread, draws, seed + round_)
        log_weights = log_density(rows) - log_drawn
        found = Posterior(draws=rows, weights=_shares(log_weights))
        if round_ and found.effective >= ENOUGH * draws:
            return found
        # Few draws of weight tell no spread: temper them until enough of them count.
        power, weights = 1.0, found.weights
        while 1.0 / np.sum(weights**2) < 10.0 * len(mean) and power > 1e-3:
            power *= 0.7
            weights = _shares(power * log_weights)
        mean = weights @ rows
        apart = rows - mean
        spread = (weights[:, None] * apart).T @ apart
    if found.effective >= LEAST * draws:
        return found
    raise ConvergenceError(
        f"the {draws} draws after the readings are worth {found.effective:.0f}; the readings "
        "contradict the model, or each other"
    )


def _shares(log_weights: Array) -> Array:
    """Return weights that add up to 1 [-]."""
    shares: Array = np.exp(log_weights - logsumexp(log_weights))
    return shares


def _draw(mean: Array, covariance: Array, count: int, seed: int) -> tuple[Array, Array]:
    """Return draws of Student's distribution, and the logarithm of its density [-]."""
    size = len(mean)
    engine = Sobol(size + 1, scramble=True, seed=np.random.default_rng(seed))
    points = np.clip(engine.random(count), 1e-12, 1.0 - 1e-12)
    root = np.linalg.cholesky(covariance + 1e-12 * np.eye(size))
    scale = 2.0 * gammaincinv(0.5 * _FREEDOM, points[:, -1]) / _FREEDOM
    apart = ndtri(points[:, :-1]) / np.sqrt(scale)[:, None]
    power = 0.5 * (_FREEDOM + size)
    log_density: Array = -power * np.log1p(np.sum(apart**2, axis=1) / _FREEDOM)
    return mean + apart @ root.T, log_density
