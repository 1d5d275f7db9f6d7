"""The same pulse resolved in time: chamber, valve, node, and waves in tube and jacket."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .channel import COURANT, Channel
from .drive import Drive
from .ends import Volume
from .euler import Array, Gas
from .pulse import NODE, Pulse

MOST_CYCLES = 8
IDLE_SHARE = 0.005
"""Flow, as a share of the peak, at which a pulse counts as ended, as the package has it [-]."""
REPEATS = 2e-3
"""Relative change of the heat between cycles at which the last one counts as periodic [-]."""


@dataclass(frozen=True, kw_only=True)
class Resolved:
    """Last cycle of a pulse resolved in time; arrays over its steps."""

    time: Array
    """From the valve's reversal [s]."""
    flow: Array
    """Out of the node into the tube [kg/s]."""
    port_pressure: Array
    """Pressure of the node [Pa]."""
    barrel: Array
    """Heat flow from the barrel [W]."""
    numbers: dict[str, float]
    """Heat and back-pressure as the package defines them, SI."""


def run_resolved(
    pulse: Pulse,
    gas: Gas,
    stretch: float,
    dx: float,
    *,
    opening: float = 0.0,
    memory: float = 0.0,
) -> Resolved:
    """Run cycles of pulse and rest until one repeats the one before.

    Parameters
    ----------
    stretch : pulse length over the machine's; the chamber's volume goes with it
    dx : length of a cell [m]
    opening : time the valve takes to open [s]
    memory : of the flow that heat transfer answers to [s]
    """
    drive = Drive(pulse.chamber, gas, stretch, opening)
    channel = Channel(gas, pulse.around, dx, memory)
    cv = gas.cp / gas.gamma
    p, T = pulse.around.ambient
    area = pulse.around.sizes["tube_area"]
    m = p * NODE / (gas.R * T)
    U, heat, change, cycles = m * cv * T, 0.0, 1.0, 0
    while abs(change) > REPEATS and cycles < MOST_CYCLES:
        drive.refill()
        rows: list[tuple[float, ...]] = []
        t = 0.0
        while t < drive.period:
            T, p = U / (m * cv), U * (gas.gamma - 1.0) / NODE
            dt = channel.ducts.longest_step(channel.W, COURANT)
            dt = min(dt, drive.period - t + 1e-12)
            w, H = drive.advance(t, dt, p, T)
            soft = 0.5 * dt * gas.gamma * gas.R * T / NODE * area
            channel.step(dt, Volume(p, T, soft, w / area))
            e, E, _ = channel.inflow
            m, U = m + (w - e) * dt, U + (H - E) * dt
            rows.append((t, dt, e, p, channel.taken))
            t += dt
        table = np.array(rows)
        before, heat = heat, float((table[:, 1] * table[:, 4]).sum() / drive.period)
        change, cycles = before / heat - 1.0, cycles + 1
    time, dt, flow, port, barrel = table.T
    back = port - pulse.around.ambient[0]
    numbers = _numbers(dt, flow, back, barrel, drive.period)
    numbers["peak after surge"] = float(back[time > pulse.ringing(gas)].max())
    numbers["push-out work"] = drive.work
    numbers["last change"], numbers["cycles"] = change, cycles
    numbers["steps"] = len(table)
    return Resolved(time=time, flow=flow, port_pressure=port, barrel=barrel, numbers=numbers)


def _numbers(dt: Array, flow: Array, back: Array, barrel: Array, period: float) -> dict[str, float]:
    """Cycle heat, its share after the pulse, back-pressure: mean by mass, and peak."""
    weight = flow * dt
    peak = int(flow.argmax())
    ended = peak + int(np.argmax(flow[peak:] < IDLE_SHARE * flow[peak]))
    return {
        "heat": float((barrel * dt).sum() / period),
        "rest heat": float((barrel * dt)[ended:].sum() / period),
        "back-pressure mean": float((weight * back).sum() / weight.sum()),
        "back-pressure peak": float(back.max()),
        "mass": float(weight.sum()),
    }
