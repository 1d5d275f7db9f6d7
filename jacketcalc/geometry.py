"""Sizes that follow from others: circles, cylinders, helical channels and their galleries.

The case file, the physics and the figures all take them from here. A channel's section is square
to its flow; its path is that of its middle, half the gap above the cylinder.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from jacketcalc.inputs import Drive, Jacket, Stage, Tube


def circle_area(diameter: float) -> float:
    """Return the area of a circle [m2]."""
    return math.pi / 4 * diameter**2


def circle_diameter(area: float) -> float:
    """Return the diameter of a circle of an area [m]."""
    return math.sqrt(4 * area / math.pi)


def outside_diameter(bore: float, wall: float) -> float:
    """Return the outer diameter of a tube or cylinder [m]."""
    return bore + 2 * wall


def piston_areas(drive: Drive) -> tuple[float, float]:
    """Return the pistons' area in chambers 1 and 2 of all drive cylinders, rods left out [m2]."""
    bore, n = circle_area(drive.bore), drive.cylinders
    return n * (bore - circle_area(drive.rod_1)), n * (bore - circle_area(drive.rod_2))


def area_ratio(drive: Drive, stage: Stage) -> float:
    """Return the drive's area on a stage's compression stroke over the stage's area [-]."""
    return piston_areas(drive)[stage.compresses_on - 1] / circle_area(stage.bore)


def swept_volume(area: float, stroke: float) -> float:
    """Return what a piston of an area sweeps in a stroke [m3]."""
    return area * stroke


def clearance_volume(stage: Stage, stroke: float) -> float:
    """Return what is left of a stage's chamber at the end of its compression [m3]."""
    return circle_area(stage.bore) * stage.clearance * stroke


def helix_lead(pitch: float, starts: float) -> float:
    """Return the axial advance per turn of one start [m]."""
    return pitch * starts


def lead_angle(mean_diameter: float, lead: float) -> float:
    """Return the angle between a helix and a plane square to its axis [rad]."""
    return math.atan(lead / (math.pi * mean_diameter))


def turn_length(mean_diameter: float, lead: float) -> float:
    """Return the developed length of one turn of a helix [m]."""
    return math.hypot(math.pi * mean_diameter, lead)


def axial_width(pitch: float, rib: float) -> float:
    """Return the width of a channel between its ribs, along the axis [m]."""
    return pitch - rib


def clear_width(axial: float, angle: float) -> float:
    """Return the width of a channel square to its flow, from that along the axis [m]."""
    return axial * math.cos(angle)


def hydraulic_diameter(gap: float, width: float) -> float:
    """Return four times area over wetted perimeter of a channel of a gap and a width [m]."""
    return 2.0 * gap * width / (gap + width)


def helix_curvature(mean_diameter: float, lead: float) -> float:
    """Return the diameter of curvature of a helix [m].

    References
    ----------
    VDI Heat Atlas, section Gc; exact for a circular helix.
    """
    slope = lead / (math.pi * mean_diameter)
    return mean_diameter * (1.0 + slope * slope)


def helix_turns(jacket_length: float, lead: float) -> float:
    """Return the turns of each start over a jacket length [-]."""
    return jacket_length / lead


@dataclass(frozen=True, kw_only=True)
class HelixSizes:
    """A helical channel."""

    turns: float
    """Turns of each start [-]."""
    lead_angle: float
    """Angle between channel and a plane square to the axis [rad]."""
    path_length: float
    """Developed length of the channel at mid-depth [m]."""
    clear_width: float
    """Width of the channel between ribs, square to the flow [m]."""
    flow_area: float
    """Flow area of all starts together [m2]."""
    hydraulic_diameter: float
    """4 x area / wetted perimeter [m]."""
    curvature_diameter: float
    """Diameter of curvature of the helix [m]."""
    volume: float
    """Air in the channel [m3]."""


