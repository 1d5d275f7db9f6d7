"""Sizes of a receiver that follow from its volume and its pressure."""

from __future__ import annotations

import math

from jacketcalc.casefile.read_values import Values
from jacketcalc.geometry import circle_area
from jacketcalc.units import tidy

SLENDERNESS = 6.0
"""Length of a receiver over its diameter: a gas cylinder; practice, no source [-]."""
STRENGTH = 200e5 / 1.2e3
"""Gauge pressure times volume over the mass of a wall that holds it: a steel cylinder of 50 L for
200 bar weighs 60 kg; practice, no source [J/kg]."""
THINNEST = 3e-3 * 7850.0
"""Least mass of a wall over its surface: 3 mm of steel; practice, no source [kg/m2]."""


def fill_receiver_rule(rule: str, values: Values) -> float | None:
    """Return the number a rule gives, in SI, or None where what it needs is missing.

    Parameters
    ----------
    rule : name of the rule
    values : what was read of the case
    """
    receiver, ambient = values.at("receiver"), values.at("ambient")
    volume = receiver.maybe("volume")
    if volume is None:
        return None
    match rule:
        case "receiver_diameter":
            number: float | None = (4.0 * volume / (math.pi * SLENDERNESS)) ** (1.0 / 3.0)
        case "receiver_surface":
            number = _surface(volume, receiver.maybe("diameter"))
        case "receiver_wall_mass":
            pressure, around = receiver.maybe("pressure"), ambient.maybe("pressure")
            surface = receiver.maybe("surface")
            if pressure is None or around is None or surface is None:
                return None
            number = max(volume * (pressure - around) / STRENGTH, THINNEST * surface)
        case "bath_temperature":
            number = ambient.maybe("temperature")
        case _:
            raise KeyError(rule)
    return None if number is None else tidy(number)


def _surface(volume: float, diameter: float | None) -> float | None:
    """Take a cylinder with flat ends [m2]."""
    if diameter is None:
        return None
    ends = 2.0 * circle_area(diameter)
    return 4.0 * volume / diameter + ends
