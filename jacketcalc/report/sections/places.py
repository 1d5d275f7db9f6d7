"""Where the quantities of the comparison stand in the JSON result."""

from __future__ import annotations

_PLACES = {
    "delivered air": "delivered_mass_flow",
    "cycle rate": "cycle_rate",
    "drive air": "drive_air_mass_flow",
    "drive air / delivered": "drive_air_per_kg",
    "drive work per cycle": "drive_work",
    "drive cylinder wall": "drive_wall_temperature",
    "charge temperature": "{stage}charge_temperature",
    "discharge temperature": "{stage}discharge_temperature",
    "peak temperature": "{stage}peak_temperature",
    "mass per stroke": "{stage}mass_per_stroke",
    "volumetric efficiency": "{stage}volumetric_efficiency",
    "compression work": "{stage}compression_work",
    "wall, coldest": "{stage}wall_temperature.min",
    "wall, mean": "{stage}wall_temperature.mean",
    "wall, hottest": "{stage}wall_temperature.max",
    "exhaust at the port": "port_temperature[{node}]",
    "jacket inlet": "{stage}jacket.inlet_temperature",
    "jacket vent": "{stage}jacket.outlet_temperature",
    "jacket heat": "{stage}jacket.heat",
    "back-pressure, mean": "back_pressure_mean[{node}]",
    "back-pressure, peak": "back_pressure_peak[{node}]",
    "equivalent C": "{stage}jacket.sonic_conductance",
    "equivalent b": "{stage}jacket.critical_pressure_ratio",
}


def field_path(machine: str, label: str, stage: str = "", node: int = 0) -> str:
    """Return the place of a quantity of the comparison, by its label."""
    return f"{machine}." + _PLACES[label].format(stage=stage, node=node)
