"""One jacket, whose numbers the tests of a channel's laws share."""

from __future__ import annotations

from gas_dynamics.annulus_2009 import OF_2009

from jacketcalc.correlations import laws
from jacketcalc.geometry import helix_curvature, hydraulic_diameter

# Cylinder 80 mm, gap 4, clear width 12, pitch 15 mm, Pr 0.71.
GAP, WIDTH, LEAD, BARREL = 4e-3, 12e-3, 15e-3, 80e-3
D_H = hydraulic_diameter(GAP, WIDTH)
D_C = helix_curvature(BARREL + GAP, LEAD)
RATIO = BARREL / (BARREL + 2 * GAP)
CURVE = D_H / D_C


def in_channel(
    d: float = CURVE, aspect: float = GAP / WIDTH, ratio: float = RATIO, roughness: float = 0.0
) -> laws.Channel:
    """Return the jacket's channel, some sizes changed."""
    return laws.Channel(
        hydraulic_diameter=d, curvature_diameter=1.0, aspect=aspect, radius_ratio=ratio,
        roughness=roughness,
    )  # fmt: skip


JACKET = in_channel()


def channel(closure: str, Re: float, Pr: float = 0.71) -> float:
    """Nusselt number of that jacket, with the annulus form of 2009 that its tables have."""
    return float(laws.channel_nusselt(closure, JACKET, OF_2009).value(Re, Pr))
