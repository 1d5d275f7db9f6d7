"""The first law's bound on the cold that the exhaust can give back."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.arrays import Array
from jacketcalc.gas.table import GasTable

LEAST_BOUND = 1.0
"""Bound below which a share of it says nothing [W]."""


@dataclass(frozen=True, kw_only=True)
class Cold:
    """The cold that the exhaust carries, and what of it the jackets used."""

    bound: float
    """Heat that brings the exhaust to supply temperature at ambient pressure [W]."""
    used: float
    """Heat that the jackets' air took from the barrels [W]."""

    @property
    def share(self) -> float | None:
        """Used over bound; None where the bound bounds nothing [-]."""
        share = self.used / self.bound if self.bound >= LEAST_BOUND else None
        return None if share is None or share > 1.0 else share


def exhaust_cold(
    gas: GasTable,
    *,
    supply_temperature: float | Array,
    ambient_pressure: float | Array,
    mass_flow: float | Array,
    enthalpy_flow: float | Array,
) -> Array:
    """Return the heat that brings the exhaust to supply temperature where it is let out [W].

    Air throttled from supply to ambient pressure is colder than the supply without any work; that
    cold counts, so the end of the warming is at ambient pressure.

    Parameters
    ----------
    gas : property table
    supply_temperature : temperature the exhaust is warmed to [K]
    ambient_pressure : pressure it is let out at [Pa]
    mass_flow : cycle mean out of all ports [kg/s]
    enthalpy_flow : cycle mean there, on the table's datum [W]
    """
    warm = gas.thermo(supply_temperature, ambient_pressure).h
    return warm * mass_flow - enthalpy_flow
