"""Defaults that follow from other entries."""

from __future__ import annotations

import math

from jacketcalc.casefile.humidity_data import fill_intake
from jacketcalc.casefile.read_values import CaseView
from jacketcalc.flow_data import VALVE_AREA
from jacketcalc.geometry import (
    axial_width,
    circle_area,
    circle_diameter,
    clear_width,
    helix_lead,
    lead_angle,
    outside_diameter,
)
from jacketcalc.units import tidy

INLET_SHARE = 1.0 / 60.0
"""Effective suction valve area over piston area; practice, no source [-]."""
DELIVERY_SHARE = 1.0 / 120.0
"""Effective delivery valve area over piston area; practice, no source [-]."""
SHORTEST_PISTON = 0.020
"""Least piston length; practice, no source [m]."""
OUTLET_SHARE = 1.5
"""Outlet hole area over the channels' cross-section; practice, no source [-]."""

PORT_SHARE = 2.0
"""Cross-section of a port over its valve's effective area; practice, no source [-]."""
LINE_SHARE = 4.0
"""Cross-section of an interstage tube over the effective area of the suction valve that it feeds;
practice, no source [-]."""
LONGEST_LINE = 2.0
"""Longest interstage tube; what more a line holds is a bottle; practice, no source [m]."""
SHELL_SHARE = 0.7
"""Widest hole over the shell's inner diameter: it takes a quarter of its round; practice, no
source [-]."""


def fill_rule(rule: str, table: CaseView, stage: CaseView, drive: CaseView) -> float | None:
    """Return the number a rule gives, in SI, or None where what it needs is missing.

    Parameters
    ----------
    rule : str
        Name of the rule.
    table : CaseView
        Table in which the number is missing.
    stage : CaseView
        Stage that the table belongs to.
    drive : CaseView
        The drive.
    """
    if table.path == ("supply",):
        found = fill_intake(rule, table)
        return None if found is None else tidy(found)
    bore = stage.maybe("bore")
    if bore is None:
        return None
    match rule:
        case "inlet_conductance":
            number: float | None = _valve_conductance(bore, INLET_SHARE)
        case "delivery_conductance":
            number = _valve_conductance(bore, DELIVERY_SHARE)
        case "piston_length":
            number = max(1.2 * bore, SHORTEST_PISTON)
        case "barrel_length":
            number = _barrel_length(stage, drive)
        case "gallery_width":
            number = _gallery_width(table, stage)
        case "outlet_bore":
            number = _outlet_bore(table, stage)
        case "inlet_bore":
            number = _inlet_bore(table, stage)
        case "port_bore":
            number = _bore_of(table, PORT_SHARE)
        case "port_length":
            number = _port_length(stage, bore)
        case "line_bore":
            number = _bore_of(stage.inside("inlet"), LINE_SHARE)
        case "line_length":
            number = _line_length(table)
        case _:
            raise KeyError(rule)
    return None if number is None else tidy(number)


def _barrel_length(stage: CaseView, drive: CaseView) -> float | None:
    """Add up what the barrel must hold: stroke, clearance and piston."""
    stroke, clearance = drive.maybe("stroke"), stage.maybe("clearance")
    piston = stage.maybe("piston_length")
    if stroke is None or clearance is None or piston is None:
        return None
    return stroke * (1.0 + clearance) + piston


def _valve_conductance(bore: float, share: float) -> float:
    """Size a check valve by its piston; bore in m, conductance in m3/(s Pa)."""
    return share * circle_area(bore) / VALVE_AREA * 1e-8


def _bore_of(check: CaseView, share: float) -> float | None:
    """Size a bore by a valve's effective area."""
    sonic = check.maybe("C")
    return None if sonic is None else circle_diameter(share * VALVE_AREA * sonic / 1e-8)


def _port_length(stage: CaseView, bore: float) -> float | None:
    plate = stage.maybe("head_thickness")
    return None if plate is None else plate + bore / 2.0


def _line_length(line: CaseView) -> float | None:
    volume, bore = line.maybe("volume"), line.maybe("bore")
    if volume is None or bore is None:
        return None
    return min(volume / circle_area(bore), LONGEST_LINE)


