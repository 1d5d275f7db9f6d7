"""Both strokes of the machine, integrated in time by scipy's LSODA.

The state holds mass and temperature of every volume, position and speed of the piston. A
stroke is held at its stop until the force lets it go, travels to the far stop, where it
comes to rest, and waits there for the valve: three integrations that end at events.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import CoolProp as C
import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from . import plain_laws as laws
from . import plain_ports as ports

Array = NDArray[np.float64]
Outflow = Callable[[float, float], float]

RTOL = 1e-6


@dataclass
class Around:
    """What a cycle takes from the walls and passages."""

    drive_wall: float
    """Drive cylinder wall [K]."""
    stage_wall: list[Callable[[float], float]]
    """Mean wall temperature of each stage at an open length [K]."""
    outflow: list[Outflow | None]
    """Mass flow out of each exhaust node at its pressure and temperature; None without node."""
    node_volume: list[float]
    """Volume of each exhaust node [m3]."""
    period: float
    """Cycle time the heat laws use [s]."""
    head: list[float] = field(default_factory=list)
    """Head of each stage, where its ports exchange heat [K]."""
    line_wall: list[float] = field(default_factory=list)
    """Wall of the line before each stage, where it has one [K]."""


class Plant:
    """Sizes of the machine and its equations. Volumes: drive 1, 2, stages, lines, nodes."""

    def __init__(self, machine: Any, *, lag_by_density: bool = True) -> None:
        self.m, self.gas, self.lag_by_density = machine, laws.Gas(), lag_by_density
        d, s = machine.drive, machine.supply
        self.S = d.stroke
        self.drive_area = [math.pi / 4 * (d.bore**2 - r**2) for r in (d.rod_1, d.rod_2)]
        self.dead = [d.dead_volume_1, d.dead_volume_2]
        self.area = [math.pi / 4 * g.bore**2 for g in machine.stages]
        self.clear = [g.clearance * d.stroke for g in machine.stages]
        self.stages = range(len(machine.stages))
        self.chamber = [2 + i for i in self.stages]
        names = [g.name for g in machine.stages]
        count = 2 + len(names)
        self.line: list[int | None] = []
        self.after: list[int | None] = [None for _ in names]
        for g in machine.stages:
            if g.draws_from == "supply":
                self.line.append(None)
            else:
                self.line.append(count)
                self.after[names.index(g.draws_from)] = count
                count += 1
        self.node = [count, count + 1]
        self.count = count + 2
        self.h_supply = self.gas.enthalpy(s.temperature, s.pressure)
        self.h_ambient = self.gas.enthalpy(machine.ambient.temperature, machine.ambient.pressure)
        self.fixed = np.zeros(self.count)
        for i in self.stages:
            line = self.line[i]
            if line is not None:
                self.fixed[line] = machine.stages[i].line.volume
        self.ported = {
            f"{way} {i}": (i, check)
            for i, g in enumerate(machine.stages)
            for way, check in (("in", g.inlet), ("out", g.delivery))
            if check.port_length > 0.0
        }

    def volumes(self, x: float, stroke: int, around: Around) -> tuple[Array, Array]:
        """Volumes [m3] and their slopes with travel [m2]; x counts from 0 on either stroke."""
        V, dV = self.fixed.copy(), np.zeros(self.count)
        fed, emptied = stroke - 1, 2 - stroke
        V[fed], dV[fed] = self.dead[fed] + self.drive_area[fed] * x, self.drive_area[fed]
        V[emptied] = self.dead[emptied] + self.drive_area[emptied] * (self.S - x)
        dV[emptied] = -self.drive_area[emptied]
        for i in self.stages:
            shrinks = self.m.stages[i].compresses_on == stroke
            travel = self.S - x if shrinks else x
            V[2 + i] = self.area[i] * (self.clear[i] + travel)
            dV[2 + i] = -self.area[i] if shrinks else self.area[i]
        V[self.node[0]], V[self.node[1]] = around.node_volume
        return V, dV

    def instant(self, x: float, v: float, z: Array, stroke: int, around: Around) -> dict[str, Any]:
        """Everything that happens at one instant."""
        m, n = self.m, self.count
        fed, emptied = stroke - 1, 2 - stroke
        V, dV = self.volumes(x, stroke, around)
        mass, T = z[:n], z[n : 2 * n]
        p, h, cv, p_T, u_rho = (np.zeros(n) for _ in range(5))
        omega, mean_speed = 2 * math.pi / around.period, 2 * self.S / around.period
        transport = []
        real = [int(k) for k in range(n) if k not in self.node or around.outflow[k - self.node[0]]]
        for k in real:
            s = self.gas.dense(mass[k] / V[k], T[k])
            p[k], h[k], cv[k] = s.p(), s.hmass(), s.cvmass()
            p_T[k] = s.first_partial_deriv(C.iP, C.iT, C.iDmass)
            u_rho[k] = (p[k] - T[k] * p_T[k]) / (mass[k] / V[k]) ** 2
            if k in self.chamber:
                transport.append((s.rhomass(), s.cpmass(), s.viscosity(), s.conductivity()))
        dm, dH, lag, heat = np.zeros(n), np.zeros(n), np.zeros(n), np.zeros(n)
        flows: dict[str, float] = {}

        def carry(name: str, flow: float, up: int | None, down: int | None) -> None:
            flows[name] = flow
            carried = flow * (self.h_supply if up is None else h[up])
            flows["H " + name] = carried
            taken = 0.0
            if (which := self.ported.get(name)) is not None and flow > 0.0:
                i, check = which
                T_in = m.supply.temperature if up is None else T[up]
                state = self.gas.at(T_in, m.supply.pressure if up is None else p[up])
                gain = ports.port_gain(state, flow, check)
                taken = gain * (around.head[i] - T_in)
                flows["G " + name], flows["GT " + name] = gain, gain * T_in
                if name.startswith("out"):
                    flows["H " + name] += taken
            if up is not None:
                dm[up] -= flow
                dH[up] -= carried
            if down is not None:
                dm[down] += flow
                dH[down] += carried + taken

        sup = m.supply
        fill, outlet = m.valve.supply_path, m.valve.exhaust_path
        carry(
            "supply_path",
            laws.iso_flow(
                fill.sonic, fill.critical_back_pressure_ratio, sup.pressure, p[fed], sup.temperature
            ),
            None,
            fed,
        )
        port = self.node[emptied]
        has_node = around.outflow[emptied] is not None
        back = p[port] if has_node else m.ambient.pressure
        carry(
            "outlet",
            laws.iso_flow(
                outlet.sonic, outlet.critical_back_pressure_ratio, p[emptied], back, T[emptied]
            ),
            emptied,
            port if has_node else None,
        )
        for i, k in enumerate(self.chamber):
            line, after, stage = self.line[i], self.after[i], m.stages[i]
            up_p, up_T = (sup.pressure, sup.temperature) if line is None else (p[line], T[line])
            c = stage.inlet.conductance
            carry(
                f"in {i}",
                laws.iso_flow(
                    c.sonic,
                    c.critical_back_pressure_ratio,
                    up_p,
                    p[k],
                    up_T,
                    stage.inlet.cracking_pressure,
                ),
                line,
                k,
            )
            c = stage.delivery.conductance
            down = m.receiver_pressure if after is None else p[after]
            carry(
                f"out {i}",
                laws.iso_flow(
                    c.sonic,
                    c.critical_back_pressure_ratio,
                    p[k],
                    down,
                    T[k],
                    stage.delivery.cracking_pressure,
                ),
                k,
                after,
            )
        for i, k in enumerate(self.node):
            go = around.outflow[i]
            if go is not None:
                flow = go(p[k], T[k])
                carry(f"port {i}", flow, k, None)
                if flow < 0.0:  # ambient air is drawn back in
                    dH[k] -= flow * (self.h_ambient - h[k])
        if not has_node:
            flows[f"port {emptied}"], flows[f"H port {emptied}"] = (
                flows["outlet"],
                flows["H outlet"],
            )
            flows[f"port {fed}"] = flows[f"H port {fed}"] = 0.0
        hA = np.zeros(n)
        for k in (0, 1):
            wetted = 2 * self.drive_area[k] + math.pi * m.drive.bore * V[k] / self.drive_area[k]
            hA[k] = laws.drive_coefficient(mean_speed, p[k], T[k]) * wetted
            heat[k] = hA[k] * (T[k] - around.drive_wall)
        coefficient, surface = [0.0 for _ in self.stages], [0.0 for _ in self.stages]
        for i, k in enumerate(self.chamber):
            bore = m.stages[i].bore
            surface[i] = 2 * self.area[i] + math.pi * bore * V[k] / self.area[i]
            wall = around.stage_wall[i](V[k] / self.area[i])
            rho, cp, mu, kk = transport[i]
            coefficient[i], lag[k] = laws.stage_law(
                rho, cp, mu, kk, T=T[k], wall=wall, volume=V[k], area=surface[i], bore=bore,
                omega=omega, mean_speed=mean_speed, speed=v, inflow=flows[f"in {i}"],
                mixing=m.models.mixing,
            )  # fmt: skip
            heat[k] = coefficient[i] * surface[i] * (T[k] - wall)
        for i in self.stages:
            line = self.line[i]
            if line is not None:
                own, G, wall = m.stages[i].line, m.stages[i].line.heat_loss, m.ambient.temperature
                if own.length > 0.0:
                    through = flows[f"in {i}"] + flows[f"out {self.after.index(line)}"]
                    state = self.gas.at(T[line], p[line])
                    G = ports.conductance(state, through / 2, own.bore, own.length)
                    wall = around.line_wall[i]
                    flows[f"line {i}"], flows[f"line T {i}"] = G, G * T[line]
                heat[line] = G * (T[line] - wall)
        dT, lagging, lag_share = np.zeros(n), np.zeros(n), np.zeros(n)
        for k in real:
            rho, moved = mass[k] / V[k], dV[k] * v
            capacity = mass[k] * cv[k]
            drho = dm[k] / V[k] - mass[k] * moved / V[k] ** 2
            u = h[k] - p[k] / rho
            gain = dH[k] - heat[k] - p[k] * moved - u * dm[k] - mass[k] * u_rho[k] * drho
            if lag[k] > 0.0:
                # The gas is compressed by its change of volume less the volume it delivers.
                squeezed = moved
                if self.lag_by_density:
                    squeezed += flows[f"out {self.chamber.index(k)}"] / rho
                share = lag_share[k] = lag[k] / (capacity + lag[k])
                lagging[k] = -share * (T[k] * p_T[k] * squeezed + heat[k])
                gain -= lagging[k]
            dT[k] = gain / capacity
        d, ambient = m.drive, m.ambient.pressure
        force = (1 - d.friction_share) * (p[fed] - ambient) * self.drive_area[fed]
        force -= (p[emptied] - ambient) * self.drive_area[emptied] + d.friction
        for i, k in enumerate(self.chamber):
            sign = -1.0 if m.stages[i].compresses_on == stroke else 1.0
            force += (sign - m.stages[i].seal_friction) * (p[k] - ambient) * self.area[i]
        return {
            "dm": dm, "dT": dT, "p": p, "h": h, "T": T.copy(), "V": V, "flows": flows, "hA": hA,
            "heat": heat, "lagging": lagging, "coefficient": coefficient, "surface": surface,
            "force": force, "wall_heat": heat + lagging, "share": lag_share,
        }  # fmt: skip

    def start(self, around: Around) -> Array:
        """A first guess of the state at the reversal to stroke 1."""
        m = self.m
        V, _ = self.volumes(0.0, 1, around)
        p = np.full(self.count, m.ambient.pressure * 1.02)
        p[1] = m.supply.pressure * 0.95
        for i in self.stages:
            line = self.line[i]
            if line is not None:
                p[line] = 0.5 * m.supply.pressure * min(self.area[i - 1] / self.area[i], 40.0)
            source = m.supply.pressure if line is None else p[line]
            p[2 + i] = source
        for i in self.stages:
            after = self.after[i]
            if m.stages[i].compresses_on == 2:
                p[2 + i] = m.receiver_pressure if after is None else p[after]
        T = np.full(self.count, m.ambient.temperature)
        rho = np.array([self.gas.at(a, b).rhomass() for a, b in zip(T, p, strict=True)])
        return np.concatenate([rho * V, T])

    def stroke(self, z: Array, number: int, around: Around) -> tuple[Array, list[Any], float]:
        """Integrate a stroke; return the state after it, its instants and the impact [J]."""
        n, mass = self.count, self.m.drive.moving_mass
        atol = np.concatenate([np.maximum(z[:n] * 1e-7, 1e-12), np.full(n, 1e-4), [1e-9, 1e-7]])
        log: list[Any] = []

        def run(y: Array, moving: bool, span: float, event: Any) -> tuple[Array, float]:
            def slope(t: float, y: Array) -> Array:
                x, v = y[-2], y[-1]
                i = self.instant(x, v if moving else 0.0, y, number, around)
                pull = i["force"] / mass if moving else 0.0
                return np.concatenate([i["dm"], i["dT"], [v if moving else 0.0, pull]])

            found = solve_ivp(
                slope, (0.0, span), y, method="LSODA", rtol=RTOL, atol=atol, dense_output=True,
                events=event, first_step=1e-7,
            )  # fmt: skip
            if not found.success:
                raise ArithmeticError(found.message)
            if event is not None and not found.t_events[0].size:
                raise ArithmeticError("the piston stalls")
            steps = found.t
            thirds = [steps[:-1] + (steps[1:] - steps[:-1]) * c for c in (0.0, 1 / 3, 2 / 3)]
            times = np.append(np.stack(thirds, axis=1).ravel(), steps[-1])
            start = log[-1][0] if log else 0.0
            for t in times:
                row = found.sol(t)
                x, v = row[-2], (row[-1] if moving else 0.0)
                now = self.instant(x, v, row, number, around)
                now["x"], now["v"] = x, v
                log.append((start + t, now))
            return found.y[:, -1], steps[-1]

        y = np.concatenate([z, [0.0, 0.0]])

        def let_go(t: float, y: Array) -> float:
            return float(self.instant(0.0, 0.0, y, number, around)["force"])

        def arrived(t: float, y: Array) -> float:
            return float(y[-2] - self.S)

        for event in (let_go, arrived):
            event.terminal, event.direction = True, 1.0  # type: ignore[attr-defined]
        if let_go(0.0, y) < 0.0:
            y, _ = run(y, False, 20.0, let_go)
        y, _ = run(y, True, 20.0, arrived)
        impact = 0.5 * mass * float(y[-1]) ** 2
        y[-2], y[-1] = self.S, 0.0
        hold = self.m.valve.switching_time + self.m.valve.pause
        if hold > 0.0:
            y, _ = run(y, False, hold, None)
        return y[:-2], log, impact
