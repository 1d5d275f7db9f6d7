"""The table of each gas follows CoolProp, and finds states from what a vessel holds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from sample import MACHINE

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError
from jacketcalc.gas import coolprop, properties
from jacketcalc.gas.stage_gas import reference_density, stage_gas_table
from jacketcalc.gas.table import gas_table
from jacketcalc.gases import FLUIDS, Fluid
from jacketcalc.inputs import Gas

LIMITS = {
    "density": 2e-6, "enthalpy": 4e-7, "cp": 6e-5, "cv": 5e-4, "sound_speed": 3e-4,
    "viscosity": 1.2e-3, "conductivity": 2e-3,
}  # fmt: skip
"""Largest departure of a table from CoolProp, relative; of enthalpy, relative to cp T [-].
Viscosity: at helium's kink at 300 K, 1e-5 elsewhere; conductivity: where an enhancement ends."""
OTHERS = [fluid for fluid in FLUIDS.values() if fluid.name != "air"]
each_gas = pytest.mark.parametrize("fluid", OTHERS, ids=[f.name for f in OTHERS])


def spread(fluid: Fluid, count: int, seed: int) -> tuple[Array, Array]:
    """Random states, a third of them near the cold end, a third evenly in ln p: T [K], p [Pa]."""
    random, s = np.random.default_rng(seed), fluid.span
    T = random.uniform(s.lowest_temperature, s.highest_temperature, count)
    T[::3] = s.lowest_temperature + 0.05 * (T[::3] - s.lowest_temperature)
    p = random.uniform(s.lowest_pressure, s.highest_pressure, count)
    ends = np.log((s.lowest_pressure, s.highest_pressure))
    p[1::3] = np.exp(random.uniform(*ends, p[1::3].size))
    return T, p


@each_gas
def test_the_table_follows_coolprop(fluid: Fluid) -> None:
    T, p = spread(fluid, 2000, 31)
    found = properties(T, p, fluid.name)
    states = [
        coolprop.reference_state(*at, fluid) for at in zip(T.tolist(), p.tolist(), strict=True)
    ]
    for name, limit in LIMITS.items():
        wanted = np.array([getattr(state, name) for state in states])
        scale = np.array([s.cp for s in states]) * T if name == "enthalpy" else wanted
        assert np.max(np.abs(getattr(found, name) - wanted) / scale) < limit, name


@each_gas
def test_the_solvers_numbers_of_a_gas_are_coolprops(fluid: Fluid) -> None:
    state = coolprop.open_state(fluid)
    assert fluid.gas_constant == pytest.approx(state.gas_constant() / state.molar_mass(), rel=1e-6)
    u, cv = (PropsSI(name, "T", 300.0, "P", 1e5, fluid.coolprop) for name in ("U", "O"))
    assert 0.0 <= (u - 300.0 * cv) - fluid.cold_energy < 2.5e4
    assert fluid.energy == pytest.approx(u, rel=0.12)


@each_gas
def test_a_vessel_is_found_from_density_and_energy(fluid: Fluid) -> None:
    """Density and energy of CoolProp go in, its temperature and pressure come out."""
    T, p = spread(fluid, 200, 32)
    rho, u = (
        np.array([PropsSI(name, "T", a, "P", b, fluid.coolprop) for a, b in zip(T, p, strict=True)])
        for name in ("D", "U")
    )
    table = gas_table(fluid.name)
    found_T, found_p = table.state_from_energy(rho, u)
    np.testing.assert_allclose(found_T, T, rtol=2e-6)
    np.testing.assert_allclose(found_p, p, rtol=2e-5)
    np.testing.assert_allclose(table.pressure_from_density(T, rho), p, rtol=2e-5)
    np.testing.assert_allclose(table.u(T, p), u, atol=1e-5 * np.max(np.abs(u)))


def test_contents_outside_the_table_are_refused() -> None:
    table = gas_table("carbon dioxide")
    with pytest.raises(RangeError, match=r"table of carbon dioxide covers 0\.1 to 31\.5 bar"):
        table.pressure_from_density(300.0, 80.0)


def test_the_gas_of_a_machine_is_asked_by_one_function() -> None:
    machine = replace(MACHINE, gas=Gas(name="argon"))
    assert stage_gas_table(machine) is gas_table("argon")
    assert stage_gas_table(MACHINE) is gas_table("air")
    rho = stage_gas_table(machine).rho(300.0, 200e5)
    assert rho == pytest.approx(PropsSI("D", "T", 300.0, "P", 200e5, "Argon"), rel=2e-6)


def test_a_litre_of_a_gas_is_its_own() -> None:
    """Densities at 20 degC and 1 bar, by the gas law within 0.6 %; air's is that of ISO 8778."""
    assert reference_density("air") == 1.185
    for fluid in OTHERS:
        ideal = 1e5 / (fluid.gas_constant * 293.15)
        assert reference_density(fluid.name) == pytest.approx(ideal, rel=6e-3)