def helix_sizes(stage: Stage, jacket: Jacket) -> HelixSizes:
    """Work out the channel of a stage's jacket."""
    mean, lead = mean_diameter(stage, jacket), helix_lead(jacket.pitch, jacket.starts)
    angle = lead_angle(mean, lead)
    turns = helix_turns(jacket.length, lead)
    path = turns * turn_length(mean, lead)
    width = clear_width(axial_width(jacket.pitch, jacket.rib), angle)
    area = jacket.starts * jacket.gap * width
    return HelixSizes(
        turns=turns,
        lead_angle=angle,
        path_length=path,
        clear_width=width,
        flow_area=area,
        hydraulic_diameter=hydraulic_diameter(jacket.gap, width),
        curvature_diameter=helix_curvature(mean, lead),
        volume=area * path,
    )


def barrel_outside(stage: Stage) -> float:
    """Return the outer diameter of a stage's barrel [m]."""
    return outside_diameter(stage.bore, stage.wall_thickness)


def mean_diameter(stage: Stage, jacket: Jacket) -> float:
    """Return the diameter of a helix at mid-depth of its channel [m]."""
    return barrel_outside(stage) + jacket.gap


def shell_bore(stage: Stage, jacket: Jacket) -> float:
    """Return the inner diameter of a jacket's shell [m]."""
    return outside_diameter(barrel_outside(stage), jacket.gap)


def shell_outside(stage: Stage, jacket: Jacket) -> float:
    """Return the outer diameter of a jacket's shell [m]."""
    return outside_diameter(shell_bore(stage, jacket), jacket.shell_thickness)


def radius_ratio(stage: Stage, jacket: Jacket) -> float:
    """Return the barrel's outer over the shell's inner diameter [-]."""
    return barrel_outside(stage) / shell_bore(stage, jacket)


def rib_height(jacket: Jacket) -> float:
    """Return the height of a rib from its root to its free edge: gap - tip clearance [m]."""
    return jacket.gap - jacket.tip_clearance


def gallery_volume(stage: Stage, jacket: Jacket) -> float:
    """Return the air in both galleries of a stage's jacket [m3]."""
    return 2 * math.pi * mean_diameter(stage, jacket) * jacket.gap * jacket.gallery_width


def groove_area(jacket: Jacket) -> float:
    """Return the cross-section of a gallery, both ways round from its hole [m2]."""
    return 2 * jacket.gap * jacket.gallery_width


def hole_area(jacket: Jacket, bore: float) -> float:
    """Return the area of all holes of a bore at one end of a jacket [m2]."""
    return jacket.holes * circle_area(bore)


def barrel_perimeter(stage: Stage, jacket: Jacket) -> float:
    """Return the barrel's surface between ribs per length of channel, all starts [m]."""
    width = jacket.starts * helix_sizes(stage, jacket).clear_width
    return width * barrel_outside(stage) / mean_diameter(stage, jacket)


def shell_perimeter(stage: Stage, jacket: Jacket) -> float:
    """Return the shell's surface between ribs per length of channel, all starts [m]."""
    width = jacket.starts * helix_sizes(stage, jacket).clear_width
    return width * shell_bore(stage, jacket) / mean_diameter(stage, jacket)


def fin_perimeter(jacket: Jacket) -> float:
    """Return the sides of ribs that are one piece with the barrel, per length of channel [m]."""
    return 2.0 * jacket.starts * rib_height(jacket) if jacket.rib_joint == "barrel" else 0.0


def tube_volume(tube: Tube) -> float:
    """Return the air in a tube [m3]."""
    return circle_area(tube.bore) * tube.length


def jacket_volume(stage: Stage, jacket: Jacket) -> float:
    """Return the air in channels and galleries of a stage's jacket [m3]."""
    return helix_sizes(stage, jacket).volume + gallery_volume(stage, jacket)


def passage_volume(tube: Tube | None, stage: Stage | None) -> float:
    """Return the air in an exhaust passage: tube, channels and galleries, what there is [m3]."""
    volume = tube_volume(tube) if tube is not None else 0.0
    if stage is not None and stage.jacket is not None:
        volume += jacket_volume(stage, stage.jacket)
    return volume
