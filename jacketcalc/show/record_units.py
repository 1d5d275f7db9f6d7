"""SI units of the records that stand in the JSON result beside the catalogue's results."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from jacketcalc.assessment.hand_check import HandCheck
from jacketcalc.assessment.limit_context import LimitFigure, SealChoice
from jacketcalc.assessment.result import (
    Band,
    Change,
    ConductanceRatio,
    LimitCheck,
    StageChange,
    Standing,
)
from jacketcalc.assessment.summary import Inputs
from jacketcalc.assessment.water_finding import Need
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import UNITS
from jacketcalc.core.pressure_budget import PressureBudget, PressurePart
from jacketcalc.core.profiles import Detail, PassageDetail, StageDetail
from jacketcalc.fill.result import Course, Fill, Peak
from jacketcalc.findings.cold import Cold
from jacketcalc.findings.water import Nearest
from jacketcalc.findings.water_path import WaterPlace
from jacketcalc.inputs import Receiver, Solid
from jacketcalc.studies.case_difference import WalkPart
from jacketcalc.studies.rival_table import RivalChange, RivalTerms

NO_UNIT = "-"
"""What stands for no unit in JSON."""


def _changes(*keys: str) -> dict[str, str]:
    """Return the units of the changes of results."""
    found = {o.key: UNITS[o.change_dimension] or NO_UNIT for o in OUTPUTS}
    return {key: found[key] for key in keys}


_BAND = _changes("delivered_mass_flow", "specific_air_consumption", "discharge_temperature")

RECORD_UNITS: Mapping[type[Any], Mapping[str, str]] = {
    Outcome: {"energy_balance": "W"},
    Cold: {"bound": "W", "used": "W"},
    Nearest: {"margin": "K", "temperature": "K", "point": "K", "pressure": "Pa", "distance": "m"},
    WaterPlace: {
        "dew_point_needed": "K", "air": "kg/s", "most": "kg/s", "blocked_volume": "m3",
        "time": "s", "margin_in_time": "K", "along": "m", "margin_along": "K",
    },
    Need: {"dew_point": "K", "humidity_class": NO_UNIT},
    Change: _changes(
        "delivered_mass_flow", "mass_per_cycle", "cycle_rate", "specific_air_consumption"
    ),
    StageChange: _changes(
        "compression_start_temperature", "discharge_temperature", "wall_temperature"
    ),
    Band: _BAND,
    Standing: _BAND,
    LimitCheck: dict.fromkeys(
        ("limit", "bare", "jacketed", "low", "high", "gas_bare", "gas_jacketed"), "K"
    ),
    SealChoice: dict.fromkeys(
        ("lowest", "highest", "hot_wall", "hot_gas", "cold_wall", "cold_gas"), "K"
    ),
    LimitFigure: dict.fromkeys(("limit", "bare", "jacketed"), "K"),
    ConductanceRatio: dict.fromkeys(("ratio", "each", "break_even", "solved", "curve"), NO_UNIT),
    RivalTerms: {
        "cooler": "W/K", "exchanger": "W/K", "fan_speed": "m/s", "water_flow": "m3/s",
        "water_temperature": "K", "water_gap": "m",
    },
    RivalChange: {
        "delivery": NO_UNIT, "air": NO_UNIT, "gas": "K", "discharge": "K", "seal": "K",
    },
    WalkPart: {"delivery": NO_UNIT, "alone": NO_UNIT, "gain": NO_UNIT, "hottest": "K"},
    Inputs: dict.fromkeys(("count", "assumed", "filled_in"), NO_UNIT),
    HandCheck: {"by_hand": "W", "found": "W"},
    Receiver: {
        "volume": "m3", "start_pressure": "Pa", "wall_mass": "kg", "diameter": "m", "surface": "m2",
        "bath_temperature": "K",
    },
    Solid: {
        "conductivity": "W/(m K)", "emissivity": NO_UNIT, "lowest": "K", "highest": "K",
        "density": "kg/m3", "specific_heat": "J/(kg K)",
    },
    Fill: {
        "pressure": "Pa", "time": "s", "cycles": NO_UNIT, "drive_air": "kg",
        "drive_air_volume": "m3", "stage_air": "kg", "delivered": "kg", "mass": "kg",
        "temperature": "K", "wall": "K", "rest_pressure": "Pa", "rest_share": NO_UNIT,
        "lowest_supply": "Pa", "mass_closure": NO_UNIT, "energy_closure": NO_UNIT,
        "steps": NO_UNIT, "rejected": NO_UNIT, "solves": NO_UNIT,
    },
    Peak: {"temperature": "K", "time": "s", "pressure": "Pa"},
    Course: {
        "time": "s", "pressure": "Pa", "temperature": "K", "wall": "K", "mass": "kg",
        "delivery": "kg/s", "cycle_rate": "1/s", "taken": "kg/s", "supply_pressure": "Pa",
        "discharge": "K", "seal": "K",
    },
    Detail: {"time": "s", "position": "m", "drive_pressure": "Pa"},
    PressureBudget: {"ports": NO_UNIT, "whole": "Pa"},
    PressurePart: {"loss": "Pa", "share": NO_UNIT},
    StageDetail: {
        "volume": "m3", "pressure": "Pa", "temperature": "K", "wall_position": "m",
        "wall_inside": "K", "wall_outside": "K", "head_temperature": "K",
        "crown_temperature": "K",
    },
    PassageDetail: {
        "position": "m", "temperature": "K", "pressure_peak": "Pa", "mach_peak": NO_UNIT,
        "wall_temperature": "K", "shell_temperature": "K", "coefficient": "W/(m2 K)",
        "time": "s", "port_pressure": "Pa", "port_temperature": "K", "flow": "kg/s",
    },
}  # fmt: skip
"""Record to the unit of each field that holds numbers."""
