"""Rules that scale a jacket to its stage, its stroke and the valve."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jacketcalc.flow_data import throat_area
from jacketcalc.geometry import (
    axial_width,
    clear_width,
    helix_curvature,
    hydraulic_diameter,
    lead_angle,
    outside_diameter,
)

PASSAGE_SHARE = 5.0
"""Area of a jacket's channel over the valve's throat: its C is then about twice the valve's [-]."""
ASPECT = 0.35
"""Largest gap of a channel over its width [-]."""
CURVED = 0.14
"""Largest hydraulic diameter over diameter of curvature: to there laws of coils are stated [-]."""
FEWEST_TURNS = 2
"""Turns that are wound even where the channel bends too sharply then [-]."""
RIB = 3e-3
"""Rib, where its pitch is four times as wide at least [m]."""
LEAST_GAP = 1e-3
"""Least gap [m]."""
LEAST_SHELL = 4e-3
"""Least shell wall [m]."""
OFFSET, LEAST_OFFSET = 0.012, 0.005
"""Start of the winding from the head end, and of a short stroke's [m]."""
SHORT = 0.060
"""Stroke below which an offset is short [m]."""
WOUND = 0.92
"""Most of a jacket's length over stroke [-]."""
COVERED = 1.15
"""Most of a barrel under the channel, half its width beyond either end too, over stroke: barrels
hold clearance and piston beside the stroke [-]."""


@dataclass(frozen=True, kw_only=True)
class QuickJacket:
    """A jacket scaled to its stage."""

    gap: float
    """Radial height [m]."""
    pitch: float
    """Pitch [m]."""
    rib: float
    """Rib [m]."""
    length: float
    """Jacket length [m]."""
    offset: float
    """Start of the winding from the head end [m]."""
    turns: int
    """Whole turns [-]."""
    shell: float
    """Shell wall [m]."""


def wind_jacket(barrel: float, stroke: float, sonic: float) -> QuickJacket:
    """Wind a channel of the wanted area over most of the stroke, from head to flange.

    Of the whole numbers of turns the largest is taken whose channel is neither too high for its
    width nor too high for its bend; two where none is.
    """
    area = PASSAGE_SHARE * throat_area(sonic)
    turns = math.floor(WOUND * stroke / (math.sqrt(area / ASPECT) + RIB))
    while turns > FEWEST_TURNS and not _bends_well(barrel, _widest(stroke, turns), area):
        turns -= 1
    turns = max(turns, FEWEST_TURNS)
    pitch = tenths(_widest(stroke, turns))
    rib = min(RIB, tenths(0.25 * pitch))
    gap = max(tenths(_gap(barrel, pitch, rib, area)), LEAST_GAP)
    shell = max(LEAST_SHELL, half_millimetres_up(outside_diameter(barrel, gap) / 20.0))
    least = OFFSET if stroke >= SHORT else LEAST_OFFSET
    offset = max(least, half_millimetres_up(0.5 * (pitch + rib)))
    return QuickJacket(gap=gap, pitch=pitch, rib=rib, length=round(turns * pitch, 6),
                       offset=offset, turns=turns, shell=shell)  # fmt: skip


def _widest(stroke: float, turns: int) -> float:
    """Return the widest pitch of so many turns between the ends of a barrel [m]."""
    return min(WOUND * stroke / turns, COVERED * stroke / (turns + 1))


def _gap(barrel: float, pitch: float, rib: float, area: float) -> float:
    """Return the gap of a channel of one start and of an area [m]."""
    gap = 0.0
    for _ in range(5):
        gap = area / clear_width(axial_width(pitch, rib), lead_angle(barrel + gap, pitch))
    return gap


def _bends_well(barrel: float, pitch: float, area: float) -> bool:
    """Return whether a channel's gap suits its width, and its bend the laws of coils."""
    gap = _gap(barrel, pitch, RIB, area)
    width = area / gap
    curvature = hydraulic_diameter(gap, width) / helix_curvature(barrel + gap, pitch)
    return gap <= ASPECT * width and curvature <= CURVED


def half_millimetres(size: float) -> float:
    """Return a size rounded down to half a millimetre, at least 1 mm [m]."""
    return round(max(math.floor(size * 2e3 + 1e-6), 2) / 2e3, 6)


def half_millimetres_up(size: float) -> float:
    """Return a size rounded up to half a millimetre [m]."""
    return round(math.ceil(size * 2e3 - 1e-6) / 2e3, 6)


def tenths(size: float) -> float:
    """Return a size rounded down to a tenth of a millimetre [m]."""
    return round(math.floor(size * 1e4 + 1e-6) / 1e4, 6)
