"""Pressure and temperature of given contents: mass and internal energy in a volume."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.designs import Array
from jacketcalc.components.record import GasState
from jacketcalc.gas.table import AirTable

SETTLED = 1e-11
"""Relative change of pressure and temperature that ends Newton's search [-]."""
MOST_STEPS = 40
"""Newton steps allowed; 2 or 3 are usual from a near state."""


def near_contents(air: AirTable, m: Array, U: Array, volume: Array) -> GasState:
    """Return the state of contents of which nothing else is known.

    Parameters
    ----------
    m : mass, shape (volume, B) [kg]
    U : internal energy [J]
    volume : volume [m3]
    """
    T = np.full_like(m, 280.0)
    p = np.maximum(m * air.GAS_CONSTANT * T / volume, 6e4)
    return settle(air, GasState(m=m, U=U, p=p, T=T), volume)


def settle(air: AirTable, state: GasState, volume: Array) -> GasState:
    """Return the state with pressure and temperature brought into line with its contents."""
    p, T = state.p, state.T
    for _ in range(MOST_STEPS):
        gas = air.thermo_beyond(T, p)
        short_m = state.m - gas.rho * volume
        short_U = state.U - (state.m * gas.h - p * volume)
        a, b = gas.rho_p * volume, gas.rho_T * volume
        c, d = state.m * gas.h_p - volume, state.m * gas.h_T
        det = a * d - b * c
        dp = np.clip((d * short_m - b * short_U) / det, -0.3 * p, 0.3 * p)
        dT = np.clip((a * short_U - c * short_m) / det, -0.2 * T, 0.2 * T)
        p, T = p + dp, T + dT
        if max(np.abs(dp / p).max(), np.abs(dT / T).max()) < SETTLED:
            break
    return GasState(m=state.m, U=state.U, p=p, T=T)
