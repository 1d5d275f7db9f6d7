"""States outside the table of air are refused with the place; only the solver's path clips."""

from __future__ import annotations

import numpy as np
import pytest

from jacketcalc.errors import RangeError
from jacketcalc.gas import air, properties


@pytest.mark.parametrize(
    ("T", "p", "message"),
    [
        (139.9, 1e5, r"temperature of 139\.9 K.*140 to 2000 K"),
        (2000.1, 1e5, r"temperature of 2000\.1 K.*140 to 2000 K"),
        (300.0, 0.09e5, r"pressure of 0\.09 bar.*0\.1 to 700 bar"),
        (300.0, 701e5, r"pressure of 701 bar.*0\.1 to 700 bar"),
        (float("nan"), 1e5, r"temperature of nan K"),
        (300.0, float("inf"), r"pressure of inf bar"),
    ],
)
def test_states_outside_the_range_are_refused(T: float, p: float, message: str) -> None:
    with pytest.raises(RangeError, match=message):
        properties(T, p)


def test_the_refusal_names_the_place_and_the_worst_value() -> None:
    with pytest.raises(RangeError, match=r"^drive port: .* of 120 K \(2 of 3 values are outside\)"):
        air().check_range(np.array([300.0, 120.0, 135.0]), 2e5, "drive port")


def test_the_range_includes_its_ends() -> None:
    air().check_range(np.array([140.0, 2000.0]), np.array([0.1e5, 700e5]))


@pytest.mark.parametrize("h", [2.0e5, 3.0e6, float("nan")])
def test_an_enthalpy_outside_the_range_is_refused(h: float) -> None:
    with pytest.raises(RangeError, match=r"enthalpy of .* at 1 bar"):
        air().temperature_from_enthalpy(h, 1e5)


def test_the_solvers_path_clips_to_the_range() -> None:
    table = air()
    outside = table.thermo(np.array([100.0, 2200.0]), np.array([0.05e5, 800e5]))
    edge = table.thermo(np.array([140.0, 2000.0]), np.array([0.1e5, 700e5]))
    np.testing.assert_array_equal(outside.rho, edge.rho)
    np.testing.assert_array_equal(outside.h_T, edge.h_T)
    assert table.sound_speed(100.0, 1e5) == table.sound_speed(140.0, 1e5)
    assert table.cv(100.0, 1e5) == table.cv(140.0, 1e5)
    assert table.transport(100.0, 1e5) == table.transport(140.0, 1e5)
