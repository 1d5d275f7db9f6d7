"""Entropy of the real gas, integrated from the table's density and enthalpy."""

from __future__ import annotations

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.gas.table import GasTable

_NODES = 24
"""Points of each Gauss-Legendre quadrature: 12 change no result by 0.01 J/(kg K) [-]."""


def specific_entropy(table: GasTable, T: Array, p: Array, zero: tuple[float, float]) -> Array:
    """Return the entropy above that at a state of reference [J/(kg K)].

    From the reference along its isobar, ds = cp dT / T, then along the isotherm,
    ds = (dh - dp / rho) / T.

    Parameters
    ----------
    table : the gas
    T, p : temperatures [K] and absolute pressures [Pa], of one shape
    zero : temperature [K] and absolute pressure [Pa] of reference
    """
    marks, weights = np.polynomial.legendre.leggauss(_NODES)
    shares, weights = (marks + 1.0) / 2.0, weights / 2.0
    T0, p0 = zero
    T, p = np.asarray(T, dtype=float), np.asarray(p, dtype=float)
    log_T, log_p = np.log(T / T0)[..., None], np.log(p / p0)[..., None]
    warmed = table.thermo(T0 * np.exp(log_T * shares), np.full((*T.shape, 1), p0)).h_T
    along = p0 * np.exp(log_p * shares)
    pressed = along / table.thermo(T[..., None], along).rho
    departure = table.thermo(T, p).h - table.thermo(T, np.full(T.shape, p0)).h
    heated: Array = (warmed * log_T) @ weights
    squeezed: Array = (pressed * log_p) @ weights
    return heated + (departure - squeezed) / T
