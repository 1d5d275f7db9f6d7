"""Stall: no flow, no back-pressure, so a balance of forces alone."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array


def _forces(network: Network) -> tuple[int, Array, Array]:
    """Return the final stage, the drive's static force, and what else helps, net [N].

    The fed chamber stands at supply pressure, the vented one at the room's; a stage that
    draws from the supply on that stroke helps with supply pressure less its valve's opening.
    """
    m, layout = network.machine, network.layout
    final = max(i for i, after in enumerate(layout.after) if after is None)
    stroke = layout.compresses_on[final]
    room, supply = np.asarray(m.room.pressure), np.asarray(m.supply.pressure)
    gauge = supply - room
    force = (1.0 - m.drive.friction_share) * gauge * network.drive_area[stroke - 1]
    force = force - m.drive.friction
    for i, stage in enumerate(m.stages):
        if i == final or layout.lines[i] is not None:
            continue
        draws = layout.compresses_on[i] != stroke
        push = (gauge - network.opening[2 + 2 * i]) * network.stage_area[i]
        if draws:
            force = force + (1.0 - stage.seal_friction) * push
    return final, np.asarray(force), room


def stall_pressure(network: Network) -> Array:
    """Return the receiver pressure at which the final stage stops, shape (B,) [Pa].

    The static force balance: bare and jacketed machines stall at the same pressure.
    """
    final, force, room = _forces(network)
    rub = 1.0 + network.machine.stages[final].seal_friction
    lifted = network.opening[3 + 2 * final]
    return np.asarray(room + force / (rub * network.stage_area[final]) - lifted)


def force_margin(network: Network) -> Array:
    """Return the force to spare at the end of the final stage's stroke over the force it takes."""
    final, force, room = _forces(network)
    rub = 1.0 + network.machine.stages[final].seal_friction
    gauge = np.asarray(network.machine.tank_pressure) - room + network.opening[3 + 2 * final]
    needed = rub * gauge * network.stage_area[final]
    return np.asarray(force / needed - 1.0)
