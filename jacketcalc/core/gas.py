"""The tables of gases as the core reads them."""

from __future__ import annotations

import threading

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.layout import blank
from jacketcalc.core.library import library
from jacketcalc.gas.table import GasTable, gas_table
from jacketcalc.inputs import GasName


class CoreGas:
    """A gas's record and the coefficients it points to, kept alive together."""

    def __init__(self, table: GasTable) -> None:
        self.coefficients = table.cells
        grid, span, fluid = table.grid, table.span, table.fluid
        self.record = blank("Gas")
        for name, value in {
            "lowest_temperature": span.lowest_temperature,
            "highest_temperature": span.highest_temperature,
            "lowest_pressure": span.lowest_pressure,
            "highest_pressure": span.highest_pressure,
            "pole": span.pole,
            "ridge": span.ridge,
            "width": span.width,
            "x_start": grid.x_start,
            "x_rate": grid.x_rate,
            "y_start": grid.y_start,
            "y_rate": grid.y_rate,
            "gas_constant": fluid.gas_constant,
            "cold_energy": fluid.cold_energy,
            "energy": fluid.energy,
            "pressure_cells": span.pressure_cells,
            "cells": self.coefficients.ctypes.data,
        }.items():
            self.record[name] = value

    @property
    def address(self) -> int:
        """Where the record lies."""
        return int(self.record.ctypes.data)

    def state(self, T: float, p: float) -> Array:
        """Return rho, h, rho_T, rho_p, h_T, h_p, viscosity and conductivity of a state [SI]."""
        out = np.empty(8)
        library().core_gas(self.address, T, p, out.ctypes.data)
        return out


_shared: dict[GasName, CoreGas] = {}
_making = threading.Lock()
"""A machine's record points to its gas: each must be made once and never go."""


def core_gas(name: GasName) -> CoreGas:
    """Return the shared table of a gas."""
    with _making:
        if name not in _shared:
            _shared[name] = CoreGas(gas_table(name))
        return _shared[name]


def core_air() -> CoreGas:
    """Return the shared table of air."""
    return core_gas("air")
