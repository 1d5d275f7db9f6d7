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

from jacketcalc.components.chambers import PASSAGE_SHARE
from jacketcalc.components.passage_curve import Curve, curve_flow, fit_curve, with_exponent
from jacketcalc.components.passage_march import March, Walls, cold_profile, march
from jacketcalc.components.pulses import Pulses, cut_pulses, passage_heat
from jacketcalc.gas.table import Thermo, air

from .drive import POINTS, Drive
from .euler import Array, Gas
from .pulse import NODE, Pulse

LEVELS = np.geomspace(1e-4, 0.06, 40)[:, None, None]
"""Levels of flow of the curve [kg/s]."""
COLDER = 40.0
"""How much colder the levels are marched again [K]."""
SWEEPS = 8
CYCLES = 2
INSTANTS = 600
"""Instants of a pulse that are marched one by one."""


@dataclass(frozen=True)
class IdealTable:
    """The face of the air table, for an ideal gas with the table's viscosity and conductivity."""

    gas: Gas

    def thermo(self, T: Array, p: Array) -> Thermo:
        """Density and enthalpy with their slopes."""
        T, p = np.broadcast_arrays(T, p)
        rho, one = p / (self.gas.R * T), np.ones_like(T)
        return Thermo(
            rho=rho, h=self.gas.cp * T, rho_T=-rho / T, rho_p=rho / p, h_T=self.gas.cp * one,
            h_p=0.0 * one,
        )  # fmt: skip

    def transport(self, T: Array, p: Array) -> tuple[Array, Array]:
        """Viscosity and conductivity."""
        return air().transport(T, p)


class Steady:
    """The package's march through one passage with given walls.

    Parameters
    ----------
    pulse : the pulse whose passage it is
    gas : ideal gas, or None for the package's own air table
    """

    def __init__(self, pulse: Pulse, gas: Gas | None) -> None:
        self.table: Any = air() if gas is None else IdealTable(gas)
        self.pulse = pulse
        a = pulse.around
        self.walls = Walls(
            barrel=a.barrel[:, None, None], outer=a.outer[:, None, None], heat=np.ones((1, 1))
        )
        self.room = np.array([a.room[0]])

    def march(self, flow: Array, T0: Array) -> March:
        """March rows of flow [kg/s] and port temperature [K], shape (row,)."""
        rows = flow.reshape(-1, 1, 1)
        T0 = np.broadcast_to(T0, flow.shape).reshape(-1, 1, 1)
        start = cold_profile(rows.shape, T0, self.room * 1.2)
        closures = {self.pulse.around.closure: np.arange(1)}
        return march(self.table, self.pulse.geometry, closures, rows, T0, self.walls, self.room,
                     start, SWEEPS)  # fmt: skip

    def barrel_heat(self, m: March) -> Array:
        """Heat from the barrel in each row [W]."""
        seen = m.adiabatic_temperature[-len(m.barrel_conductance) :]
        gap = self.walls.barrel[:, None] - seen
        return np.asarray((m.barrel_conductance * gap).sum(axis=0)[:, 0, 0])

    def curve(self, T0: float) -> Curve:
        """The passage's flow curve at a port temperature, made as the package makes it."""
        found = self.march(LEVELS[:, 0, 0], np.array(T0))
        curve = fit_curve(LEVELS, found.port_pressure, np.full((1, 1), T0), self.room)
        again = LEVELS[-20:]
        cold = self.march(again[:, 0, 0], np.array(T0 - COLDER))
        return with_exponent(curve, again, cold.port_pressure, np.full((1, 1), T0 - COLDER))


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
    T_left = pulse.around.room[1]
    for _ in range(CYCLES):
        time, flow, p, T, work = _empty(
            pulse, Drive(pulse.chamber, gas, stretch, opening), curve, T_left
        )
        T_left = float(T[-1])
    period = float(stretch) * (pulse.chamber.time[-1] + pulse.chamber.closed)
    shape = (-1, 1, 1)
    # The port is shut after the last instant: one more with the rest of the cycle.
    dt = np.append(np.gradient(time), 0.0)
    dt[0], dt[-2] = dt[0] / 2, dt[-2] / 2
    dt[-1] = period - dt.sum()
    phases = cut_pulses(np.append(flow, 0.0).reshape(shape), np.append(T, T[-1]).reshape(shape),
                        dt.reshape(shape), 1)  # fmt: skip
    marched = steady.march(phases.flow[:, 0, 0], phases.T0[:, 0, 0])
    heat = passage_heat(steady.table, pulse.geometry, phases, marched, steady.walls)
    total = float((heat.barrel * steady.walls.barrel - heat.barrel_pull).sum())
    weight, back = dt[:-1] * flow, p - steady.room[0]
    numbers = {
        "heat": total,
        "rest heat": float(heat.rest_share[0, 0]),
        "instants heat": float(_instants(steady, time, flow, T) / period),
        "back-pressure mean": float((weight * back).sum() / weight.sum()),
        "back-pressure peak": float(back.max()),
        "peak after surge": float(back[time > pulse.ringing(gas)].max()),
        "push-out work": work,
        "transit share": _transit(pulse, gas, phases, marched),
        "pulse": float(phases.time.sum()),
        "period": period,
    }
    return QuasiSteady(time=time, flow=flow, port_pressure=p, T0=T, numbers=numbers)


def _empty(
    pulse: Pulse, drive: Drive, curve: Curve, T_left: float
) -> tuple[Array, Array, Array, Array, float]:
    """Times, flow out of the node, its pressure and temperature, work done on the chamber.

    The node starts with what the pulse before left in it, at `T_left` [K].
    """
    gas = drive.gas
    volume = NODE + PASSAGE_SHARE * pulse.around.sizes["volume"]
    room_p, room_T = pulse.around.room
    m0 = room_p * volume / (gas.R * T_left)
    cv = gas.cp / gas.gamma
    scale = np.array([drive.m, drive.U, m0, m0 * cv * T_left])

    def out(m: float, U: float) -> tuple[float, float, float]:
        T = U / (m * cv)
        p = m * gas.R * T / volume
        e, _ = curve_flow(curve, np.full((1, 1), p), np.full((1, 1), T))
        return p, T, float(e[0, 0])

    def rate(t: float, z: Array) -> Array:
        mc, Uc, m, U = z * scale
        p, T, e = out(m, U)
        w, H, change = drive.rates(t, mc, Uc, p, T)
        back = T if e >= 0.0 else room_T
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


def _transit(pulse: Pulse, gas: Gas, phases: Pulses, m: March) -> float:
    """Transit time of the air over the pulse, as the package's outcome has it [-]."""
    s = pulse.around.sizes
    joint = m.profile.p.shape[0] - len(m.barrel_conductance) - 1
    rho = m.profile.p[joint:, :, 0, 0] / (gas.R * m.profile.T[joint:, :, 0, 0])
    speed = (phases.flow[:, 0, 0] / s["area"] / rho).mean(axis=0)
    weight = phases.mass[:, 0, 0] / phases.mass.sum()
    return float((s["length"] + s["tube_length"]) / (speed * weight).sum() / phases.time.sum())
