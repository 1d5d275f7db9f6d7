"""Stages of random machines, with their jackets and lines, as text of a case file."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from random_draws import Draws


@dataclass(frozen=True)
class Sizes:
    """What the parts of a random machine share."""

    bore: float
    """Drive bore [m]."""
    stroke: float
    """Stroke [m]."""
    stages: tuple[float, ...]
    """Bore of each stage [m]."""
    together: bool
    """Two stages in series push on one stroke, so their line must take a whole stroke."""


def write_stage(
    d: Draws, sizes: Sizes, place: int, name: str, before: str, number: int, jacket: bool
) -> list[str]:
    """Return the lines of one stage."""
    bore = sizes.stages[place]
    clearance = d.between(0.003, 0.05, 0.6)
    lines = [
        "[[stage]]",
        f'name = "{name}"',
        f'draws_from = "{before}"',
        f"compresses_on_stroke = {number}",
        f"bore = {d.spell(bore, 'length')}",
        f"clearance = {d.spell(clearance, 'ratio')}",
        f"wall_thickness = {d.spell(d.between(0.001, 0.005, 0.02), 'length')}",
        f'material = "{d.pick("stainless 304", "carbon steel", "aluminium 6061", "brass")}"',
        f'seal_material = "{d.pick("PTFE", "UHMWPE", "PU seal", "own")}"',
        'source = "invented"',
    ]
    for key, share, opening in (("inlet", 1 / 60, 5e3), ("delivery", 1 / 120, 1e4)):
        if not d.chance(0.3):
            sonic = share * pi / 4 * bore**2 / 5e-6 * 1e-8 * d.between(0.1, 1.0, 5.0)
            opens = d.between(0.0, opening, 1e5)
            lines.append(
                f"{key} = {{ C = {d.spell(sonic, 'conductance')}, "
                f"b = {d.spell(d.between(0.05, 0.3, 0.55), 'ratio')}, "
                f"cracking_pressure = {d.spell(opens, 'pressure difference')} }}"
            )
    if d.chance(0.5):
        lines.append(f"seal_friction = {d.spell(d.between(0.0, 0.03, 0.15), 'ratio')}")
    if d.chance(0.5):
        flange = d.spell(d.between(0.01, 1.0, 20.0), "heat conductance")
        lines.append(f"flange_conductance = {flange}")
    if before != "supply":
        lines += _line(d, sizes, place)
    if jacket:
        barrel = sizes.stroke * (1 + clearance) + max(1.2 * bore, 0.02)
        lines += _jacket(d, barrel)
    return lines


def _line(d: Draws, sizes: Sizes, place: int) -> list[str]:
    swept = pi / 4 * sizes.stages[place - 1] ** 2 * sizes.stroke
    least, usual = (0.9, 1.5) if sizes.together else (0.05, 1.2)
    return [
        "[stage.line]",
        f"volume = {d.spell(swept * d.between(least, usual, 10.0), 'volume')}",
        f"heat_loss = {d.spell(d.between(0.0, 0.3, 4.0), 'heat conductance')}",
        'source = "invented"',
    ]


def _jacket(d: Draws, barrel: float) -> list[str]:
    """Draw a jacket that mostly, not always, fits on its barrel."""
    offset = barrel * d.between(0.0, 0.1, 0.3)
    wound = (barrel - offset) * d.between(0.3, 0.8, 1.03)
    pitch = wound * d.between(0.04, 0.25, 1.02)
    return [
        "[stage.jacket]",
        f"gap = {d.spell(d.between(0.0005, 0.008, 0.02), 'length')}",
        f"pitch = {d.spell(pitch, 'length')}",
        f"starts = {(starts := d.pick('1', '2', '3', '4'))}",
        f'feed = "{"each" if starts == "3" else "gallery"}"',
        f"rib = {d.spell(rib := pitch * d.between(0.02, 0.1, 0.7), 'length')}",
        f"length = {d.spell(wound, 'length')}",
        f"offset = {d.spell(offset, 'length')}",
        f'inlet_at = "{d.pick("head", "flange")}"',
        f'rib_joint = "{d.pick("barrel", "shell", "loose")}"',
        f"tip_clearance = {d.spell(d.between(0.0, 0.0001, 0.0006), 'length')}",
        f"roughness = {d.spell(d.between(0.0, 3e-6, 1e-4), 'length')}",
        f"inlet_loss = {d.spell(d.between(0.0, 0.5, 5.0), 'number')}",
        f"outlet_loss = {d.spell(d.between(0.0, 0.5, 5.0), 'number')}",
        *([f"outlet_bore = {d.spell(_outlet(d, pitch - rib), 'length')}"] * d.chance(0.5)),
        f"shell_thickness = {d.spell(d.between(0.001, 0.004, 0.015), 'length')}",
        f'shell_material = "{d.pick("POM", "glass-fibre epoxy", "aluminium 6061", "own")}"',
        'source = "invented"',
    ]


def _outlet(d: Draws, width: float) -> float:
    """Draw an outlet hole that mostly fits its channel."""
    return max(width * d.between(0.6, 0.8, 1.02), 5e-4)