def has_gallery(jacket: CaseView) -> bool:
    """Return whether several starts share galleries."""
    return jacket.word("feed") == "gallery" and (jacket.maybe("starts") or 1.0) > 1.0


def channel_width(jacket: CaseView, stage: CaseView) -> float | None:
    """Return the width of a channel between its ribs, square to the flow [m]."""
    bore, wall = stage.maybe("bore"), stage.maybe("wall_thickness")
    if bore is None or wall is None or not jacket.holds("gap", "pitch", "rib", "starts"):
        return None
    mean = outside_diameter(bore, wall) + jacket.number("gap")
    lead = helix_lead(jacket.number("pitch"), jacket.number("starts"))
    return clear_width(max(_axial_width(jacket), 0.0), lead_angle(mean, lead))


def _axial_width(jacket: CaseView) -> float:
    return axial_width(jacket.number("pitch"), jacket.number("rib"))


def widest_hole(jacket: CaseView, stage: CaseView) -> float | None:
    """Return the widest hole that stays within its channel or gallery, and its shell [m]."""
    width = channel_width(jacket, stage)
    if width is not None and has_gallery(jacket):
        width = jacket.maybe("gallery_width")
    return None if width is None else min(width, _widest_in_shell(jacket, stage))


def _widest_in_shell(jacket: CaseView, stage: CaseView) -> float:
    outside = outside_diameter(stage.number("bore"), stage.number("wall_thickness"))
    return SHELL_SHARE * outside_diameter(outside, jacket.number("gap"))


def _gallery_width(jacket: CaseView, stage: CaseView) -> float | None:
    """Let the groove take the holes, and each way round it half of what the channels take."""
    wide = _wide_outlet(jacket, stage)
    if wide is None or not has_gallery(jacket):
        return None
    half = _axial_width(jacket) * jacket.number("starts") / 2.0
    holes = min(max(wide, *_tube_bores(jacket, stage), 0.0), _widest_in_shell(jacket, stage))
    return _in_steps(max(half, holes), jacket, up=True)


def _wide_outlet(jacket: CaseView, stage: CaseView) -> float | None:
    """Size an outlet hole by the cross-section of the channels it serves, square to the helix."""
    width = channel_width(jacket, stage)
    if width is None:
        return None
    served = jacket.number("starts") if has_gallery(jacket) else 1.0
    return circle_diameter(OUTLET_SHARE * served * jacket.number("gap") * width)


def _outlet_bore(jacket: CaseView, stage: CaseView) -> float | None:
    return _in_steps(_fitted(_wide_outlet(jacket, stage), jacket, stage), jacket, up=False)


def _in_steps(size: float | None, jacket: CaseView, *, up: bool) -> float | None:
    """Round a size to the step in which the shop makes them, where it states one."""
    step = jacket.values.at("make").maybe("step")
    if size is None or not step or size < step:
        return size
    return (math.ceil(size / step - 1e-6) if up else math.floor(size / step + 1e-6)) * step


def _inlet_bore(jacket: CaseView, stage: CaseView) -> float | None:
    """Take the tube's bore; where there is no tube, the outlet's."""
    bores = _tube_bores(jacket, stage)
    return _fitted(max(bores), jacket, stage) if bores else _outlet_bore(jacket, stage)


def _tube_bores(jacket: CaseView, stage: CaseView) -> list[float]:
    """Return the bores of the tubes that feed a stage's jacket."""
    ports = (jacket.values.at("exhaust", key) for key in ("port_1", "port_2"))
    own = [p.inside("tube") for p in ports if p.word("to") == stage.word("name") and p.has("tube")]
    return [bore for bore in (tube.maybe("bore") for tube in own) if bore is not None]


def _fitted(bore: float | None, jacket: CaseView, stage: CaseView) -> float | None:
    """Return a bore, or the widest hole that fits, rounded down to a size that can be typed."""
    widest = widest_hole(jacket, stage)
    if bore is None or widest is None or bore <= widest:
        return None if widest is None else bore
    step = 10.0 ** (math.floor(math.log10(widest)) - 2) if widest > 0.0 else 1.0
    return math.floor(widest / step + 1e-6) * step
