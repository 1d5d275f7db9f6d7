"""Vapour pressure over ice and water against printed tables of others.

Tables read: a maker's manual of hygrometers, table A-1 (vapour pressure in mmHg over ice), and a
public comparison of 17 formulations, its rows of WMO (Goff, Technical Regulations 49) and of Hyland
and Wexler (ASHRAE).
"""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI

from jacketcalc.correlations.moisture import vapour_pressure_ice, vapour_pressure_water

MMHG = 133.322
"""One millimetre of mercury [Pa]."""
ICE = {-20: 0.776, -17: 1.031, -15: 1.241, -12: 1.632, -10: 1.950, -5: 3.013, -2: 3.880, 0: 4.579}
"""Over ice, degC to mmHg, as printed."""
WMO = {0: 6.10695, 10: 12.27089, 15: 17.04204, 20: 23.37080, 30: 42.42726, 40: 73.77329}
"""Over water after WMO, degC to hPa, as printed."""
ASHRAE = {0: 6.11213, 10: 12.27995, 15: 17.05448, 20: 23.38804, 30: 42.46030, 40: 73.83460}
"""Over water after Hyland and Wexler, degC to hPa, as printed."""


@pytest.mark.parametrize("t", ICE)
def test_over_ice_as_a_printed_table(t: int) -> None:
    """Three decimals are printed, and the table is of an older scale of temperature: 0.25 %."""
    found = float(vapour_pressure_ice(t + 273.15)) / MMHG
    assert found == pytest.approx(ICE[t], rel=2.5e-3)


@pytest.mark.parametrize("t", WMO)
def test_over_water_as_wmo_and_ashrae_print_it(t: int) -> None:
    """The two differ from one another by 0.09 %, and ours is no further from either."""
    found = float(vapour_pressure_water(t + 273.15)) / 100.0
    assert found == pytest.approx(WMO[t], rel=1.2e-3)
    assert found == pytest.approx(ASHRAE[t], rel=1.2e-3)


@pytest.mark.parametrize("t", [0.02, 5.0, 20.0, 40.0, 68.0])
def test_over_water_as_iapws_95(t: float) -> None:
    """CoolProp's IAPWS-95; a little above its range, 59 degC, ours is within 0.1 % as said."""
    found = float(vapour_pressure_water(t + 273.15))
    assert found == pytest.approx(PropsSI("P", "T", t + 273.15, "Q", 0, "Water"), rel=1e-3)
