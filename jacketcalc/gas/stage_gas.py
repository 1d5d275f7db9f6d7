"""The gas of a machine's stages: the one to ask about what is compressed and what a receiver holds.

`stage_gas_table(machine)` gives a `GasTable`, whose methods take numbers or arrays, clip states to
the table, and answer in SI on CoolProp's datum:

    table.rho(T, p)   table.h(T, p)   table.cp(T, p)   table.u(T, p)   table.compressibility(T, p)
    table.temperature_from_enthalpy(h, p)       T of a flow of given enthalpy
    table.state_from_energy(rho, u)             T, p of a vessel of given density and energy
    table.pressure_from_density(T, rho)         p of a vessel of given density and temperature
    table.check_range(T, p, "place")            refuses what lies outside `table.span`

The drive always runs on air: for its side ask `gas.table.air()`.
"""

from __future__ import annotations

from jacketcalc.flow_data import REFERENCE_DENSITY
from jacketcalc.gas.table import GasTable, gas_table
from jacketcalc.inputs import GasName, Machine

REFERENCE_STATE = 293.15, 1e5
"""Temperature and pressure of the reference atmosphere ANR, ISO 8778 [K], [Pa]."""


def stage_gas_table(machine: Machine) -> GasTable:
    """Return the table of the gas that a machine's stages compress."""
    return gas_table(machine.gas.name)


def reference_density(name: GasName) -> float:
    """Return the density that a litre (ANR) of a gas counts with [kg/m3].

    For air it is that of ISO 8778, 65 % humid; for another gas its own, dry, at the same 20 degC
    and 1 bar.
    """
    if name == "air":
        return REFERENCE_DENSITY
    return float(gas_table(name).rho(*REFERENCE_STATE))
