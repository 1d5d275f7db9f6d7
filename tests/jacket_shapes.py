"""Jackets of odd shapes, for figures that must be right for all."""

from __future__ import annotations

SHAPES: dict[str, dict[str, float | int | str]] = {
    "as drawn": {},
    "three starts": {"starts": 3, "pitch": 0.012, "offset": 0.0165},
    "two starts": {"starts": 2, "pitch": 0.02, "length": 0.11, "offset": 0.03},
    "from the flange": {"inlet_at": "flange", "offset": 0.03, "length": 0.1},
    "less than a turn": {"pitch": 0.1, "length": 0.06, "offset": 0.06},
    "tight": {"pitch": 0.008, "rib": 0.002, "gap": 0.0025, "offset": 0.01},
    "thin shell": {"shell_thickness": 0.001, "rib_joint": "shell", "tip_clearance": 0.001},
}
