"""The one list of a machine's results, in the order of tables and columns.

What is told of an `Outcome` on screen, in JSON, in studies, workbooks and reports is read from
here. A new entry appears in all of them.
"""

from __future__ import annotations

from typing import Any

from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import Output, Outputs, Owner, View
from jacketcalc.flow.iso6358 import REFERENCE_DENSITY
from jacketcalc.gas.stage_gas import reference_density

_SCREEN: frozenset[View] = frozenset({"screen"})
_SUMMARY: frozenset[View] = frozenset({"screen", "json"})
_STUDY: frozenset[View] = frozenset({"study"})
_COMPARED: frozenset[View] = frozenset({"study", "changes"})
_NOWHERE: frozenset[View] = frozenset()
"""For numbers of the JSON result's `detail` alone."""


def _temperature(key: str, label: str, **more: Any) -> Output:
    return Output(key=key, label=label, dimension="temperature", change="difference", **more)


def _litre(outcome: Outcome) -> float:
    """Return the density that a litre (ANR) of what is delivered counts with [kg/m3]."""
    return reference_density(outcome.stage_gas.name if outcome.stage_gas else "air")


def _pressure(key: str, label: str, **more: Any) -> Output:
    return Output(key=key, label=label, dimension="pressure", on=_NOWHERE, **more)


def _number(key: str, label: str, owner: Owner = "machine", **more: Any) -> Output:
    return Output(key=key, label=label, dimension="number", owner=owner,
                  **{"on": _NOWHERE, **more})  # fmt: skip


_MACHINE = (
    Output(key="delivered_mass_flow", label="delivery", dimension="hourly mass flow",
           symbol=("q", "m"), on=_SUMMARY | _COMPARED, heading=("delivers", "")),
    Output(key="delivered_volume_flow", label="delivery (ANR)", dimension="volume flow",
           compute=lambda o, _: o.delivered_mass_flow / _litre(o), on=_SUMMARY, digits=3),
    Output(key="cycle_rate", label="cycle rate", dimension="rate", on=_SUMMARY | _COMPARED,
           heading=("rate", "")),
    Output(key="mass_per_cycle", label="delivered a cycle", dimension="small mass", on=_COMPARED),
    Output(key="drive_air_mass_flow", label="drive air", dimension="hourly mass flow",
           symbol=("q", "m,d"), on=_SUMMARY),
    Output(key="drive_air_volume_flow", label="drive air (ANR)", dimension="volume flow",
           compute=lambda o, _: o.drive_air_mass_flow / REFERENCE_DENSITY, on=_SUMMARY, digits=3),
    Output(key="specific_air_consumption", label="specific air consumption", dimension="share",
           on=_SUMMARY | _COMPARED, heading=("drive air", ""), of_delivery=True),
    _temperature("hottest_discharge", "hottest discharge", on=_COMPARED, of_delivery=True),
    Output(key="drive_work", label="drive work per cycle", dimension="energy", on=_SCREEN),
    _temperature("drive_wall_temperature", "drive cylinder wall", on=_SCREEN),
    Output(key="force_margin", label="drive force margin", dimension="percent", on=_STUDY | _SCREEN,
           change="difference"),
    Output(key="stall_pressure", label="stall pressure", dimension="pressure", on=_STUDY | _SCREEN,
           heading=("stalls at", "")),
    Output(key="frost_margin", label="frost margin", dimension="temperature difference",
           field="water.passage_wall.margin", change="difference", on=_STUDY, needs_jacket=True),
    Output(key="drive_gas_heat", label="heat of the drive's gas", dimension="power", on=_NOWHERE),
    _temperature("coldest_gas", "coldest gas", on=_NOWHERE),
    _temperature("hottest_gas", "hottest gas", on=_NOWHERE),
    _temperature("hottest_seal", "hottest wall at a seal", on=_NOWHERE),
    _temperature("coldest_passage", "coldest air in a passage", on=_NOWHERE),
    _pressure("stall_reach", "reached where it stalls"),
    _pressure("stall_asked", "asked where it stalls"),
    _pressure("lowest_pressure", "lowest pressure"),
    _pressure("highest_pressure", "highest pressure"),
    Output(key="wait", label="pause added at each end", dimension="time", on=_NOWHERE),
    Output(key="free_cycle_rate", label="cycle rate without it", dimension="rate", on=_NOWHERE),
    _number("turns", "reversals within a stroke", on=frozenset({"json"})),
    _number("energy_closure", "energy closure"),
    _number("mass_closure", "mass closure"),
    _number("residual", "residual"),
)  # fmt: skip

