"""Ideal gases of constant properties in place of the core's table of air."""

from __future__ import annotations

import numpy as np
from gas_dynamics.ideal_air import put_gas

from jacketcalc.core.gas import CoreGas
from jacketcalc.core.layout import blank
from jacketcalc.gases import AIR

COLDEST, HOTTEST = 80.0, 3000.0
"""Range of the table [K]; states beyond are continued by the core."""
ROWS = 3000
"""Cells in ln T: cubics of 1/T and T are then within 1e-14, their slopes within 1e-10."""
RATE = ROWS / np.log(HOTTEST / COLDEST)
"""Cells per unit of ln T."""
LOWEST, HIGHEST = 10.0, 1e8
"""Pressures between which the one column of cells holds [Pa]."""


class IdealGas(CoreGas):
    """An ideal gas of constant properties.

    Parameters
    ----------
    gamma : ratio of specific heats [-]
    R : gas constant [J/(kg K)]
    viscosity : viscosity [Pa s]
    prandtl : Prandtl number [-]
    """

    def __init__(
        self,
        gamma: float = 1.4,
        R: float = 287.0,
        viscosity: float = 1.8e-5,
        prandtl: float = 0.7,
    ) -> None:
        self.R, self.cp, self.gamma = R, gamma / (gamma - 1.0) * R, gamma
        self.viscosity, self.prandtl = viscosity, prandtl
        self.conductivity = viscosity * self.cp / prandtl
        self.coefficients = np.zeros((ROWS, 4, 4, 4))
        edges = COLDEST * np.exp(np.arange(ROWS + 1) / RATE)
        put_gas(self.coefficients, edges, self.R, self.cp, RATE)
        self.coefficients[:, 2, 0, 0], self.coefficients[:, 3, 0, 0] = viscosity, self.conductivity
        low, high = np.arcsinh(LOWEST / 1e5), np.arcsinh(HIGHEST / 1e5)
        self.record = blank("Gas")
        for name, value in {
            "lowest_temperature": COLDEST, "highest_temperature": HOTTEST * (1.0 - 1e-9),
            "lowest_pressure": LOWEST, "highest_pressure": HIGHEST, "pole": 0.0, "ridge": 0.0,
            "width": 1e5, "x_start": np.log(COLDEST), "x_rate": RATE, "y_start": low,
            "y_rate": (1.0 - 1e-9) / (high - low), "pressure_cells": 1,
            "gas_constant": AIR.gas_constant, "cold_energy": AIR.cold_energy, "energy": AIR.energy,
            "cells": self.coefficients.ctypes.data,
        }.items():  # fmt: skip
            self.record[name] = value
