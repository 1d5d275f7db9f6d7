"""Defaults that follow from other entries."""

from __future__ import annotations

import math

from jacketcalc.casefile.values import View
from jacketcalc.units import tidy

VALVE_AREA = 5.020e-6
"""Effective area of a nozzle per dm3/(s bar) of sonic conductance, ISO 6358-1 [m2]."""
INLET_SHARE = 1.0 / 60.0
"""Effective suction valve area over piston area; practice, no source [-]."""
DELIVERY_SHARE = 1.0 / 120.0
"""Effective delivery valve area over piston area; practice, no source [-]."""
SHORTEST_PISTON = 0.020
"""Least piston length; practice, no source [m]."""
VENT_SHARE = 1.5
"""Vent hole area over the channels' cross-section; practice, no source [-]."""


def fill_rule(rule: str, table: View, stage: View, drive: View) -> float | None:
    """Return the number a rule gives, in SI, or None where what it needs is missing.

    Parameters
    ----------
    rule : str
        Name of the rule.
    table : View
        Table in which the number is missing.
    stage : View
        Stage that the table belongs to.
    drive : View
        The drive.
    """
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
        case "vent_bore":
            number = _vent_bore(table, stage, bore)
        case _:
            raise KeyError(rule)
    return None if number is None else tidy(number)


def _barrel_length(stage: View, drive: View) -> float | None:
    """Add up what the barrel must hold: stroke, clearance and piston."""
    stroke, clearance = drive.maybe("stroke"), stage.maybe("clearance")
    piston = stage.maybe("piston_length")
    if stroke is None or clearance is None or piston is None:
        return None
    return stroke * (1.0 + clearance) + piston


def _valve_conductance(bore: float, share: float) -> float:
    """Size a check valve by its piston; bore in m, conductance in m3/(s Pa)."""
    return share * math.pi / 4.0 * bore**2 / VALVE_AREA * 1e-8


def _vent_bore(jacket: View, stage: View, bore: float) -> float | None:
    """Size the vent hole by the cross-section of all channels, square to the helix."""
    wall = stage.maybe("wall_thickness")
    if wall is None or not jacket.holds("gap", "pitch", "land", "starts"):
        return None
    gap, pitch, land = (jacket.number(key) for key in ("gap", "pitch", "land"))
    starts = jacket.number("starts")
    around = math.pi * (bore + 2.0 * wall + gap)
    width = (pitch - land) * around / math.hypot(around, pitch * starts)
    area = starts * gap * max(width, 0.0)
    return math.sqrt(4.0 / math.pi * VENT_SHARE * area)
