"""What was read at a bench: one number, its uncertainty, and the state it was read in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "cycle time",
    "delivered mass",
    "wall temperature",
    "exhaust temperature",
    "valve pressure",
    "fill time",
]
Place = Literal["head", "middle", "flange"]
Jackets = Literal["with", "bypassed"]

PLACES: dict[Place, float] = {"head": 0.1, "middle": 0.5, "flange": 0.9}
"""Places on a barrel, as shares of its length from the head end [-]."""

DIMENSIONS: dict[Kind, str] = {
    "cycle time": "time",
    "delivered mass": "mass",
    "wall temperature": "temperature",
    "exhaust temperature": "temperature",
    "valve pressure": "pressure",
    "fill time": "time",
}
"""Dimension of what is read."""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One number read at a bench."""

    kind: Kind
    value: float
    """What was read [SI]."""
    standard_uncertainty: float
    """u of it [SI]."""
    jackets: Jackets = "with"
    """Whether the exhaust went through the jackets, or past them straight to atmosphere."""
    stage: str = ""
    """Stage of a wall or an exhaust temperature."""
    place: Place = "middle"
    """Where on the barrel's outside a wall temperature was read."""
    duration: float = 0.0
    """Time in which a mass was delivered [s]."""
    supply_pressure: float | None = None
    """Supply pressure while it was read; None where it is the case's [Pa]."""
    receiver_pressure: float | None = None
    """Receiver pressure while it was read; None where it is the case's [Pa]."""
    ambient_temperature: float | None = None
    """Ambient temperature while it was read; None where it is the case's [K]."""
    receiver_volume: float = 0.0
    """Volume of the receiver of a fill time [m3]."""
    pressure_from: float = 0.0
    """Receiver pressure at the start of a fill time [Pa]."""
    pressure_to: float = 0.0
    """Receiver pressure at its end [Pa]."""

    @property
    def name(self) -> str:
        """Return what it is in words."""
        words = f"{self.kind}"
        if self.kind == "wall temperature":
            words += f", {self.stage}, {self.place}"
        if self.kind == "exhaust temperature":
            words += f" at the outlet of {self.stage}"
        return f"{words}, {'with jackets' if self.jackets == 'with' else 'jackets bypassed'}"
