"""Properties of dry air as a real gas: one table, laid through samples of CoolProp in a file."""

from __future__ import annotations

from jacketcalc.gas.air_table import AirTable, Properties, Thermo, air, properties

__all__ = ["AirTable", "Properties", "Thermo", "air", "properties"]
