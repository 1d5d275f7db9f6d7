"""Jackets of odd shapes, for figures that must be right for all."""

from __future__ import annotations

SHAPES: dict[str, dict[str, float | int | str]] = {
    "as drawn": {},
    "three starts": {"starts": 3, "pitch": 0.012, "offset": 0.0165},
    "two starts": {"starts": 2, "pitch": 0.02, "wound_length": 0.11, "offset": 0.03},
    "from the mount": {"inlet_at": "mount", "offset": 0.03, "wound_length": 0.1},
    "less than a turn": {"pitch": 0.1, "wound_length": 0.06, "offset": 0.06},
    "tight": {"pitch": 0.008, "land": 0.002, "gap": 0.0025, "offset": 0.01},
    "thin shell": {"shell_thickness": 0.001, "land_joint": "shell", "tip_clearance": 0.001},
}
