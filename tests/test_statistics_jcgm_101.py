"""Worked examples of JCGM 101, clause 9. What it prints is from memory; closed forms are not.

Printed values hold to the standard's own numerical tolerance (7.9.2), half of the second digit
of u(y); closed forms are compared with the samples' own margins.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from printed import near
from scipy import stats
from scipy.optimize import brentq, minimize_scalar
from scipy.special import ndtr

from jacketcalc.statistics.distributions import Distribution, values_at
from jacketcalc.statistics.limited import Rectangular
from jacketcalc.statistics.normals import Normal
from jacketcalc.statistics.samples import SampleDesign
from jacketcalc.statistics.summary import Summary, summarise

CERTAIN = 0.999
"""Confidence at which samples are held to a closed form [-]."""


def propagate(
    inputs: list[Distribution],
    model: Callable[[np.ndarray], np.ndarray],
    shortest: bool = False,
) -> Summary:
    design = SampleDesign(inputs=len(inputs), per_replicate=8192, seed=101)
    return summarise(model(values_at(inputs, design.points())), shortest=shortest)


def holds(found: Summary, mean: float, u: float, low: float, high: float) -> None:
    """Hold a summary to exact values, within its margins."""
    exact = {"mean": mean, "standard_uncertainty": u, "low": low, "high": high}
    for name, value in exact.items():
        estimate = getattr(found, name)
        assert abs(estimate.value - value) <= estimate.margin(CERTAIN), name


def shortest(cdf_inverse: Callable[[float], float], level: float = 0.95) -> tuple[float, float]:
    """Return the shortest interval of a distribution given by its inverse."""
    best = minimize_scalar(
        lambda p: cdf_inverse(p + level) - cdf_inverse(p),
        bounds=(0.0, 1.0 - level),
        method="bounded",
        options={"xatol": 1e-10},
    )
    at_zero = cdf_inverse(level) - cdf_inverse(0.0)
    p = 0.0 if at_zero <= best.fun else float(best.x)
    return cdf_inverse(p), cdf_inverse(p + level)


def test_9_2_2_sum_of_normals() -> None:
    """Printed: u 2.00, +-3.92. Exact: 2 and 2 x 1.959964."""
    found = propagate([Normal(mean=0.0, standard_uncertainty=1.0)] * 4, lambda x: x.sum(axis=-1))
    holds(found, 0.0, 2.0, -3.919928, 3.919928)
    assert found.standard_uncertainty.value == near("2.00")
    assert found.high.value == pytest.approx(3.92, abs=0.05)


def test_9_2_3_sum_of_rectangles() -> None:
    """Printed: u 2.00, +-3.88. Exact (annex E): 2 sqrt(3) (2 - (3/5)^(1/4))."""
    half = math.sqrt(3.0)
    found = propagate([Rectangular(low=-half, high=half)] * 4, lambda x: x.sum(axis=-1))
    end = 2.0 * half * (2.0 - 0.6**0.25)
    assert end == near("3.88")
    holds(found, 0.0, 2.0, -end, end)


def test_9_2_4_one_rectangle_governs() -> None:
    """Printed: u 10.1, +-17.0. Exact u: sqrt(103); ends by convolution of four rectangles."""
    widths = np.sqrt(3.0) * np.array([1.0, 1.0, 1.0, 10.0])

    def below(y: float) -> float:
        # The sum of n rectangles by inclusion and exclusion of their ends (any textbook).
        total = 0.0
        for mask in range(16):
            signs = np.array([1.0 if mask >> i & 1 else -1.0 for i in range(4)])
            total += np.prod(signs) * max(0.0, y + signs @ widths) ** 4
        return total / (24.0 * float(np.prod(2.0 * widths)))

    end = float(brentq(lambda y: below(y) - 0.975, 0.0, 22.0))
    assert end == near("17.0")
    inputs: list[Distribution] = [Rectangular(low=-w, high=w) for w in widths]
    found = propagate(inputs, lambda x: x.sum(axis=-1))
    holds(found, 0.0, math.sqrt(103.0), -end, end)
    assert found.standard_uncertainty.value == near("10.1")


def test_9_3_mass_calibration() -> None:
    """Printed, in mg: 1.234 1, u 0.075 4, shortest [1.083 4, 1.382 5]. Exact by quadrature.

    The distribution is symmetric about 1.234, the printed interval about 1.233: the place of a
    shortest interval is what plain draws tell worst, so its width is compared.
    """
    inputs: list[Distribution] = [
        Normal(mean=100000.0, standard_uncertainty=0.050),
        Normal(mean=1.234, standard_uncertainty=0.020),
        Rectangular(low=1.10, high=1.30),
        Rectangular(low=7.0e3, high=9.0e3),
        Rectangular(low=7.95e3, high=8.05e3),
    ]
    found = propagate(
        inputs,
        lambda x: (
            (x[..., 0] + x[..., 1])
            * (1.0 + (x[..., 2] - 1.2) * (1.0 / x[..., 3] - 1.0 / x[..., 4]))
            - 1.0e5
        ),
        shortest=True,
    )
    # Given air and densities the result is normal; Gauss-Legendre over those three.
    node, weight = np.polynomial.legendre.leggauss(40)
    a, w, r = np.meshgrid(0.1 * node, 8e3 + 1e3 * node, 8e3 + 50.0 * node, indexing="ij")
    parts = np.einsum("i,j,k->ijk", weight, weight, weight) / 8.0
    factor = 1.0 + a * (1.0 / w - 1.0 / r)
    centre, spread = 100001.234 * factor - 1.0e5, math.hypot(0.05, 0.02) * factor
    mean = float(np.sum(parts * centre))
    u = math.sqrt(float(np.sum(parts * (spread**2 + (centre - mean) ** 2))))
    assert (mean, u) == pytest.approx((1.2341, 0.0754), abs=5e-4)

    def inverse(p: float) -> float:
        if p <= 0.0 or p >= 1.0:
            return mean + math.copysign(12.0, p - 0.5) * u
        return float(
            brentq(lambda y: float(np.sum(parts * ndtr((y - centre) / spread))) - p, 0.0, 2.5)
        )

    low, high = shortest(inverse)
    assert high - low == pytest.approx(1.3825 - 1.0834, abs=5e-4)
    assert (low + high) / 2.0 == pytest.approx(1.234, abs=1e-5)
    holds(found, mean, u, low, high)


# x1, then what is printed: estimate, u, shortest interval, all in units of 1e-6.
LOSS = [
    (0.000, 50.0, 50.0, (0.0, 150.0)),
    (0.010, 150.0, 112.0, (0.0, 367.0)),
    (0.050, 2551.0, 502.0, (1590.0, 3543.0)),
]


@pytest.mark.parametrize(("x1", "y", "u", "ends"), LOSS)
def test_9_4_comparison_loss(x1: float, y: float, u: float, ends: tuple[float, float]) -> None:
    """X1^2 + X2^2, both of u 0.005, is 25e-6 times a non-central chi-square of 2 degrees."""
    found = propagate(
        [Normal(mean=x1, standard_uncertainty=0.005), Normal(mean=0.0, standard_uncertainty=0.005)],
        lambda x: 1e6 * np.sum(x**2, axis=-1),
        shortest=True,
    )
    exact = stats.ncx2(2, (x1 / 0.005) ** 2, scale=25.0) if x1 else stats.chi2(2, scale=25.0)
    assert exact.mean() == pytest.approx(1e6 * x1**2 + 50.0)
    low, high = shortest(lambda p: float(exact.ppf(p)))
    holds(found, float(exact.mean()), float(exact.std()), low, high)
    assert exact.mean() == pytest.approx(y, abs=5.0) and exact.std() == pytest.approx(u, abs=5.0)
    assert high - low == pytest.approx(ends[1] - ends[0], abs=5.0)
    if x1 == 0.0:
        assert high == pytest.approx(50.0 * math.log(20.0), rel=1e-6)
