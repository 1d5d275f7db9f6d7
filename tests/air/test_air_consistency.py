"""The table of air agrees with itself: second law, slopes, cell edges, the inverse of enthalpy."""

from __future__ import annotations

import pickle
from collections.abc import Callable

import numpy as np
import pytest
from air_limits import LIMITS
from hypothesis import given
from hypothesis import strategies as st

from jacketcalc.arrays import Array
from jacketcalc.gas import Thermo, air, coolprop, properties
from jacketcalc.gases import AIR


def spread(count: int = 4000) -> tuple[Array, Array]:
    """Random states over the whole range: T [K], p [Pa]."""
    random = np.random.default_rng(23)
    return random.uniform(140.0, 2000.0, count), random.uniform(0.1e5, 700e5, count)


def test_enthalpy_and_density_obey_the_second_law() -> None:
    # (dh/dp)_T = v - T (dv/dT)_p, exact for any substance; two slopes err, so twice cp's limit.
    T, p = spread()
    ridge_T, ridge_p = np.linspace(140.0, 145.0, 51)[:, np.newaxis], np.linspace(40e5, 75e5, 81)
    for state, at in ((air().thermo(T, p), T), (air().thermo(ridge_T, ridge_p), ridge_T)):
        expansion = -at * state.rho_T / state.rho
        np.testing.assert_allclose(1.0 - state.h_p * state.rho, expansion, rtol=2 * LIMITS["cp"])


def test_thin_hot_air_is_an_ideal_gas() -> None:
    # Second virial coefficient at 1000 K about +20 cm3/mol (from memory): Z - 1 = 1.2e-4.
    found = properties(1000.0, 0.5e5)
    R = AIR.gas_constant
    assert found.compressibility == pytest.approx(1.0, abs=2e-4)
    assert found.cp - found.cv == pytest.approx(R, rel=1e-3)
    assert found.sound_speed == pytest.approx(np.sqrt(found.cp / found.cv * R * 1000.0), rel=3e-4)


def test_the_gas_constant_is_the_one_of_coolprop() -> None:
    state = coolprop.open_state()
    assert state.gas_constant() / state.molar_mass() == pytest.approx(AIR.gas_constant)


def test_derivatives_are_those_of_the_interpolant() -> None:
    # Central differences of the table itself; the step's own error is of order 1e-6 here.
    table = air()
    T, p = spread(500)
    T, p = np.clip(T, 141.0, 1999.0), np.clip(p, 1e5, 699e5)
    state, dT, dp = table.thermo(T, p), 1e-4 * T, 1e-4 * p

    def slope(field: Callable[[Thermo], Array], dT: Array, dp: Array) -> Array:
        ahead, behind = table.thermo(T + dT, p + dp), table.thermo(T - dT, p - dp)
        return (field(ahead) - field(behind)) / 2.0

    none = np.zeros_like(T)
    rho, heat = state.rho, state.h_T * T

    def density(state: Thermo) -> Array:
        return state.rho

    def enthalpy(state: Thermo) -> Array:
        return state.h

    assert np.max(np.abs(slope(density, dT, none) / dT - state.rho_T) * T / rho) < 2e-6
    assert np.max(np.abs(slope(density, none, dp) / dp - state.rho_p) * p / rho) < 2e-6
    assert np.max(np.abs(slope(enthalpy, dT, none) / dT - state.h_T) * T / heat) < 2e-6
    assert np.max(np.abs(slope(enthalpy, none, dp) / dp - state.h_p) * p / heat) < 2e-6


def test_values_and_slopes_are_continuous_across_every_cell_edge() -> None:
    table = air()
    random = np.random.default_rng(24)
    inner_T = table.grid.temperatures[1:-1, np.newaxis]
    inner_p = table.grid.pressures[1:-1, np.newaxis]
    p, T = random.uniform(0.1e5, 700e5, 60), random.uniform(140.0, 2000.0, 60)
    for step_T, step_p, at in ((1e-9, 0.0, (inner_T, p)), (0.0, 1e-9, (T, inner_p))):
        before = table.thermo(at[0] * (1 - step_T), at[1] * (1 - step_p))
        after = table.thermo(at[0] * (1 + step_T), at[1] * (1 + step_p))
        for name in ("rho", "rho_T", "rho_p", "h_T"):
            np.testing.assert_allclose(getattr(before, name), getattr(after, name), rtol=1e-6)
        scale = before.h_T * at[0]
        assert np.max(np.abs(before.h - after.h) / scale) < 1e-8
        assert np.max(np.abs(before.h_p - after.h_p) * at[1] / scale) < 1e-7


@given(T=st.floats(140.0, 2000.0), bar=st.floats(0.1, 700.0))
def test_temperature_comes_back_from_enthalpy(T: float, bar: float) -> None:
    table = air()
    h = table.thermo(T, bar * 1e5).h
    assert table.temperature_from_enthalpy(h, bar * 1e5) == pytest.approx(T, abs=1e-7)


def test_temperature_comes_back_from_enthalpy_for_arrays_that_broadcast() -> None:
    table = air()
    T, p = np.linspace(140.0, 2000.0, 60)[:, np.newaxis], np.geomspace(0.1e5, 700e5, 50)
    found = table.temperature_from_enthalpy(table.thermo(T, p).h, p)
    np.testing.assert_allclose(found, np.broadcast_to(T, (60, 50)), atol=1e-7)


def test_temperature_beyond_the_range_undoes_the_enthalpy_continued_there() -> None:
    table = air()
    T, p = np.array([120.0, 300.0, 2200.0])[:, np.newaxis], np.array([1e5, 300e5])
    h = table.thermo_beyond(*np.broadcast_arrays(T, p)).h
    np.testing.assert_allclose(table.temperature_beyond(h, p), np.broadcast_to(T, (3, 2)))


def test_results_have_the_shape_that_the_arguments_broadcast_to() -> None:
    table = air()
    T, p = np.linspace(200.0, 400.0, 4)[:, np.newaxis], np.linspace(1e5, 9e5, 3)
    state = table.thermo(T, p)
    fields = ("rho", "h", "rho_T", "rho_p", "h_T", "h_p")
    assert {getattr(state, name).shape for name in fields} == {(4, 3)}
    single = table.thermo(T[2, 0], p[1])
    for name in fields:
        assert np.shape(getattr(single, name)) == ()
        assert getattr(single, name) == pytest.approx(getattr(state, name)[2, 1], rel=1e-14)
    mu, k = table.transport(300.0, p)
    assert mu.shape == k.shape == (3,)


def test_the_table_is_built_once_small_and_can_be_sent_to_another_process() -> None:
    table = air()
    assert air() is table
    assert table.cells.nbytes < 5e6
    copy = pickle.loads(pickle.dumps(table))
    assert copy.thermo(300.0, 1e5) == table.thermo(300.0, 1e5)
