"""The heat law of a closed chamber: Lee's exact theory, tables, loss and stiffness."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from printed import near
from spring_theory import gas_spring_loss

from jacketcalc.correlations.cylinder import NUSSELT_FLOOR, gas_spring, lee_exact

# Nusselt numbers on Dh = 4V/A: Peclet, Lee real and imaginary, Kornhauser and Smith, Lekic and
# Kok real and imaginary (computed for this project from the published laws).
NUSSELT = [
    (0.01, "12.000", "0.002", None, None, None),
    (10.0, "12.141", "1.984", None, 10.189, 4.423),
    (100.0, "18.635", "13.409", "13.433", 22.893, 15.508),
    (300.0, "28.816", "24.110", "28.668", 37.797, 26.666),
    (1000.0, "48.899", "44.526", "65.794", 69.018, 47.476),
    (3000.0, "81.563", "77.351", "140.41", 123.13, 79.656),
    (10000.0, "145.478", "141.363", "322.25", 236.49, 139.67),
]


@pytest.mark.parametrize(("peclet", "real", "imaginary", "smith", "lekic", "kok"), NUSSELT)
def test_exact_theory(
    peclet: float, real: str, imaginary: str, smith: str | None, lekic: object, kok: object
) -> None:
    """Lee 1983."""
    exact = lee_exact(peclet)
    assert exact[0] == near(real)
    assert exact[1] == near(imaginary)


@pytest.mark.parametrize(("peclet", "real", "imaginary", "smith", "lekic", "kok"), NUSSELT)
def test_gas_spring_table(
    peclet: float, real: object, imaginary: object, smith: str | None, lekic: object, kok: object
) -> None:
    """Kornhauser and Smith 1994, 0.56 Pe^0.69; below Pe 100 only the floor holds."""
    ours = gas_spring(peclet)
    if smith is None:
        assert ours[0] == NUSSELT_FLOOR
    else:
        assert ours[0] == near(smith)
        assert ours[1] == pytest.approx(float(smith), rel=6e-3)


@pytest.mark.parametrize(("peclet", "real", "imaginary", "smith", "lekic", "kok"), NUSSELT[2:])
def test_gas_spring_against_a_numerical_one(
    peclet: float, real: object, imaginary: object, smith: object, lekic: float, kok: float
) -> None:
    """Lekic and Kok 2010: real parts agree within a factor of 1.75, as such laws do."""
    assert 1 / 1.75 < float(gas_spring(peclet)[0]) / lekic < 1.75


def test_exact_limits() -> None:
    """Slow: 12 between plates, phase Pe/5. Fast: (1 + i) sqrt(2 Pe)."""
    slow = lee_exact(np.array([0.0, 1e-4, 2e-3]))
    np.testing.assert_allclose(slow[0], 12.0, rtol=1e-6)
    np.testing.assert_allclose(slow[1], np.array([0.0, 2e-5, 4e-4]), rtol=1e-5)
    fast = lee_exact(1e8)
    np.testing.assert_allclose(fast, np.sqrt(2e8), rtol=1e-3)


def test_phase_term_fades_as_the_exact_one() -> None:
    """Below Peclet 100 the imaginary part keeps within 6 % of Lee's theory and never steps."""
    peclet = np.geomspace(1e-3, 100.0, 4001)
    ours = gas_spring(peclet)[1]
    assert np.abs(ours / lee_exact(peclet)[1] - 1.0).max() < 0.06
    slope = np.diff(np.log(ours)) / np.diff(np.log(peclet))
    assert slope.min() > 0.5 and slope.max() < 1.01


def test_standing_gas_has_no_phase_term() -> None:
    real, imaginary = gas_spring(np.array([0.0, 1e-12]))
    np.testing.assert_allclose(real, NUSSELT_FLOOR)
    np.testing.assert_allclose(imaginary, 0.0, atol=1e-12)


# Loss per cycle, gamma 1.4 (exact, computed for this project).
@pytest.mark.parametrize(
    ("peclet", "printed"),
    [(1.0, "0.07405"), (10.0, "0.37446"), (100.0, "0.12663"), (1000.0, "0.04014")],
)
def test_gas_spring_loss(peclet: float, printed: str) -> None:
    assert gas_spring_loss(peclet, 1.4) == near(printed)


def test_gas_spring_loss_has_its_peak() -> None:
    """0.37450 at Peclet 10.16 (computed for this project)."""
    peclet = np.linspace(5.0, 20.0, 150001)
    loss = gas_spring_loss(peclet, 1.4)
    assert loss.max() == near("0.37450")
    assert peclet[loss.argmax()] == near("10.16")


# Complex stiffness (gamma - iN)/(1 - iN), N = gamma Nu/Pe (exact, computed for this project).
@pytest.mark.parametrize(
    ("peclet", "real", "imaginary"),
    [
        (10.0, "1.11303", "0.15036"),
        (100.0, "1.32127", "0.07057"),
        (1000.0, "1.37497", "0.02416"),
    ],
)
def test_stiffness_of_a_gas_spring(peclet: float, real: str, imaginary: str) -> None:
    stiffness = stiffness_of(peclet)
    assert stiffness.real == near(real)
    assert stiffness.imag == near(imaginary)


@given(peclet=st.floats(1e-2, 1e5))
def test_loss_follows_from_the_nusselt_number(peclet: float) -> None:
    """The work of a spring with that stiffness is the closed form: pi Im K / |K|^2."""
    stiffness = stiffness_of(peclet)
    loss = np.pi * stiffness.imag / abs(stiffness) ** 2
    assert gas_spring_loss(peclet, 1.4) == pytest.approx(loss, rel=1e-5)


def stiffness_of(peclet: float) -> complex:
    real, imaginary = lee_exact(peclet)
    group = 1j * 1.4 * complex(real, imaginary) / peclet
    return (1.4 - group) / (1.0 - group)
