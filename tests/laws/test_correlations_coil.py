"""Heat transfer in a coil: laws of several authors side by side, and the handbook's transition."""

from __future__ import annotations

import ht
import pytest
from gas_dynamics.annulus_2009 import annulus
from one_jacket import CURVE, D_C, D_H, RATIO, channel, in_channel
from printed import near

from jacketcalc.correlations import friction as fr
from jacketcalc.correlations import heat, laws

# one jacket, all laws (computed for this project with ht 1.2.0; 0.1 %)

SPREAD = [
    (500, 8.71, 7.84, 4.50, 2.05, None, None),
    (1000, 11.72, 12.15, 7.75, 3.87, None, None),
    (2000, 16.51, 18.82, 13.38, 7.32, None, None),
    (5000, 27.50, 33.55, 27.58, 17.01, 14.68, 16.82),
    (10000, 42.48, 51.96, 47.72, 32.19, 25.60, 29.33),
    (22000, 79.85, 85.45, 89.12, 66.49, 46.97, 53.81),
    (50000, 153.43, 165.44, 170.91, 141.50, 87.92, 100.72),
]


@pytest.mark.parametrize(("Re", "vdi", "schmidt", "mori", "xin", "inner", "older"), SPREAD)
def test_spread_of_laws(
    Re: float,
    vdi: float,
    schmidt: float,
    mori: float,
    xin: float,
    inner: float | None,
    older: float | None,
) -> None:
    tolerance = {"rel": 1e-3, "abs": 0.005}
    assert channel("high", Re) == pytest.approx(vdi, **tolerance)
    assert heat.coil_mori_nakayama(Re, 0.71, CURVE) == pytest.approx(mori, **tolerance)
    assert heat.coil_xin_ebadian(Re, 0.71, CURVE) == pytest.approx(xin, **tolerance)
    if Re != heat.COIL_TURBULENT:
        assert heat.coil_schmidt(Re, 0.71, CURVE) == pytest.approx(schmidt, **tolerance)
    if inner and older:
        base = annulus(Re, 0.71, RATIO)
        assert base * heat.inner_wall_factor(RATIO) == pytest.approx(inner, **tolerance)
        assert base * heat.inner_wall_factor_1964(RATIO) == pytest.approx(older, **tolerance)


def test_schmidt_joins_its_two_ranges() -> None:
    """At 22 000 the library jumps; ours stands midway."""
    below = ht.helical_turbulent_Nu_Schmidt(22000.0, 0.71, D_H, D_C)
    above = ht.helical_turbulent_Nu_Schmidt(22000.001, 0.71, D_H, D_C)
    assert below == pytest.approx(85.45, abs=0.005)
    assert channel("schmidt", 22000.0) == pytest.approx((below + above) / 2, rel=1e-6)


# laws the package owns

VDI_COIL = [
    (0.05, (500, 2000, 4000, 1e4, 2.2e4, 5e4), "8.27 15.21 21.95 39.20 76.50 146.0"),
    (0.10, (500, 2000, 4000, 1e4, 2.2e4, 5e4), "9.23 18.07 26.84 47.14 83.70 161.98"),
]


@pytest.mark.parametrize(("d", "reynolds", "printed"), VDI_COIL)
def test_coil_average(d: float, reynolds: tuple[float, ...], printed: str) -> None:
    """VDI Heat Atlas Gc1, read in the Modelica Standard Library; Pr 0.71."""
    for Re, text in zip(reynolds, printed.split(), strict=True):
        law = laws.channel_nusselt("high", in_channel(d=d))
        assert law.value(Re, 0.71) == near(text)


def test_coil_transition() -> None:
    """Same source: d 0.05 turns at 7437.6."""
    assert fr.critical_reynolds(0.05) == near("7437.6")
