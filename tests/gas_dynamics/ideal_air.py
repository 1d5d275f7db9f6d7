"""An ideal gas of constant specific heat in the core's table of air."""

from __future__ import annotations

from typing import Any

import numpy as np

from jacketcalc.core.gas import CoreGas
from jacketcalc.gas.table import air


class IdealAir(CoreGas):
    """Air's table, but for an ideal gas's density and enthalpy; transport as air has it.

    Parameters
    ----------
    R : gas constant [J/(kg K)]
    cp : specific heat at constant pressure [J/(kg K)]
    """

    def __init__(self, R: float, cp: float) -> None:
        super().__init__(air())
        # Air's own cells are shared by all.
        self.coefficients = self.coefficients.copy()
        self.record["cells"] = self.coefficients.ctypes.data
        columns = int(self.record["pressure_cells"])
        grid = self.coefficients.reshape(-1, columns, 4, 4, 4)
        rate, pole = float(self.record["x_rate"]), float(self.record["pole"])
        x = float(self.record["x_start"]) + np.arange(len(grid) + 1) / rate
        self.coefficients[:, :2] = 0.0
        for column in range(columns):
            put_gas(grid[:, column], pole + np.exp(x), R, cp, rate, pole)


def put_gas(cells: Any, edges: Any, R: float, cp: float, rate: float, pole: float = 0.0) -> None:
    """Write rho/p = 1/(R T) and h = cp T into rows of cells, exact with slopes at their edges.

    Parameters
    ----------
    cells : coefficients, shape (row, quantity, power of x, power of y)
    edges : temperatures of the rows' edges [K]
    R, cp : gas constant and specific heat [J/(kg K)]
    rate : cells per unit of ln(T - pole)
    pole : origin of that logarithm [K]
    """
    T_x = (edges - pole) / rate
    for quantity, value, slope in (
        (0, 1.0 / (R * edges), -T_x / (R * edges**2)),
        (1, cp * edges, cp * T_x),
    ):
        rise, first, last = np.diff(value), slope[:-1], slope[1:]
        powers = (value[:-1], first, 3 * rise - 2 * first - last, first + last - 2 * rise)
        for power, term in enumerate(powers):
            cells[:, quantity, power, 0] = term
