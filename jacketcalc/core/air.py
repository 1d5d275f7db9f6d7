"""The table of air as the core reads it."""

from __future__ import annotations

from functools import cache

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.layout import blank
from jacketcalc.core.library import library
from jacketcalc.gas import cells
from jacketcalc.gas.air_table import AirTable, air


class CoreAir:
    """The air record and the coefficients it points to, kept alive together."""

    def __init__(self, table: AirTable) -> None:
        self.coefficients = table.cells
        grid = table.grid
        self.record = blank("Air")
        for name, value in {
            "lowest_temperature": cells.LOWEST_TEMPERATURE,
            "highest_temperature": cells.HIGHEST_TEMPERATURE,
            "lowest_pressure": cells.LOWEST_PRESSURE,
            "highest_pressure": cells.HIGHEST_PRESSURE,
            "pole": cells.TEMPERATURE_POLE,
            "ridge": cells.RIDGE_PRESSURE,
            "width": cells.RIDGE_WIDTH,
            "x_start": grid.x_start,
            "x_rate": grid.x_rate,
            "y_start": grid.y_start,
            "y_rate": grid.y_rate,
            "pressure_cells": grid.pressure_cells,
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
        library().core_air(self.address, T, p, out.ctypes.data)
        return out


@cache
def core_air() -> CoreAir:
    """Return the shared table."""
    return CoreAir(air())
