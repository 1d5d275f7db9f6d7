"""What the walls of a machine store: heat capacities in the core's own cells.

A jacket's ribs, the drive's piston and rod, fittings and the frame are left out; a piston stores
with its crown and is taken as solid metal of its barrel; a tube or shell of low conductivity stores
at its inner face.
"""

from __future__ import annotations

import math
from typing import Any

from jacketcalc.core.layout import blank
from jacketcalc.core.machine import number_volumes
from jacketcalc.core.resolution import Resolution
from jacketcalc.geometry import barrel_outside, circle_area, outside_diameter
from jacketcalc.inputs import Machine, Solid, Stage

END_COVER = 5.0
"""Thickness of the drive's end covers over that of its wall: judgement [-]."""
LINE_WALL = 0.25
"""Wall of the tube between two stages over its bore: judgement, a high-pressure tube [-]."""


def pack_storage(machine: Machine, record: Any, resolution: Resolution) -> Any:
    """Return the core's record of what a machine's walls store; its step is not set.

    Parameters
    ----------
    machine : the machine
    record : the core's record of it
    resolution : rings and cells
    """
    storage = blank("Storage")
    for i, stage in enumerate(machine.stages):
        capacity = _volumetric(stage.material)
        outside = circle_area(barrel_outside(stage))
        ring = stage.barrel_length / resolution.rings
        storage["ring"][i] = capacity * (outside - circle_area(stage.bore)) * ring
        storage["head"][i] = capacity * outside * stage.head_thickness
        storage["crown"][i] = capacity * circle_area(stage.bore) * stage.piston_length
        storage["line"][i] = capacity * _line_metal(stage)
    storage["drive"] = _volumetric(machine.drive.material) * _drive_metal(machine)
    for node, stage_of in enumerate(number_volumes(machine).node_stage):
        passage, cells = record["passage"][node], storage["outer"][node]
        tube = (machine.exhaust_1, machine.exhaust_2)[node].tube
        if tube is not None and float(passage["tube_length"]) > 0.0:
            metal = _ring_area(tube.bore, tube.wall) * tube.length / resolution.tube_cells
            cells[: resolution.tube_cells] = _volumetric(tube.material) * metal
        jacket = machine.stages[stage_of].jacket if stage_of >= 0 else None
        if jacket is not None and float(passage["present"]) > 0.0:
            bore = float(passage["shell_outside"]) - 2.0 * jacket.shell_thickness
            length = abs(float(passage["advance"])) / resolution.channel_cells
            metal = _ring_area(bore, jacket.shell_thickness) * length
            first = resolution.tube_cells
            cells[first : first + resolution.channel_cells] = _volumetric(jacket.shell) * metal
    storage["kept"][: number_volumes(machine).count] = 1.0
    return storage


def _volumetric(solid: Solid) -> float:
    """Heat capacity of a volume [J/(m3 K)]."""
    return solid.density * solid.specific_heat


def _ring_area(bore: float, wall: float) -> float:
    """Cross-section of a tube's wall [m2]."""
    return circle_area(outside_diameter(bore, wall)) - circle_area(bore)


def _drive_metal(machine: Machine) -> float:
    """Volume of the cylinders' walls and end covers [m3]."""
    drive = machine.drive
    covers = 2.0 * END_COVER * drive.wall_thickness
    outside = circle_area(outside_diameter(drive.bore, drive.wall_thickness))
    each = _ring_area(drive.bore, drive.wall_thickness) * drive.stroke + outside * covers
    return drive.cylinders * each


def _line_metal(stage: Stage) -> float:
    """Volume of the wall of the line before a stage [m3]."""
    if stage.line is None:
        return 0.0
    bore = stage.line.bore
    return math.pi * (bore + LINE_WALL * bore) * LINE_WALL * bore * stage.line.length
