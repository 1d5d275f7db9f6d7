"""The exhaust passage of one port in the sizes the march needs.

Tube, jacket and outlet stand in series. A part that a design lacks is given neutral sizes
(very wide, of no length), so that designs with and without it can be solved side by side.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from jacketcalc.correlations.heat import entrance_factor
from jacketcalc.correlations.outside import cylinder_resistance
from jacketcalc.designs import port_stages
from jacketcalc.geometry import (
    barrel_perimeter,
    circle_area,
    circle_diameter,
    fin_perimeter,
    helix_lead,
    helix_sizes,
    hole_area,
    mean_diameter,
    outside_diameter,
    passage_volume,
    radius_ratio,
    rib_height,
    shell_bore,
    shell_outside,
    shell_perimeter,
    turn_length,
)
from jacketcalc.inputs import Exhaust, Jacket, Machine, Stage, Tube
from jacketcalc.passage_ports import inlet_coefficient, outlet_coefficient

_BORE = circle_diameter(1.0)
ABSENT: Mapping[str, float] = {
    "tube_bore": _BORE,
    "tube_area": circle_area(_BORE),
    "tube_length": 0.0,
    "tube_roughness": 0.0,
    "tube_entrance": 2.0,
    "tube_loss": 0.0,
    "tube_wall_resistance": 1.0,
    "tube_outside": _BORE,
    "tube_emissivity": 0.9,
    "area": 1.0,
    "length": 0.0,
    "hydraulic_diameter": 0.01,
    "curvature_diameter": 0.1,
    "aspect": 0.5,
    "radius_ratio": 0.9,
    "roughness": 0.0,
    "entrance": 1.0,
    "barrel_perimeter": 0.0,
    "fin_perimeter": 0.0,
    "fin_height": 0.01,
    "fin_thickness": 0.01,
    "fin_conductivity": 10.0,
    "shell_perimeter": 0.0,
    "shell_resistance": 1.0,
    "shell_outside": 0.1,
    "shell_emissivity": 0.9,
    "leak_area": 0.0,
    "leak_slot": 1.0,
    "leak_height": 1e-4,
    "leak_share_of_turn": 0.1,
    "inlet_loss": 0.0,
    "outlet_area": 1.0,
    "outlet_loss": 0.0,
    "start": 0.0,
    "advance": 0.0,
    "silencer_sonic": 1e-2,
    "silencer_ratio": 0.5,
}
"""What the march is given for parts that are not there: 1 m2 wide and of no length, so that they
resist next to nothing. That they are not there is told by `tubed`, `present` and `obstructs`."""


@dataclass(frozen=True, kw_only=True)
class PassageGeometry:
    """Tube, helical channel and outlet in series."""

    tube_bore: float
    """Tube bore [m]."""
    tube_area: float
    """Tube flow area [m2]."""
    tube_length: float
    """Tube length [m]."""
    tube_roughness: float
    """Relative roughness of the tube [-]."""
    tube_entrance: float
    """Factor of the tube's entrance on its turbulent heat transfer [-]."""
    tube_loss: float
    """Fitting losses on the tube's dynamic pressure [-]."""
    tube_wall_resistance: float
    """Radial resistance of the tube wall times length [m K/W]."""
    tube_outside: float
    """Tube outer diameter [m]."""
    tube_emissivity: float
    """Emissivity of the tube's outside [-]."""
    area: float
    """Flow area of all starts [m2]."""
    length: float
    """Developed length at mid-depth [m]."""
    hydraulic_diameter: float
    """Hydraulic diameter of one channel [m]."""
    curvature_diameter: float
    """Diameter of curvature [m]."""
    aspect: float
    """Channel gap / clear width [-]."""
    radius_ratio: float
    """Cylinder outside / shell inside diameter [-]."""
    roughness: float
    """Relative roughness of the channel [-]."""
    entrance: float
    """Factor of the channel's entrance on its turbulent heat transfer [-]."""
    barrel_perimeter: float
    """Bare cylinder surface per length of channel, all starts [m]."""
    fin_perimeter: float
    """Rib surface joined to the cylinder per length of channel [m]; 0 if not joined."""
    fin_height: float
    """Height of a rib, to its free edge [m]."""
    fin_thickness: float
    """Thickness of a rib [m]."""
    fin_conductivity: float
    """Conductivity of a rib joined to the cylinder [W/(m K)]."""
    shell_perimeter: float
    """Shell surface per length of channel; ribs are not counted [m]."""
    shell_resistance: float
    """Radial resistance of the shell times its axial length [m K/W]."""
    shell_outside: float
    """Shell outer diameter [m]."""
    shell_emissivity: float
    """Emissivity of the shell's outside [-]."""
    leak_area: float
    """Slot over the rib tips, once round [m2]."""
    leak_slot: float
    """Rib thickness over twice the tip clearance [-]."""
    leak_height: float
    """Tip clearance [m]."""
    leak_share_of_turn: float
    """Length of channel between neighbouring ribs at one angle [m]."""
    inlet_loss: float
    """Entry loss on the channel's dynamic pressure; what feeds several starts included [-]."""
    outlet_area: float
    """All outlet holes [m2]."""
    outlet_loss: float
    """Outlet loss on the outlet's dynamic pressure; that of a gallery included [-]."""
    silencer_sonic: float
    """Sonic conductance of the silencer [m3/(s Pa)]."""
    silencer_ratio: float
    """Critical back-pressure ratio of the silencer [-]."""
    volume: float
    """Air in tube, channel and galleries [m3]."""
    start: float
    """Distance of the first end of the channel, in flow direction, from the head end [m]."""
    advance: float
    """Axial distance gained from inlet to outlet; negative towards the head [m]."""
    present: float
    """1 when there is a jacket, else 0 [-]."""
    tubed: float
    """1 when there is a tube, else 0 [-]."""
    obstructs: float
    """1 when anything lies between valve and ambient, else 0 [-]."""


