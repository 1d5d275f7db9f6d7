"""In-cylinder heat transfer: exact theory, published laws, and tables computed apart."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from printed import near
from spring_theory import gas_spring_loss

from jacketcalc.correlations.cylinder import (
    NUSSELT_FLOOR,
    adair,
    annand,
    drive_eichelberg,
    gas_spring,
    jet_stirred,
    lee_exact,
    natural_convection,
)
from jacketcalc.correlations.records import catalogue

pytestmark = pytest.mark.filterwarnings("error")

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


# Four states of two stages at 1 Hz, 120 mm stroke, 5 % clearance (computed for this project
# with CoolProp): density, viscosity, conductivity, Prandtl, Dh, Peclet, bore, angle over pi;
# then h after Kornhauser and Smith, Adair, Annand with 0.7, natural convection at dT.
STATES = {
    "medium, least volume": (
        (33.585, 2.602e-5, 0.03841, 0.709, 8.727e-3, 109.5, 32e-3, 0.0, 460.0, 100.0),
        ("63", "73", "527", "68"),
    ),
    "medium, largest volume": (
        (9.473, 1.840e-5, 0.02625, 0.713, 28.394e-3, 465.2, 32e-3, 1.0, 295.0, 30.0),
        ("36", "28", "189", "20"),
    ),
    "high, least volume": (
        (190.85, 3.032e-5, 0.04780, 0.723, 6.462e-3, 298.6, 14e-3, 0.0, 480.0, 100.0),
        ("211", "273", "2548", "241"),
    ),
    "high, largest volume": (
        (53.717, 1.909e-5, 0.02782, 0.741, 13.263e-3, 576.2, 14e-3, 1.0, 295.0, 30.0),
        ("94", "75", "844", "65"),
    ),
}


@pytest.mark.parametrize("name", STATES)
def test_coefficients_of_two_stages(name: str) -> None:
    (rho, mu, k, Pr, Dh, peclet, bore, turn, T, dT), printed = STATES[name]
    cp = Pr * k / mu
    smith, swirl, engine, free = printed
    assert 2 * np.pi * Dh**2 * rho * cp / (4 * k) == pytest.approx(peclet, rel=1e-3)
    assert k / Dh * gas_spring(peclet)[0] == near(smith)
    assert adair(k, rho, mu, cp, 1.5 * Dh, 2 * np.pi, turn * np.pi) == near(swirl)
    assert annand(k, rho, mu, bore, 2 * 0.12) == pytest.approx(float(engine), rel=2e-3)
    assert natural_convection(k, rho, mu, cp, T, dT) == near(free)
    assert natural_convection(k, rho, mu, cp, T, -dT) == near(free)


def test_adair_keeps_a_floor_at_mid_stroke() -> None:
    """The published swirl nearly vanishes and halves at once there; ours does neither."""
    angle = np.linspace(0.0, np.pi, 100001)
    h = adair(0.026, 10.0, 1.8e-5, 1005.0, 0.03, 6.28, angle)
    assert h.min() > 0.07 * h.max()
    assert np.abs(np.diff(h)).max() < 1e-3 * h.max()


def test_adair_at_a_quarter() -> None:
    """Adair, Qvale and Pearson 1972, equation written out: angle 60 deg, swirl 2w 0.54."""
    rho, mu, k, cp, De, w = 10.0, 1.8e-5, 0.026, 1005.0, 0.03, 6.28
    Re = rho * De * (De / 2 * 2 * w * (1.04 + np.cos(2 * np.pi / 3))) / mu
    expected = k / De * 0.053 * Re**0.8 * (mu * cp / k) ** 0.6
    assert adair(k, rho, mu, cp, De, w, np.pi / 3) == pytest.approx(expected, rel=1e-12)


def test_jet_stirred_suction() -> None:
    """Disconzi, Deschamps and Pereira 2012, coefficients from memory, written out."""
    rho, mu, k, cp, bore = 9.5, 1.84e-5, 0.02625, 1017.0, 0.032
    speed = 0.2 + 0.2**-0.4 * 0.3**1.4
    expected = k / bore * 0.08 * (rho * speed * bore / mu) ** 0.9 * (mu * cp / k) ** 0.6
    assert jet_stirred(k, rho, mu, cp, bore, -0.2, 0.3, 0.05) == pytest.approx(expected, rel=1e-12)


def test_jet_stirred_at_the_dead_point() -> None:
    """The piston's negative power is held by the floor; outflow stirs nothing."""
    still = jet_stirred(0.026, 9.5, 1.84e-5, 1010.0, 0.032, 0.0, 0.3, 0.05)
    assert still == jet_stirred(0.026, 9.5, 1.84e-5, 1010.0, 0.032, 0.05, 0.3, 0.05)
    out = jet_stirred(0.026, 9.5, 1.84e-5, 1010.0, 0.032, 0.1, -0.3, 0.05)
    assert out == jet_stirred(0.026, 9.5, 1.84e-5, 1010.0, 0.032, 0.1, 0.0, 0.05)


# Eichelberg, from memory: 0.24 m/s.
@pytest.mark.parametrize(("p", "T", "printed"), [(8e5, 293.0, "73"), (1.2e5, 200.0, "23")])
def test_drive_coefficient(p: float, T: float, printed: str) -> None:
    assert drive_eichelberg(0.24, p, T) == near(printed)


def test_eichelberg_in_megapascals() -> None:
    """The same law in its other usual form, 7.8 c^(1/3) sqrt(p[MPa] T), from memory."""
    other = 7.8 * 0.24 ** (1 / 3) * np.sqrt(0.8 * 293.0)
    assert drive_eichelberg(0.24, 8e5, 293.0) == pytest.approx(other, rel=0.02)


def test_engine_form_is_an_upper_bound() -> None:
    """Annand stands far above the gas spring in slow dense gas; the record says so."""
    for (rho, mu, k, _, Dh, peclet, bore, *_), _ in STATES.values():
        assert annand(k, rho, mu, bore, 0.24, 0.35) > 2.0 * k / Dh * gas_spring(peclet)[0]
    assert "upper bound" in catalogue()["Annand"].remark
