"""Properties of dry air as a real gas, from one table built on CoolProp at first use."""

from __future__ import annotations

from jacketcalc.gas.table import AirTable, Properties, Thermo, air, properties

__all__ = ["AirTable", "Properties", "Thermo", "air", "properties"]