def passage_geometries(machine: Machine) -> tuple[PassageGeometry, ...]:
    """Return the passage of each exhaust node of a machine."""
    nodes = port_stages(machine)
    exhausts = (machine.exhaust_1, machine.exhaust_2)
    if len(nodes) == 1 and exhausts[0].tube is None:
        exhausts = (exhausts[1], exhausts[0])
    return tuple(
        _geometry(exhausts[i], machine.stages[s] if s >= 0 else None) for i, s in enumerate(nodes)
    )


def _geometry(exhaust: Exhaust, stage: Stage | None) -> PassageGeometry:
    jacket = stage.jacket if stage is not None else None
    sizes = dict(ABSENT)
    if exhaust.tube is not None:
        sizes |= _tube_sizes(exhaust.tube)
    if stage is not None and jacket is not None:
        sizes |= _channel_sizes(stage, jacket, sizes["tube_area"])
    if exhaust.silencer is not None:
        sizes["silencer_sonic"] = exhaust.silencer.sonic
        sizes["silencer_ratio"] = exhaust.silencer.critical_back_pressure_ratio
    obstructs = exhaust.tube is not None or jacket is not None or exhaust.silencer is not None
    return PassageGeometry(
        **sizes,
        volume=passage_volume(exhaust.tube, stage),
        present=float(jacket is not None),
        tubed=float(exhaust.tube is not None),
        obstructs=float(obstructs),
    )


def _tube_sizes(tube: Tube) -> dict[str, float]:
    bore, outside = tube.bore, outside_diameter(tube.bore, tube.wall)
    return {
        "tube_bore": bore,
        "tube_area": circle_area(bore),
        "tube_length": tube.length,
        "tube_roughness": tube.roughness / bore,
        "tube_entrance": float(entrance_factor(bore, tube.length)),
        "tube_loss": tube.fitting_loss,
        "tube_wall_resistance": cylinder_resistance(bore, outside, tube.material.conductivity, 1.0),
        "tube_outside": outside,
        "tube_emissivity": tube.material.emissivity,
    }


def _channel_sizes(stage: Stage, jacket: Jacket, tube_area: float) -> dict[str, float]:
    helix = helix_sizes(stage, jacket)
    mean, inside = mean_diameter(stage, jacket), shell_bore(stage, jacket)
    flange = jacket.offset + jacket.length
    towards_flange = jacket.inlet_at == "head"
    resistance = cylinder_resistance(
        inside, shell_outside(stage, jacket), jacket.shell.conductivity, 1.0
    )
    return {
        "area": helix.flow_area,
        "length": helix.path_length,
        "hydraulic_diameter": helix.hydraulic_diameter,
        "curvature_diameter": helix.curvature_diameter,
        "aspect": jacket.gap / helix.clear_width,
        "radius_ratio": radius_ratio(stage, jacket),
        "roughness": jacket.roughness / helix.hydraulic_diameter,
        "entrance": float(entrance_factor(helix.hydraulic_diameter, helix.path_length)),
        "barrel_perimeter": barrel_perimeter(stage, jacket),
        "fin_perimeter": fin_perimeter(jacket),
        "fin_height": rib_height(jacket),
        "fin_thickness": jacket.rib,
        "fin_conductivity": stage.material.conductivity,
        "shell_perimeter": shell_perimeter(stage, jacket),
        "shell_resistance": resistance,
        "shell_outside": shell_outside(stage, jacket),
        "shell_emissivity": jacket.shell.emissivity,
        "leak_area": math.pi * mean * jacket.tip_clearance,
        "leak_slot": jacket.rib / (2 * max(jacket.tip_clearance, 1e-9)),
        "leak_height": jacket.tip_clearance,
        "leak_share_of_turn": turn_length(mean, helix_lead(jacket.pitch, jacket.starts))
        / jacket.starts,
        "inlet_loss": inlet_coefficient(jacket, helix.flow_area, tube_area),
        "outlet_area": hole_area(jacket, jacket.outlet_bore),
        "outlet_loss": outlet_coefficient(jacket, helix.flow_area),
        "start": jacket.offset if towards_flange else flange,
        "advance": jacket.length if towards_flange else -jacket.length,
    }
