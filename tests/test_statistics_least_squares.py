"""Least squares with priors: closed forms, synthetic readings, profiles, chi-square."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import brentq

from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.statistics.fit import Fit
from jacketcalc.statistics.least_squares import fit, fit_linear
from jacketcalc.statistics.profile import profile_interval
from jacketcalc.statistics.residuals import Residuals

RNG = np.random.default_rng(20)
SLOPES = RNG.normal(size=(9, 4)) * [2.0, 1.0, 0.5, 0.0]
READINGS = RNG.normal(size=9)


def linear(z: np.ndarray) -> np.ndarray:
    return READINGS + z @ SLOPES.T


def test_one_reading_of_one_parameter() -> None:
    """Weighted mean of prior 0 +- 1 and reading y +- u, any textbook: with y = 3, u = 0.5 the
    mean is y/(1 + u^2) = 2.4, its variance u^2/(1 + u^2) = 0.2, chi-square y^2/(1 + u^2) = 7.2."""
    found = fit_linear(np.array([3.0 / 0.5]), np.array([[-1.0 / 0.5]]))
    assert found.estimate == pytest.approx([2.4])
    assert found.covariance == pytest.approx(np.array([[0.2]]))
    assert found.chi_square == pytest.approx(7.2)
    assert found.degrees_of_freedom == 1
    assert found.p_value == pytest.approx(float(stats.chi2(1).sf(7.2)), rel=1e-12)
    assert found.birge_ratio == pytest.approx(math.sqrt(7.2))
    assert found.unexplained(0.05) and not found.unexplained(0.005)


def test_the_closed_form_of_normal_equations() -> None:
    """Posterior of a linear Gaussian model: Kalman's form, which inverts the readings' side
    (Tarantola 2005; from memory), where the package inverts the parameters' side."""
    gain = SLOPES.T @ np.linalg.inv(SLOPES @ SLOPES.T + np.eye(9))
    estimate = -gain @ READINGS
    covariance = np.eye(4) - gain @ SLOPES
    chi_square = READINGS @ np.linalg.solve(SLOPES @ SLOPES.T + np.eye(9), READINGS)
    for found in (fit_linear(READINGS, SLOPES), fit(linear, 4)):
        assert found.estimate == pytest.approx(estimate, abs=1e-7)
        assert found.covariance == pytest.approx(covariance, abs=1e-8)
        assert found.chi_square == pytest.approx(float(chi_square), rel=1e-10)
        assert found.residuals == pytest.approx(READINGS + SLOPES @ estimate, abs=1e-7)
        # A parameter that no reading depends on stays as it was.
        assert found.estimate[3] == pytest.approx(0.0, abs=1e-9)
        assert found.standard_uncertainty[3] == pytest.approx(1.0)


def curved(readings: np.ndarray, u: float) -> Residuals:
    """Return the residuals of A exp(-k t) with A = 2 (1 + 0.3 z0), k = exp(0.5 z1)."""
    t = np.linspace(0.2, 2.0, len(readings))

    def residuals(z: np.ndarray) -> np.ndarray:
        scale, rate = 2.0 * (1.0 + 0.3 * z[:, :1]), np.exp(0.5 * z[:, 1:2])
        return np.asarray((readings - scale * np.exp(-rate * t)) / u)

    return residuals


def synthetic(seed: int, u: float = 0.05, bend: float = 0.0) -> tuple[np.ndarray, Fit]:
    """Return true parameters drawn from the priors, and the fit to readings drawn from them."""
    rng = np.random.default_rng(seed)
    truth = rng.standard_normal(2)
    noise = u * rng.standard_normal(8)
    clean = -u * curved(np.zeros(8), u)(truth[None])[0]
    return truth, fit(curved(clean + noise + bend * np.linspace(-1.0, 1.0, 8) ** 2, u), 2)


