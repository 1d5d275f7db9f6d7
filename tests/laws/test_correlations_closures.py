"""The closures of the channel: low, nominal and high in order, and other laws beside them."""

from __future__ import annotations

import fluids
import ht
import pytest
from one_jacket import JACKET, channel
from printed import near

from jacketcalc.correlations import heat, laws
from jacketcalc.errors import RangeError

# the closures

# Low, nominal, high (computed for this project).
RECOMMENDED = [
    (1000, "3.9", "8.0", "11.7"),
    (5000, "11.0", "13.4", "27.5"),
    (10000, "19.2", "23.3", "42.5"),
    (22000, "35.2", "42.8", "79.8"),
    (50000, "65.9", "80.2", "153.4"),
]


@pytest.mark.parametrize(("Re", "low", "nominal", "high"), RECOMMENDED)
def test_closures(Re: float, low: str, nominal: str, high: str) -> None:
    assert channel("low", Re) == near(low)
    assert channel("nominal", Re) == near(nominal)
    assert channel("high", Re) == near(high)


@pytest.mark.parametrize("Re", [500, 1000, 3000, 1e4, 5e4, 2e5])
def test_closures_keep_their_order(Re: float) -> None:
    assert channel("low", Re) < channel("nominal", Re) < channel("high", Re)


@pytest.mark.parametrize(("Re", "low", "high"), [(1e4, 1.35, 1.45), (5e4, 1.35, 1.45)])
def test_dittus_boelter_overstates_one_wall(Re: float, low: float, high: float) -> None:
    """Some +36 to +44 % over nominal (computed for this project)."""
    assert low < ht.turbulent_Dittus_Boelter(Re, 0.71) / channel("nominal", Re) < high


def test_unknown_closure_names_the_known_ones() -> None:
    with pytest.raises(RangeError, match=r"'coil'.*nominal"):
        laws.channel_nusselt("coil", JACKET)


def test_tube_nusselt_ends() -> None:
    """ht's laminar_T_const 3.66 below; its turbulent_Gnielinski on fluids' Haaland above."""
    law = laws.tube_nusselt()
    assert law.value(1000.0, 0.7) == ht.laminar_T_const()
    library = ht.turbulent_Gnielinski(5e4, 0.7, fluids.Haaland(5e4, 0.0))
    assert law.value(5e4, 0.7) == pytest.approx(library, rel=1e-12)


def test_property_ratio() -> None:
    """Kays and Gnielinski, exponent 0.45 (from memory): turbulent, gas heated, else 1."""
    assert heat.property_ratio(240.0, 300.0, 5e4) == pytest.approx(0.8**0.45)
    assert heat.property_ratio(240.0, 300.0, 1000.0) == 1.0
    assert heat.property_ratio(300.0, 240.0, 5e4) == 1.0
