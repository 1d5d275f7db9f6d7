"""What readings leave of unknowns with limits, through the chain that `reconcile` uses.

Benches here are closed forms in place of a machine; what is left of each unknown is then scipy's
truncated normal where its prior has limits, and a normal distribution where it has none.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from bench_sample import shipped
from scipy.stats import norm, truncnorm

from jacketcalc.errors import ConvergenceError
from jacketcalc.uncertainty.bench_posterior import (
    NEAR,
    SPREAD,
    integrate,
    prior_gains,
    solve_spread,
    straight,
)
from jacketcalc.uncertainty.unknowns import list_unknowns

UNKNOWNS = list_unknowns(shipped().machine)
NAMES = [one.name for one in UNKNOWNS]
SAG, FILM, MIXING = (NAMES.index(n) for n in ("supply sag", "film factor", "in-cylinder mixing"))
HALF = 3.0**0.5
"""Half width of an even distribution of variance 1 [-]."""


class ClosedBench:
    """Shows functions of its unknowns, in straight coordinates.

    Parameters
    ----------
    shown : readings and judged change from straight coordinates
    value : what was read
    u : its standard uncertainties
    """

    def __init__(
        self, shown: Callable[[np.ndarray], np.ndarray], value: list[float], u: list[float]
    ) -> None:
        self.shown, self.unknowns = shown, UNKNOWNS
        self.value, self.u = np.array(value), np.array(u)
        self.rows = 0

    def outputs(self, z: np.ndarray) -> np.ndarray:
        self.rows += len(z)
        return self.shown(straight(UNKNOWNS, z))


def both(x: np.ndarray) -> np.ndarray:
    """Read the sag and the film factor, each alone; judge what hangs on the film factor."""
    return np.stack([x[:, SAG], x[:, FILM], 0.05 + 0.02 * x[:, FILM]], axis=1)


def test_each_unknown_is_left_what_its_closed_form_says() -> None:
    bench = ClosedBench(both, [0.8, 1.4], [0.5, 0.6])
    left = integrate(bench, solve_spread(bench))
    draws, posterior = left.posterior.draws, left.posterior
    # Normal prior of variance 1 and a reading of u = 0.5: JCGM 100 weights both by 1/u^2.
    sag = norm(0.8 / 1.25, (0.25 / 1.25) ** 0.5)
    assert posterior.interval(draws[:, SAG], 0.95) == pytest.approx(
        sag.ppf([0.025, 0.975]), abs=0.03
    )
    film = truncnorm((-HALF - 1.4) / 0.6, (HALF - 1.4) / 0.6, loc=1.4, scale=0.6)
    found = posterior.interval(straight(UNKNOWNS, draws)[:, FILM], 0.95)
    assert found == pytest.approx(film.ppf([0.025, 0.975]), abs=0.03)
    gain = posterior.interval(left.gains, 0.95)
    assert gain == pytest.approx(0.05 + 0.02 * film.ppf([0.025, 0.975]), abs=6e-4)
    # Mixing was not read, and its prior is even.
    even = posterior.interval(straight(UNKNOWNS, draws)[:, MIXING], 0.9)
    assert even == pytest.approx((-0.9 * HALF, 0.9 * HALF), abs=0.06)
    assert left.error < 1e-9 and bench.rows == SPREAD


def test_values_stay_within_their_limits_wherever_the_reading_lies() -> None:
    bench = ClosedBench(both, [0.0, 4.0], [0.5, 0.6])
    left = integrate(bench, solve_spread(bench))
    low, high = left.posterior.interval(left.posterior.draws[:, FILM], 0.95)
    film = UNKNOWNS[FILM]
    machine = shipped().machine.ambient
    assert machine.film_factor_low < film.value(low) < film.value(high) < machine.film_factor_high
    exact = truncnorm((-HALF - 4.0) / 0.6, (HALF - 4.0) / 0.6, loc=4.0, scale=0.6)
    found = left.posterior.interval(straight(UNKNOWNS, left.posterior.draws)[:, FILM], 0.95)
    assert found == pytest.approx(exact.ppf([0.025, 0.975]), abs=0.03)


def test_a_bent_model_is_solved_again_where_the_probability_lies() -> None:
    """A cube is no polynomial of second degree; by quadrature over the one unknown."""

    def bent(x: np.ndarray) -> np.ndarray:
        return np.stack([x[:, SAG] + 0.15 * x[:, SAG] ** 3, 0.1 * x[:, SAG]], axis=1)

    bench = ClosedBench(bent, [2.0], [0.1])
    left = integrate(bench, solve_spread(bench))
    assert bench.rows > SPREAD and (bench.rows - SPREAD) % NEAR == 0
    grid = np.linspace(-6.0, 6.0, 200001)
    density = np.exp(-0.5 * (((2.0 - grid - 0.15 * grid**3) / 0.1) ** 2 + grid**2))
    below = np.cumsum(density) / density.sum()
    exact = np.interp([0.025, 0.975], below, grid)
    found = left.posterior.interval(left.posterior.draws[:, SAG], 0.95)
    assert found == pytest.approx(exact, abs=0.08 * (exact[1] - exact[0]))
    assert left.error < 1.0


def test_the_priors_alone_leave_the_prior_of_the_judged_change() -> None:
    bench = ClosedBench(both, [0.0, 0.0], [1.0, 1.0])
    gains = prior_gains(bench, solve_spread(bench))
    ends = 0.05 + 0.02 * HALF * np.array([-0.95, 0.95])
    assert np.quantile(gains, [0.025, 0.975]) == pytest.approx(ends, abs=2e-4)


def test_too_many_machines_without_a_solution_are_an_error_and_a_few_are_left_out() -> None:
    def lost(beyond: float) -> Callable[[np.ndarray], np.ndarray]:
        return lambda x: np.where(x[:, [MIXING]] > beyond, np.nan, both(x))

    few = ClosedBench(lost(1.2), [0.8, 1.4], [0.5, 0.6])
    assert len(solve_spread(few).at) < SPREAD
    with pytest.raises(ConvergenceError, match="do not settle"):
        solve_spread(ClosedBench(lost(-0.5), [0.8, 1.4], [0.5, 0.6]))
