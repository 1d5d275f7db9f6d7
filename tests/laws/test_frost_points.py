"""Dew and frost points under pressure against CoolProp's humid air (ASHRAE RP-1485).

CoolProp's humid air reaches 100 bar; beyond, its multi-fluid mixture of nitrogen and water is the
only oracle.
"""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PT_INPUTS, AbstractState, PropsSI, iphase_gas
from humid_air import DEW_POINT, SUPPLY, VAPOUR, humidity, library_point

from jacketcalc.correlations.moisture import enhancement_factor
from jacketcalc.findings.water import Vapour
from jacketcalc.gas.table import air


@pytest.mark.parametrize("dew_point", [243.15, 276.15, 290.15])
@pytest.mark.parametrize(
    ("bar", "tolerance"),
    [(0.9, 0.05), (1.013, 0.05), (3.0, 0.05), (5.2, 0.05), (20.0, 0.05), (53.0, 0.2), (99.0, 0.4)],
)
def test_point_at_a_pressure(dew_point: float, bar: float, tolerance: float) -> None:
    """CoolProp, humid air; classes 2 to 5 of ISO 8573-1 or so. Ice and water, 0.9 to 99 bar."""
    wanted = library_point(bar * 1e5, humidity(dew_point))
    found = float(Vapour(dew_point=dew_point, pressure=SUPPLY).point(bar * 1e5))
    assert found == pytest.approx(wanted, abs=tolerance)


def test_vapour_keeps_its_dew_point_at_supply() -> None:
    assert float(VAPOUR.point(SUPPLY)) == pytest.approx(DEW_POINT, abs=0.02)


@pytest.mark.parametrize("T", [325.0, 340.0])
def test_enhancement_at_300_bar_is_on_the_safe_side(T: float) -> None:
    """CoolProp's mixture of nitrogen and water holds up to a fifth more, so dews later."""
    p, y = 300e5, 1e-3
    boiling = PropsSI("P", "T", T, "Q", 0, "Water")
    steam, liquid = (AbstractState("HEOS", "Water") for _ in range(2))
    steam.specify_phase(iphase_gas)
    steam.update(PT_INPUTS, 0.9999 * boiling, T)
    liquid.update(PT_INPUTS, p, T)
    pushed = (liquid.gibbsmolar() - steam.gibbsmolar()) / (8.314462618 * T)
    fugacity = steam.fugacity_coefficient(0) * boiling * np.exp(pushed)
    for _ in range(20):
        mixture = AbstractState("HEOS", "Nitrogen&Water")
        mixture.set_mole_fractions([1.0 - y, y])
        mixture.specify_phase(iphase_gas)
        mixture.update(PT_INPUTS, p, T)
        y = fugacity / (mixture.fugacity_coefficient(1) * p)
    density = air().thermo(T, p).rho / 28.96546e-3
    ours = float(enhancement_factor(T, p, density, frost=False))
    assert 0.78 < ours / (y * p / boiling) < 1.0
