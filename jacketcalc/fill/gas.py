"""The gas that fills: the one place from which a fill takes its table."""

from __future__ import annotations

from jacketcalc.arrays import Array
from jacketcalc.core.air import CoreAir, core_air


def gas_table() -> CoreAir:
    """Return the table of the gas in machine and receiver."""
    return core_air()


def gas_state(T: float, p: float) -> Array:
    """Return rho, h, rho_T, rho_p, h_T, h_p, viscosity and conductivity of a state [SI]."""
    return gas_table().state(T, p)
