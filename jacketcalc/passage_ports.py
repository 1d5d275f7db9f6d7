"""What feeding and emptying a jacket costs, as loss coefficients that the march takes.

One start has a hole of its own at either end. Several starts share a gallery, a ring groove at
either end with one hole into it, or have a hole each, fed from a manifold at the tube's end.
A stream that ends in gallery or manifold loses its velocity head; the groove's stream parts
both ways and loses its own. Handbooks' coefficients, from memory: 1 for an end in a wide space,
0.5 (1 - a/A) for a sharp narrowing, (1 - a/A)^2 for a sudden widening, on the narrower section.
"""

from __future__ import annotations

from jacketcalc.geometry import groove_area, hole_area
from jacketcalc.inputs import Jacket

END = 1.0
"""Loss where a stream ends in a wide space, on its dynamic pressure [-]."""
SHARP = 0.5
"""Loss of a sharp-edged entry from a wide space, on the dynamic pressure behind it [-]."""


def inlet_coefficient(jacket: Jacket, channels: float, tube: float) -> float:
    """Return the loss from tube to channels, on the channels' dynamic pressure [-].

    The march itself takes the widening from tube to channels; what is returned is the rest.

    Parameters
    ----------
    jacket : the jacket
    channels : flow area of all starts [m2]
    tube : flow area of the tube, very large where there is none [m2]
    """
    hole = min(hole_area(jacket, jacket.inlet_bore), tube)
    least = min(channels, tube)
    if jacket.gallery_width > 0.0:
        lost = _narrowing(tube, hole, channels) + END * (channels / hole) ** 2
        lost += END * (channels / groove_area(jacket)) ** 2
    elif jacket.starts > 1:
        hole = hole_area(jacket, jacket.inlet_bore)
        lost = END * (channels / tube) ** 2 + SHARP * (channels / hole) ** 2
        lost += _widening(hole, channels)
    elif hole < least:
        lost = _narrowing(least, hole, channels) + _widening(hole, channels)
    else:
        return jacket.inlet_loss
    return jacket.inlet_loss + lost - _widening(tube, channels)


def outlet_coefficient(jacket: Jacket, channels: float) -> float:
    """Return the loss from channels to outlet, on the outlet's dynamic pressure [-].

    The march itself takes the widening from channels to outlet; what is returned is the rest.
    """
    if jacket.gallery_width <= 0.0:
        return jacket.outlet_loss
    outlet = hole_area(jacket, jacket.outlet_bore)
    lost = END * (outlet / channels) ** 2 + END * (outlet / groove_area(jacket)) ** 2
    return jacket.outlet_loss + lost - _widening(channels, outlet)


def _widening(before: float, behind: float) -> float:
    """Sudden widening, on the dynamic pressure behind it; none where it narrows [-]."""
    return max(behind / before - 1.0, 0.0) ** 2


def _narrowing(before: float, hole: float, behind: float) -> float:
    """Sharp narrowing into a hole, on the dynamic pressure of a section behind [-]."""
    return SHARP * (1.0 - hole / before) * (behind / hole) ** 2