_STAGE = (
    _temperature("compression_start_temperature", "temperature at start of compression",
                 owner="stage", heading=("charge", ""), of_delivery=True),
    _temperature("discharge_temperature", "discharge temperature", owner="stage",
                 heading=("discharge", ""), of_delivery=True),
    _temperature("peak_temperature", "peak temperature", owner="stage", on=_SUMMARY),
    Output(key="mass_per_stroke", label="mass per stroke", dimension="small mass", owner="stage",
           heading=("mass a stroke", "")),
    Output(key="volumetric_efficiency", label="volumetric efficiency", dimension="ratio",
           owner="stage", on=_SUMMARY, digits=3),
    Output(key="indicated_work", label="indicated work", dimension="energy", owner="stage",
           on=_SUMMARY),
    _temperature("wall_coldest", "wall, coldest", owner="stage", on=_SUMMARY,
                 field="stages[{stage}].wall_temperature.min"),
    _temperature("wall_temperature", "wall, mean", owner="stage", heading=("wall, mean", ""),
                 field="stages[{stage}].wall_temperature.mean"),
    _temperature("wall_hottest", "wall, hottest", owner="stage",
                 field="stages[{stage}].wall_temperature.max"),
    _temperature("surface_head", "surface, head end", owner="stage", on=_SUMMARY,
                 field="stages[{stage}].surface.head"),
    _temperature("surface_middle", "surface, middle", owner="stage", on=_SUMMARY,
                 field="stages[{stage}].surface.middle"),
    _temperature("surface_flange", "surface, flange end", owner="stage", on=_SUMMARY,
                 field="stages[{stage}].surface.flange"),
    _temperature("seal_temperature", "seal", owner="stage", on=_STUDY),
    _temperature("stroke_end_temperature", "gas at stroke end", owner="stage", on=_NOWHERE),
    _temperature("suction_temperature", "suction temperature", owner="stage", on=_NOWHERE),
    _pressure("compression_start_pressure", "pressure at start of compression", owner="stage"),
    _pressure("delivery_pressure", "delivery pressure", owner="stage"),
    Output(key="gas_heat", label="heat of its gas", dimension="power", owner="stage", on=_NOWHERE),
    Output(key="suction_port_heat", label="heat in the suction port", dimension="power",
           owner="stage", on=_NOWHERE),
    Output(key="delivery_port_heat", label="heat in the delivery port", dimension="power",
           owner="stage", on=_NOWHERE),
)  # fmt: skip

_EXHAUST = (
    _temperature("exhaust_temperature", "exhaust at the port", owner="port", on=_SCREEN,
                 field="port_temperature[{node}]"),
    _temperature("inlet_temperature", "jacket inlet", owner="jacket", on=_SUMMARY),
    _temperature("outlet_temperature", "jacket outlet", owner="jacket", on=_SUMMARY),
    Output(key="velocity_peak", label="velocity, peak", dimension="velocity", owner="jacket",
           on=_STUDY, digits=3, heading=("velocity", "")),
    _number("mach_peak", "Mach, peak", "jacket", symbol=("Ma", ""), on=_STUDY, digits=3,
            heading=("Mach", "peak")),
    Output(key="coefficient", label="heat transfer coefficient",
           dimension="heat transfer coefficient", owner="jacket", symbol=("α", ""),
           on=_STUDY, digits=3, heading=("h", "")),
    Output(key="jacket_heat", label="jacket heat", dimension="power", owner="jacket",
           field="stages[{stage}].jacket.heat", heading=("heat", "")),
    Output(key="exhaust_pressure_mean", label="back-pressure, mean", owner="port",
           dimension="pressure difference", field="back_pressure_mean[{node}]", change="none",
           on=_SCREEN, digits=3),
    Output(key="exhaust_pressure_peak", label="back-pressure, peak", owner="port",
           dimension="pressure difference", field="back_pressure_peak[{node}]", change="none",
           on=_SCREEN, digits=3),
    Output(key="back_pressure_mean", label="back-pressure, mean", owner="jacket",
           dimension="pressure difference", change="none", on=frozenset({"json", "study"}),
           digits=3, heading=("back-p.", "mean")),
    Output(key="back_pressure_peak", label="back-pressure, peak", owner="jacket",
           dimension="pressure difference", change="none", on=frozenset({"json", "study"}),
           digits=3, heading=("back-p.", "peak")),
    Output(key="sonic_conductance", label="equivalent C", dimension="conductance", owner="jacket",
           symbol=("C", ""), on=_SUMMARY, digits=3),
    Output(key="critical_back_pressure_ratio", label="equivalent b", dimension="ratio",
           owner="jacket", symbol=("b", ""), on=_SUMMARY, digits=2),
    _temperature("passage_coldest", "passage wall, coldest", owner="jacket", on=_STUDY,
                 field="stages[{stage}].jacket.coldest_wall"),
    Output(key="rest_heat", label="heat taken at rest", dimension="power", owner="jacket",
           on=_NOWHERE),
    _temperature("port_temperature", "exhaust of the pulses at the port", owner="jacket",
                 on=_NOWHERE),
    _temperature("port_coldest", "coldest exhaust at the port", owner="jacket", on=_NOWHERE),
    _number("reynolds_mean", "Reynolds number, mean", "jacket", symbol=("Re", "")),
    _number("reynolds_peak", "Reynolds number, peak", "jacket", symbol=("Re", "")),
    _number("leak_share", "share over the rib tips", "jacket"),
    _number("transit_share", "transit over pulse", "jacket"),
)  # fmt: skip

_WATER = (
    Output(key="condensation_margin", label="wall over the dew point", owner="stage",
           dimension="temperature difference", field="water.stages[{stage}].margin",
           change="difference", on=_STUDY, needs_jacket=True),
)  # fmt: skip

OUTPUTS: Outputs = _MACHINE + _STAGE + _EXHAUST + _WATER
"""Every number of an `Outcome` that is not a part of its energy balance, cold or water."""
