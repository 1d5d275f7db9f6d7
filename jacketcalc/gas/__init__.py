"""Properties of dry real gases: a table each, laid through samples of CoolProp in a file."""

from __future__ import annotations

from jacketcalc.gas.table import GasTable, Properties, Thermo, air, gas_table, properties
from jacketcalc.gases import FLUIDS, Fluid

__all__ = ["FLUIDS", "Fluid", "GasTable", "Properties", "Thermo", "air", "gas_table", "properties"]
