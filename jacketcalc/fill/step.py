"""One step of time of machine and receiver, with its error.

The state is one row: receiver (mass, energy, wall), then the machine's walls and contents. What is
carried is summed by the same rule, so that mass and energy close as well as the solutions do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.fill.agree import Joint
from jacketcalc.fill.receiver import Held
from jacketcalc.fill.rule import BEFORE, ERROR, GAMMA, NODES

SUMS = ("cycles", "drive_air", "stage_air", "delivered", "exhaust", "supplied", "lost",
        "receiver_heat", "rest")  # fmt: skip
"""Running sums: cycles [-], masses [kg], energies [J], and time at rest for the compressor [s]."""
KELVIN, LINE, AIR_ENERGY = 300.0, 10.0, 3e5
"""What an error of 1 is: of a wall [K]; of a line's air, over that air [-]; of energy for mass
[J/kg]."""
TINY = 1e-9
"""Air below which none is counted [kg]."""


@dataclass(frozen=True, kw_only=True)
class Taken:
    """A step that was taken."""

    held: Held
    """The receiver at its end."""
    state: Array
    """Walls [K] and contents [kg], [J] of the machine at its end."""
    sums: Array
    """What has been carried since the start, in the order of `SUMS` [SI]."""
    error: float
    """Its error, over the scales of `_scales` [-]."""
    rise: float
    """Rise of the receiver's pressure at its end [Pa/s]."""


def take_step(
    joint: Joint, held: Held, state: Array, sums: Array, length: float, time: float
) -> Taken:
    """Take one step.

    Parameters
    ----------
    joint : machine and receiver
    held, state, sums : what it starts from [SI]
    length : of the step [s]
    time : at its start [s]
    """
    then = np.concatenate([[held.mass, held.energy, held.wall], state])
    part = GAMMA * length
    flows: list[Array] = []
    rates: list[Array] = []
    now = held
    slopes: list[float] = []
    for weights, node in zip(BEFORE, NODES, strict=True):
        base = then.copy()
        for weight, flow in zip(weights, flows, strict=False):
            base += length * weight * flow
        now, found = joint.solve(base, part, now, time + node * length)
        row = np.concatenate([[now.mass, now.energy, now.wall], found])
        flows.append((row - base) / part)
        rates.append(_rates(joint, now))
        slopes.append(now.pressure)
    total = sums.copy()
    for weight, rate in zip((*BEFORE[-1], GAMMA), rates, strict=True):
        total += length * weight * rate
    error = length * np.einsum("i,ij->j", ERROR, flows)
    off = np.abs(error) / _scales(joint, now, state)
    # Masses taken in and delivered, over what they have come to.
    sum_off = length * np.abs(np.einsum("i,ij->j", ERROR, rates))[1:4]
    off_sums = sum_off / np.maximum(total[1:4], TINY)
    worst = float(max(off.max(), off_sums.max()))
    # From the last two stages.
    rise = (slopes[2] - slopes[1]) / ((NODES[2] - NODES[1]) * length)
    return Taken(held=now, state=row[3:], sums=total, error=worst, rise=rise)


def _scales(joint: Joint, now: Held, state: Array) -> Array:
    """Return what an error of 1 is, of every entry of receiver and machine."""
    row, scale = joint.machine.row, np.full(len(state), KELVIN)
    lines = [volume for volume in joint.machine.numbering.lines if volume >= 0]
    # A chamber's contents are of no account but in the balances.
    mass = np.full(row.volumes, np.inf)
    mass[lines] = LINE * np.maximum(row.mass(state)[lines], TINY)
    row.mass(scale)[...], row.energy(scale)[...] = mass, AIR_ENERGY * mass
    return np.concatenate([[now.mass, AIR_ENERGY * now.mass, KELVIN], scale])


def _rates(joint: Joint, now: Held) -> Array:
    c = joint.last_cycle()
    return np.array([
        1.0 / c.period, c.drive_air, c.stage_air, c.delivered, c.exhaust,
        c.supplied_enthalpy, c.lost, now.heat_out, c.waits,
    ])  # fmt: skip
