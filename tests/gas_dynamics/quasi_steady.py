"""The package's quasi-steady answer to the same pulse: its march, its curve, its phases.

The stroke's port node is written out plainly (a volume that stores half the passage's air at
port pressure, filled through the valve, emptied by the flow curve), so that pulses can be
given other lengths; at the length of the solved machine it must find what the machine found.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from jacketcalc.core.machine import PASSAGE_SHARE
from jacketcalc.core.parts import PassageParts, curve_slopes, cut_pulses
from jacketcalc.core.resolution import Resolution

from .drive import POINTS, Drive
from .euler import Array, Gas
from .ideal_air import IdealAir
from .pulse import NODE, Pulse

STEPS = Resolution(levels=40)
"""Nearly twice the usual levels of the flow curve."""
SWEEPS = 8
CYCLES = 2
INSTANTS = 600
"""Instants of a pulse that are marched one by one."""


class Steady:
    """The package's march through one passage with given walls.

    Parameters
    ----------
    pulse : the pulse whose passage it is
    gas : ideal gas, or None for the package's own air table
    """

    def __init__(self, pulse: Pulse, gas: Gas | None) -> None:
        table = None if gas is None else IdealAir(gas.R, gas.cp)
        self.parts = PassageParts(pulse.design, STEPS, gas=table)
        self.node, self.walls, self.ambient = pulse.node, pulse.walls, pulse.around.ambient[0]

    def march(self, flow: Array, T0: Array) -> Any:
        """March rows of flow [kg/s] and port temperature [K]; the core's `March`, shape (row,)."""
        return np.array(
            [
                self.parts.march(m, T, self.walls, self.node, SWEEPS)
                for m, T in zip(flow, np.broadcast_to(T0, flow.shape), strict=True)
            ]
        )

    def barrel_heat(self, marched: Any) -> Array:
        """Heat from the barrel in each row [W]."""
        tube, cells = STEPS.tube_cells, STEPS.channel_cells
        gap = self.walls["barrel"][0, :cells] - marched["seen"][:, tube : tube + cells]
        return np.asarray((marched["barrel"][:, :cells] * gap).sum(axis=1))

    def curve(self, T0: float) -> Any:
        """The passage's flow curve at a port temperature, made as the package makes it."""
        return self.parts.curve(T0, self.walls, self.node)


@dataclass(frozen=True, kw_only=True)
class QuasiSteady:
    """What the quasi-steady treatment finds for one pulse of a given length."""

    time: Array
    """Instants from the valve's reversal [s]."""
    flow: Array
    """Flow out of the node [kg/s]."""
    port_pressure: Array
    """Pressure of the node [Pa]."""
    T0: Array
    """Temperature of the node [K]."""
    numbers: dict[str, float]
    """Heat and back-pressure, SI."""


def run_quasi_steady(pulse: Pulse, gas: Gas, stretch: float, opening: float = 0.0) -> QuasiSteady:
    """Empty the chamber through valve, node and flow curve; cut the flow into phases.

    Parameters
    ----------
    stretch : pulse length over the machine's; the chamber's volume goes with it
    opening : time the valve takes to open [s]
    """
    steady = Steady(pulse, gas)
    curve = steady.curve(270.0)
    T_left = pulse.around.ambient[1]
    for _ in range(CYCLES):
        time, flow, p, T, work = _empty(
            pulse, Drive(pulse.chamber, gas, stretch, opening), curve, T_left
        )
        T_left = float(T[-1])
    period = float(stretch) * (pulse.chamber.time[-1] + pulse.chamber.closed)
    # The port is shut after the last instant: one more with the rest of the cycle.
    dt = np.append(np.gradient(time), 0.0)
    dt[0], dt[-2] = dt[0] / 2, dt[-2] / 2
    dt[-1] = period - dt.sum()
    count = STEPS.phases
    phases = cut_pulses(
        np.append(np.maximum(flow, 0.0), 0.0), np.append(T, T[-1]), dt, count, period
    )
    mean = phases["mass"][:count] / phases["time"][:count]
    marched = steady.march(mean, phases["T0"][:count])
    heat = steady.parts.heat(phases, marched, steady.walls, period, steady.node)
    total = float((heat["barrel"] * steady.walls["barrel"][0] - heat["barrel_pull"]).sum())
    weight, back = dt[:-1] * flow, p - steady.ambient
    numbers = {
        "heat": total,
        "rest heat": float(heat["rest_barrel"]),
        "instants heat": float(_instants(steady, time, flow, T) / period),
        "back-pressure mean": float((weight * back).sum() / weight.sum()),
        "back-pressure peak": float(back.max()),
        "peak after surge": float(back[time > pulse.ringing(gas)].max()),
        "push-out work": work,
        "transit share": _transit(pulse, gas, phases, marched),
        "pulse": float(phases["time"].sum()),
        "period": period,
    }
    return QuasiSteady(time=time, flow=flow, port_pressure=p, T0=T, numbers=numbers)


