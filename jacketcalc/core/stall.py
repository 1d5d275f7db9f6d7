"""Stall: no flow, no back-pressure, so a balance of forces alone."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from jacketcalc.core.outcome import Holds
from jacketcalc.core.solution import Solution
from jacketcalc.geometry import circle_area, piston_areas
from jacketcalc.inputs import FEEDS, Machine, Stage


@dataclass(frozen=True, kw_only=True)
class Stop:
    """What holds a piston where it stopped."""

    by: Holds
    stage: str = ""
    """Stage whose pressure is not overcome; empty where none is."""
    reach: float = 0.0
    """Pressure behind its delivery valve that the forces reach, others as they stand [Pa]."""
    asked: float = 0.0
    """Pressure behind its delivery valve [Pa]."""


def _face(stage: Stage) -> float:
    return circle_area(stage.bore)


def _drive(m: Machine, stroke: int) -> float:
    """Return the drive's force: supply pressure on one side, ambient pressure on the other [N]."""
    area, gauge = piston_areas(m.drive)[stroke - 1], m.supply.pressure - m.ambient.pressure
    friction = m.drive.cylinders * m.drive.friction
    return (1.0 - m.drive.friction_share) * gauge * area - friction


def _before(m: Machine, stage: Stage) -> float:
    """Return what a stage draws from: the supply, the source, or a line [Pa].

    A line stands where the stage behind it draws all that the one before it sweeps.
    """
    if stage.draws_from in FEEDS:
        return m.feed(stage).pressure
    source = next(one for one in m.stages if one.name == stage.draws_from)
    return _before(m, source) * _face(source) / _face(stage)


def _is_final(m: Machine, stage: Stage) -> bool:
    return all(other.draws_from != stage.name for other in m.stages)


def _balance(m: Machine, stroke: int) -> tuple[float, float, float]:
    """Return drive and helping force, the force of stages before, and the final stages' faces.

    Every stage counts: what draws on the stroke helps, what delivers into a line loads it, and
    all that deliver to the receiver load it with the same pressure [N, N, m2].
    """
    ambient, help_, load, faces = m.ambient.pressure, _drive(m, stroke), 0.0, 0.0
    for stage in m.stages:
        if stage.compresses_on != stroke:
            drawn = _before(m, stage) - stage.inlet.cracking_pressure - ambient
            help_ += (1.0 - stage.seal_friction) * drawn * _face(stage)
            continue
        rubbed = (1.0 + stage.seal_friction) * _face(stage)
        load += rubbed * stage.delivery.cracking_pressure
        if _is_final(m, stage):
            faces += rubbed
        else:
            behind = next(one for one in m.stages if one.draws_from == stage.name)
            load += rubbed * (_before(m, behind) - ambient)
    return help_, load, faces


def _final_strokes(m: Machine) -> set[int]:
    return {stage.compresses_on for stage in m.stages if _is_final(m, stage)}


def stall_pressure(m: Machine) -> float:
    """Return the receiver pressure at which a final stage's stroke stops [Pa].

    The static force balance: bare and jacketed machines stall at the same pressure.
    """
    reach = inf
    for stroke in _final_strokes(m):
        force, load, faces = _balance(m, stroke)
        reach = min(reach, m.ambient.pressure + (force - load) / faces)
    return reach


def force_margin(m: Machine) -> float:
    """Return the force to spare at the end of a final stage's stroke over the force it takes."""
    return min((stroke_margin(m, stroke) for stroke in _final_strokes(m)), default=inf)


def stroke_margin(m: Machine, stroke: int) -> float:
    """Return the force to spare at the end of a stroke over the force it takes [-]."""
    force, load, faces = _balance(m, stroke)
    taken = load + faces * (m.receiver_pressure - m.ambient.pressure)
    return force / taken - 1.0 if taken > 0.0 else inf


def read_stop(s: Solution) -> Stop:
    """Return what holds the piston where it stopped, given all time for flow.

    Stages stand as they stood there, but come to what is behind an open valve.
    """
    m, stroke = s.machine, int(s.found["stalled_on"])
    part = s.parts[stroke - 1]
    moved = len(part["p"]) > 0
    p = part["p"][-1] if moved else s.found["stroke"][stroke - 1]["end_pressure"]
    force = _drive(m, stroke)
    pushing: list[tuple[float, int]] = []
    for i, stage in enumerate(m.stages):
        line, after = s.numbering.lines[i], s.numbering.after[i]
        own = float(p[s.numbering.stages[i]])
        if stage.compresses_on == stroke:
            behind = m.receiver_pressure if after < 0 else float(p[after])
            gauge = min(own, behind + stage.delivery.cracking_pressure) - m.ambient.pressure
            pushing.append(((1.0 + stage.seal_friction) * gauge * _face(stage), i))
        else:
            source = m.feed(stage).pressure if line < 0 else float(p[line])
            gauge = max(own, source - stage.inlet.cracking_pressure) - m.ambient.pressure
            force += (1.0 - stage.seal_friction) * gauge * _face(stage)
    left = force - sum(load for load, _ in pushing)
    if left > 0.0:
        return Stop(by="outflow")
    if force <= 0.0 or not pushing:
        return Stop(by="friction")
    load, i = max(pushing)
    stage = m.stages[i]
    after = s.numbering.after[i]
    inside = m.ambient.pressure + (load + left) / ((1.0 + stage.seal_friction) * _face(stage))
    return Stop(
        by="stage",
        stage=stage.name,
        reach=inside - stage.delivery.cracking_pressure,
        asked=m.receiver_pressure if after < 0 else float(p[after]),
    )
