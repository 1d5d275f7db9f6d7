"""Heat transfer in an annulus, one wall heated, against other programs and textbooks."""

from __future__ import annotations

import ht
import pytest
from gas_dynamics.annulus_2009 import annulus
from printed import near

from jacketcalc.correlations import friction as fr
from jacketcalc.correlations import heat


@pytest.mark.parametrize(
    ("Re", "base", "inner", "older"),
    [
        (1e4, "33.37", "25.48", "29.19"),
        (3e4, "77.53", "59.20", "67.81"),
        (1e5, "195.4", "149.2", "170.9"),
    ],
)
def test_annulus(Re: float, base: str, inner: str, older: str) -> None:
    """Gnielinski 2009 read in Lamarche's code; the 1964 factor from memory. a 0.9, Pr 0.7."""
    value = annulus(Re, 0.7, 0.9)
    assert value == near(base)
    assert value * heat.inner_wall_factor(0.9) == near(inner)
    assert value * heat.inner_wall_factor_1964(0.9) == near(older)


def test_annulus_of_another_program() -> None:
    """MOOSE, regression test ad_wall_htc_gnielinski_annular, inner wall: 5090.7825973763 W/(m2 K).

    Helium at 1073 K, 100 m/s in 10 and 15 mm over 0.5 m, wall 1 K warmer with exponent 0.15.
    """
    rho, k, mu, cp, Dh = 3.1176, 0.38220, 4.8587e-5, 5189.8, 5e-3
    nu = annulus(rho * 100.0 * Dh / mu, cp * mu / k, 10.0 / 15.0)
    nu *= heat.inner_wall_factor(10.0 / 15.0) * heat.entrance_factor(Dh, 0.5)
    assert nu * (1073.0 / 1074.0) ** 0.15 * k / Dh == pytest.approx(5090.7825973763, rel=1e-12)


def test_annulus_of_a_textbook() -> None:
    """Sachdeva, example 7.25: 31.25 in 50 mm, 30 m/s; naive h 122.3, one wall -18 and -6 %."""
    Re = 30.0 * 18.75e-3 / 15.9e-6
    naive = ht.turbulent_Dittus_Boelter(Re, 0.707)
    assert near("35377") == Re
    assert near("87.19") == naive
    assert naive * 0.0263 / 18.75e-3 == near("122.3")
    base = annulus(Re, 0.707, 0.625)
    assert base * heat.inner_wall_factor(0.625) == near("71.7")
    assert base * heat.inner_wall_factor_1964(0.625) == near("81.8")


@pytest.mark.parametrize(("Re", "friction"), [(1e4, "0.03451"), (3e4, "0.02567"), (1e5, "0.01938")])
def test_annulus_in_force_is_near_that_of_2009(Re: float, friction: str) -> None:
    """Friction as evaluated by hand from Lamarche's code; ht's form of 1976 on it, within 3 %."""
    assert fr.annulus_friction(Re, 0.9) == near(friction)
    assert heat.annulus_turbulent(Re, 0.7, 0.9) == pytest.approx(annulus(Re, 0.7, 0.9), rel=0.03)


@pytest.mark.parametrize(("Re", "one_side"), [(1e4, 27.8), (3e4, 61.2), (1e5, 155), (3e5, 380)])
def test_annulus_brackets_plates_heated_on_one_side(Re: float, one_side: float) -> None:
    """Kays and Leung 1963 for parallel plates, Pr 0.7, from memory."""
    base = annulus(Re, 0.7, 1.0)
    assert base * heat.inner_wall_factor(1.0) < one_side < base * heat.inner_wall_factor_1964(1.0)


@pytest.mark.parametrize(
    ("Re", "low", "high"),
    [(1e4, 25.2, 26.6), (3e4, 58.8, 60.7), (1e5, 154, 157), (3e5, 379, 382)],
)
def test_annulus_against_a_mixing_length_model(Re: float, low: float, high: float) -> None:
    """Plates heated on one side, Pr 0.7 (computed for this project); between the two forms."""
    base = float(annulus(Re, 0.7, 1.0))
    assert base * heat.inner_wall_factor(1.0) < high
    assert base * heat.inner_wall_factor_1964(1.0) > low