def _empty(
    pulse: Pulse, drive: Drive, curve: Any, T_left: float
) -> tuple[Array, Array, Array, Array, float]:
    """Times, flow out of the node, its pressure and temperature, work done on the chamber.

    The node starts with what the pulse before left in it, at `T_left` [K].
    """
    gas = drive.gas
    volume = NODE + PASSAGE_SHARE * pulse.around.sizes["volume"]
    ambient_p, ambient_T = pulse.around.ambient
    m0 = ambient_p * volume / (gas.R * T_left)
    cv = gas.cp / gas.gamma
    scale = np.array([drive.m, drive.U, m0, m0 * cv * T_left])

    def out(m: float, U: float) -> tuple[float, float, float]:
        T = U / (m * cv)
        p = m * gas.R * T / volume
        return p, T, curve_slopes(curve, p, T)[0]

    def rate(t: float, z: Array) -> Array:
        mc, Uc, m, U = z * scale
        p, T, e = out(m, U)
        w, H, change = drive.rates(t, mc, Uc, p, T)
        back = T if e >= 0.0 else ambient_T
        return np.array([-w, change, w - e, H - e * gas.cp * back]) / scale

    share = np.concatenate([np.linspace(0.0, 0.1, INSTANTS)[:-1], np.linspace(0.1, 1, INSTANTS)])
    done = solve_ivp(rate, (0.0, drive.end), np.array([1.0, 1.0, 1.0, 1.0]), method="LSODA",
                     t_eval=drive.end * share, rtol=1e-6, atol=1e-8)  # fmt: skip
    states = [out(m, U) for m, U in (done.y[2:] * scale[2:, None]).T]
    p, T, e = (np.array(v) for v in zip(*states, strict=True))
    own = [drive.pressure(t, *z) for t, z in zip(done.t, (done.y[:2].T * scale[:2]), strict=True)]
    volume = [drive.volume[min(int(t / drive.end * POINTS), POINTS)] for t in done.t]
    return done.t, e, p, T, -float(np.trapezoid(own, volume))


def _instants(steady: Steady, time: Array, flow: Array, T: Array) -> float:
    """Heat of a pulse by the steady march instant by instant [J]."""
    flowing = flow > 1e-4
    heat = np.zeros_like(flow)
    heat[flowing] = steady.barrel_heat(steady.march(flow[flowing], T[flowing]))
    return float(np.trapezoid(heat, time))


def _transit(pulse: Pulse, gas: Gas, phases: Any, marched: Any) -> float:
    """Transit time of the air over the pulse, as the package's outcome has it [-]."""
    s, rows = pulse.around.sizes, slice(0, STEPS.phases)
    faces = slice(STEPS.tube_cells + 1, STEPS.tube_cells + STEPS.channel_cells + 2)
    rho = marched["p"][:, faces] / (gas.R * marched["T"][:, faces])
    flow = phases["mass"][rows] / phases["time"][rows]
    speed = (flow[:, None] / s["area"] / rho).mean(axis=1)
    weight = phases["mass"][rows] / phases["mass"].sum()
    return float((s["length"] + s["tube_length"]) / (speed * weight).sum() / phases["time"].sum())