def test_intervals_and_chi_square_of_400_synthetic_tests() -> None:
    """Truths from the priors, readings from the truths: intervals hold as often as they say, and
    p-values are uniform (Kolmogorov's test at 1 in 1000)."""
    cases = [synthetic(seed) for seed in range(400)]
    for level in (0.5, 0.8, 0.95):
        inside = np.mean(
            [
                [low[i] <= truth[i] <= high[i] for i in range(2)]
                for truth, found in cases
                for low, high in [found.interval(level)]
            ],
            axis=0,
        )
        assert np.all(np.abs(inside - level) < 3.3 * math.sqrt(level * (1.0 - level) / 400))
    assert stats.kstest([found.p_value for _, found in cases], "uniform").pvalue > 0.001
    said = np.mean([found.unexplained(0.05) for _, found in cases])
    assert abs(said - 0.05) < 3.3 * math.sqrt(0.05 * 0.95 / 400)


def test_what_the_model_cannot_show_is_unexplained() -> None:
    """A bend of five standard uncertainties that no parameter makes is noticed nearly always."""
    said = [synthetic(seed, bend=0.25)[1].unexplained() for seed in range(50)]
    assert np.mean(said) > 0.9
    assert np.mean([synthetic(seed, bend=0.25)[1].birge_ratio for seed in range(10)]) > 1.4


def test_profiles_of_a_linear_model_are_its_intervals() -> None:
    found = fit_linear(READINGS, SLOPES)
    low, high = found.interval(0.9)
    for i in range(4):
        ends = profile_interval(linear, found, i, level=0.9)
        assert ends == pytest.approx((low[i], high[i]), abs=3e-4)


def test_the_profile_of_one_curved_parameter() -> None:
    """One parameter, so chi-square itself: (3 - exp z)^2 / 0.6^2 + z^2, solved for its rise."""

    def chi_square(z: float) -> float:
        return ((3.0 - math.exp(z)) / 0.6) ** 2 + z * z

    def residuals(z: np.ndarray) -> np.ndarray:
        return np.asarray((3.0 - np.exp(z)) / 0.6)

    found = fit(residuals, 1)
    level = found.chi_square + 1.959964**2
    exact = [brentq(lambda z: chi_square(z) - level, a, b) for a, b in ((-3.0, 1.0), (1.0, 3.0))]
    ends = profile_interval(residuals, found, 0)
    assert ends == pytest.approx(exact, abs=1e-4)
    straight = found.interval()
    assert abs(ends[0] - float(straight[0][0])) > 0.05


def test_the_profile_of_one_among_others_is_never_below_the_least() -> None:
    """Reference: chi-square by brute force over a fine grid of the other parameter."""
    readings = np.array([1.8, 1.5, 1.1, 1.0, 0.7, 0.5, 0.45, 0.4])
    residuals = curved(readings, 0.1)
    found = fit(residuals, 2)
    low, high = profile_interval(residuals, found, 1)
    other = np.linspace(-4.0, 4.0, 8001)
    for end in (low, high):
        z = np.column_stack((other, np.full_like(other, end)))
        least = np.min(np.sum(residuals(z) ** 2, axis=1) + np.sum(z**2, axis=1))
        assert least - found.chi_square == pytest.approx(1.959964**2, abs=0.01)


def test_an_uninformed_parameter_keeps_its_prior() -> None:
    found = fit(lambda z: np.zeros((len(z), 2)), 1)
    assert found.interval()[1] == pytest.approx([1.959964])
    assert profile_interval(lambda z: np.zeros((len(z), 2)), found, 0) == pytest.approx(
        (-1.959964, 1.959964), abs=2e-4
    )
    assert found.p_value == 1.0


def test_readings_no_model_can_answer_are_refused() -> None:
    with pytest.raises(ConvergenceError, match="prior estimates"):
        fit(lambda z: np.full((len(z), 2), np.nan), 2)
    with pytest.raises(ConvergenceError, match="slopes"):
        fit(lambda z: np.where(z > 0.0, np.nan, 1.0 + z), 1)
    with pytest.raises(ConvergenceError, match="did not settle"):
        fit(curved(np.linspace(1.8, 0.2, 8), 0.001), 2, most_steps=2)
    with pytest.raises(RangeError, match="one row"):
        fit(lambda z: np.zeros(3), 2)
    with pytest.raises(RangeError, match="do not belong"):
        fit_linear(np.zeros(3), np.zeros((2, 2)))
    with pytest.raises(RangeError, match="not finite"):
        fit_linear(np.array([np.inf]), np.ones((1, 1)))
    with pytest.raises(RangeError, match="no parameter 1"):
        profile_interval(lambda z: z, fit(lambda z: z, 1), 1)
