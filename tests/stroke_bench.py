"""One stroke of the core on the bench: chosen contents, chosen walls, chosen heat laws."""

from __future__ import annotations

from typing import Any

import numpy as np

from jacketcalc.core.layout import blank, constants, records
from jacketcalc.core.machine import number_volumes
from jacketcalc.core.parts import PassageParts, StrokeParts
from jacketcalc.designs import Design
from jacketcalc.inputs import Machine


def without_heat(record: Any, nusselt: float = 0.0) -> None:
    """Give stages one Nusselt number on the bore and no phase lead, and the drive nothing."""
    laws = record["cylinder"]
    laws["model"], laws["annand"] = constants()["ANNAND"], (nusselt, 0.0, 0.0)
    laws["drive"] = 0.0


def ideal_ends(record: Any, cp: float) -> None:
    """Give ambient air and the supply's an ideal gas's enthalpy."""
    for place in ("ambient", "supply"):
        record[f"{place}_enthalpy"] = cp * record[f"{place}_temperature"]


def open_curves(parts: StrokeParts, machine: Machine, T: float) -> Any:
    """Flow curves of nodes that open into the air, shape (node,)."""
    passages = PassageParts(Design(machine=machine), gas=parts.gas)
    walls = passages.walls(T, T)
    nodes = range(len(number_volumes(machine).nodes))
    found = np.zeros(len(nodes), dtype=records()["Curve"])
    for node in nodes:
        found[node] = passages.curve(T, walls, node)[0]
    return found


def start_volumes(record: Any, number: int) -> Any:
    """Volumes at the start of a stroke, where the fed chamber is smallest [m3]."""
    volume, stroke = record["fixed_volume"].copy(), float(record["stroke"])
    volume[2 - number] += record["drive_area"][2 - number] * stroke
    first = 2 + int(record["nodes"])
    for i in range(int(record["stages"])):
        stage = record["stage"][i]
        if int(stage["compresses_on"]) == number:
            volume[first + i] += stage["area"] * stroke
    return volume


def unknowns_of(
    parts: StrokeParts, number: int, p: Any, T: float, *, period: float, wall: Any, drive: float
) -> Any:
    """Contents at pressures and one temperature, and walls, at the start of a stroke.

    Parameters
    ----------
    parts : the machine's strokes
    number : stroke, 1 or 2
    p : pressure of every volume [Pa]
    T : temperature of all of them [K]
    period : cycle time that the heat laws assume [s]
    wall : temperature of each stage's barrel, head and crown [K]
    drive : of the drive's wall [K]
    """
    start = blank("Unknowns")
    volume = start_volumes(parts.record, number)
    for v, pressure in enumerate(p):
        rho, h = parts.gas.state(T, float(pressure))[:2]
        start["mass"][v] = rho * volume[v]
        start["energy"][v] = rho * volume[v] * h - pressure * volume[v]
    for i, temperature in enumerate(np.atleast_1d(wall)):
        start["inside"][i] = start["outside"][i] = temperature
        start["head"][i] = start["crown"][i] = temperature
    start["drive_wall"], start["period"] = drive, period
    return start
