"""Stall: no flow, no back-pressure, so a balance of forces alone."""

from __future__ import annotations

from jacketcalc.geometry import circle_area
from jacketcalc.inputs import Machine


def _forces(m: Machine) -> tuple[int, float]:
    """Return the final stage, and the drive's static force with what else helps, net [N].

    The fed chamber stands at supply pressure, the vented one at the room's; a stage that
    draws from the supply on that stroke helps with supply pressure less its valve's opening.
    """
    sources = {stage.draws_from for stage in m.stages}
    final = max(i for i, stage in enumerate(m.stages) if stage.name not in sources)
    stroke = m.stages[final].compresses_on
    gauge = m.supply.pressure - m.room.pressure
    rod = (m.drive.rod_1, m.drive.rod_2)[stroke - 1]
    area = circle_area(m.drive.bore) - circle_area(rod)
    force = (1.0 - m.drive.friction_share) * gauge * area - m.drive.friction
    for i, stage in enumerate(m.stages):
        if i == final or stage.draws_from != "supply" or stage.compresses_on == stroke:
            continue
        push = (gauge - stage.inlet.opening_pressure) * circle_area(stage.bore)
        force += (1.0 - stage.seal_friction) * push
    return final, force


def stall_pressure(m: Machine) -> float:
    """Return the receiver pressure at which the final stage stops [Pa].

    The static force balance: bare and jacketed machines stall at the same pressure.
    """
    final, force = _forces(m)
    stage = m.stages[final]
    rub = 1.0 + stage.seal_friction
    lifted = stage.delivery.opening_pressure
    return m.room.pressure + force / (rub * circle_area(stage.bore)) - lifted


def force_margin(m: Machine) -> float:
    """Return the force to spare at the end of the final stage's stroke over the force it takes."""
    final, force = _forces(m)
    stage = m.stages[final]
    gauge = m.tank_pressure - m.room.pressure + stage.delivery.opening_pressure
    needed = (1.0 + stage.seal_friction) * gauge * circle_area(stage.bore)
    return force / needed - 1.0
