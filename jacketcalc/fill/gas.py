"""The gases of a fill: the one place from which it takes their tables.

Machine and receiver hold the stages' gas; the drive and the surroundings are air.
"""

from __future__ import annotations

from jacketcalc.arrays import Array
from jacketcalc.core.gas import CoreGas, core_air, core_gas
from jacketcalc.inputs import GasName


def drive_table() -> CoreGas:
    """Return the table of the drive's air."""
    return core_air()


def gas_state(T: float, p: float, name: GasName = "air") -> Array:
    """Return rho, h, rho_T, rho_p, h_T, h_p, viscosity and conductivity of a state [SI]."""
    return core_gas(name).state(T, p)
