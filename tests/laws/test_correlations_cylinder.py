"""In-cylinder heat transfer: swirl, jets and engine forms against published laws and tables."""

from __future__ import annotations

import numpy as np
import pytest
from printed import near

from jacketcalc.correlations.cylinder import (
    adair,
    annand,
    drive_eichelberg,
    gas_spring,
    jet_stirred,
    natural_convection,
)
from jacketcalc.correlations.records import catalogue

# Four states of two stages at 1 Hz, 120 mm stroke, 5 % clearance (computed for this project
# with CoolProp): density, viscosity, conductivity, Prandtl, Dh, Peclet, bore, angle over pi;
# then h after Kornhauser and Smith, Adair, Annand with 0.7, natural convection at dT.
STATES = {
    "first, least volume": (
        (33.585, 2.602e-5, 0.03841, 0.709, 8.727e-3, 109.5, 32e-3, 0.0, 460.0, 100.0),
        ("63", "73", "527", "68"),
    ),
    "first, largest volume": (
        (9.473, 1.840e-5, 0.02625, 0.713, 28.394e-3, 465.2, 32e-3, 1.0, 295.0, 30.0),
        ("36", "28", "189", "20"),
    ),
    "second, least volume": (
        (190.85, 3.032e-5, 0.04780, 0.723, 6.462e-3, 298.6, 14e-3, 0.0, 480.0, 100.0),
        ("211", "273", "2548", "241"),
    ),
    "second, largest volume": (
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
