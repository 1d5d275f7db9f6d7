"""The whole two-stage machine once more: plain, slow, and independent of the package.

    python -m tests.plain.plain_machine            solve the three designs, write results.json
    python -m tests.plain.plain_machine bare       solve one of them

Only the case file's numbers come from the package. Cycles are run one after the other in
time; walls, curves and exhaust averages follow them by plain substitution until nothing
moves.
"""

from __future__ import annotations

import hashlib
import json
import math
import sys
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from . import plain_laws as laws
from .plain_passage import POINTS, Passage, Profile
from .plain_stroke import Around, Plant
from .plain_walls import NODES, Barrel, outer_wall

Array = NDArray[np.float64]

CASE = Path(__file__).parents[2] / "cases" / "impact_laboratory.toml"
STORE = Path(__file__).with_name("results.json")
DESIGNS = ("jacketed", "tight pitch", "bare straight")
CURVE = np.geomspace(1e-4, 1.0, 26)
"""Levels of flow of a curve, over the valve's choked flow [-]."""
PULSES = 32
"""Instants of a pulse at which the passage is marched."""
FINE = 720
"""Pieces of the channel that are laid on the wall's nodes."""
SETTLED = 2e-5
"""Relative change between cycles at which the machine counts as settled [-]."""


def design(machine: Any, name: str) -> Any:
    """Change the case's machine into one of the designs."""
    stages = machine.stages
    if name == "tight pitch":
        pitched = (replace(s, jacket=replace(s.jacket, pitch=0.010)) for s in stages)
        return replace(machine, stages=tuple(pitched))
    if name == "bare straight":
        open_air = replace(machine.exhaust_1, to="atmosphere", tube=None, silencer=None)
        return replace(
            machine,
            stages=tuple(replace(s, jacket=None) for s in stages),
            exhaust_1=open_air,
            exhaust_2=open_air,
        )
    return machine


def fingerprint(machine: Any) -> str:
    """Hash the exact inputs of a design."""
    return hashlib.sha256(json.dumps(asdict(machine), sort_keys=True).encode()).hexdigest()


class PlainMachine:
    """Runs one design until it repeats itself."""

    def __init__(self, machine: Any, **choices: Any) -> None:
        self.m, self.plant = machine, Plant(machine, **choices)
        self.gas = self.plant.gas
        room = machine.room
        self.barrels = [Barrel(s, machine.drive.stroke, room, self.gas) for s in machine.stages]
        names = [s.name for s in machine.stages]
        self.feeds = [names.index(e.to) if e.to in names else -1 for e in (machine.exhaust_1, machine.exhaust_2)]
        self.passages: list[Passage | None] = []
        for exhaust, i in zip((machine.exhaust_1, machine.exhaust_2), self.feeds, strict=True):
            self.passages.append(Passage(self.gas, exhaust, machine.stages[i], room.pressure) if i >= 0 else None)
        cold = room.temperature - 10.0
        self.outer = [{"tube": np.full(POINTS, cold), "shell": np.full(POINTS, cold)} for _ in range(2)]
        self.port_T = [room.temperature - 22.0] * 2
        self.drive_wall, self.period = room.temperature, 1.0
        self.jacket = [np.zeros((2, NODES)) for _ in machine.stages]
        self.out: dict[str, Any] = {}

    def solve(self, report: Any = None) -> dict[str, float]:
        """Run cycles until nothing moves; return the headline numbers."""
        around = Around(0.0, [], [None, None], [0.0, 0.0], 1.0)
        for i, passage in enumerate(self.passages):
            around.node_volume[i] = 1e-5 + 0.5 * passage.volume if passage else 1e-5
        z = np.zeros(0)
        steady, before = 0, np.zeros(1)
        for cycle in range(80):
            if cycle % 2 == 0 or steady:
                for i, passage in enumerate(self.passages):
                    if passage:
                        self.set_passage(i, passage)
                        around.outflow[i] = self.curve(passage, self.port_T[i])
            around.drive_wall, around.period = self.drive_wall, self.period
            around.stage_wall = [b.seen() for b in self.barrels]
            if not z.size:
                z = self.plant.start(around)
            z, one, impact_1 = self.plant.stroke(z, 1, around)
            z, two, impact_2 = self.plant.stroke(z, 2, around)
            self.record(one, two, impact_1 + impact_2)
            marching = any(self.passages) and (cycle % 2 == 0 or steady)
            if marching:
                for i, passage in enumerate(self.passages):
                    if passage:
                        self.exhaust(i, passage)
            self.walls()
            result = self.result()
            now = np.array([*result.values(), *z])
            change = float(np.max(np.abs(now / before - 1))) if now.size == before.size else 1.0
            before = now
            if report:
                report(cycle, change, result)
            steady = steady + 1 if change < SETTLED * 5 else 0
            if change < SETTLED and steady > 2:
                break
        return result

    def set_passage(self, i: int, passage: Passage) -> None:
        """Lay the walls along the passage."""
        b = self.barrels[self.feeds[i]]
        z = np.linspace(passage.z0, passage.z1, POINTS)
        middles = 0.5 * (b.edges[1:] + b.edges[:-1])
        passage.set_walls(np.interp(z, middles, b.out), self.outer[i]["tube"], self.outer[i]["shell"])

    def curve(self, passage: Passage, T_mean: float) -> Any:
        """Flow of a passage at port pressure and temperature, from marches at two temperatures."""
        choked = self.m.valve.vent.sonic * 1.185 * self.m.supply.pressure
        room = self.m.room.pressure
        at = (T_mean - 25.0, T_mean + 25.0)
        rows = []
        for T in at:
            p = [passage.march(f, T).p_port for f in CURVE * choked]
            s = np.log((np.array(p) / room) ** 2 - 1)
            rows.append((PchipInterpolator(s, np.log(CURVE * choked)), s[0], s[-1]))

        def one(row: Any, s: float) -> float:
            line, low, high = row
            if s < low:
                return float(line(low)) + s - low
            if s > high:
                return float(line(high)) + 0.5 * (s - high)
            return float(line(s))

        def flow(p: float, T: float) -> float:
            square = (p / room) ** 2 - 1
            s = math.log(max(abs(square), 1e-12))
            part = (math.log(T) - math.log(at[0])) / (math.log(at[1]) - math.log(at[0]))
            value = one(rows[0], s) * (1 - part) + one(rows[1], s) * part
            return math.copysign(math.exp(value), square)

        return flow

    def record(self, one: list[Any], two: list[Any], impact: float) -> None:
        """Turn both strokes into arrays over time."""
        shift = one[-1][0]
        rows = one + [(t + shift, i) for t, i in two]
        self.t = np.array([t for t, _ in rows])
        self.cut = len(one)
        self.log = [i for _, i in rows]
        self.impact = impact
        self.period = float(self.t[-1])
        self.x = np.array([i["x"] for i in self.log])
        self.p, self.T, self.V = (np.stack([i[n] for i in self.log]) for n in ("p", "T", "V"))

    def total(self, name: str) -> float:
        """Integral of a flow over the cycle."""
        return float(np.trapezoid([i["flows"][name] for i in self.log], self.t))

    def work(self, values: Array, sign: float = 1.0) -> float:
        """Integral of a value over travel, both strokes forward."""
        c = self.cut
        return float(np.trapezoid(values[:c], self.x[:c]) + sign * np.trapezoid(values[c:], self.x[c:]))

    def exhaust(self, i: int, passage: Passage) -> None:
        """March the pulse of a port and average what it does to the walls over the cycle."""
        node = self.plant.node[i]
        order = np.arange(len(self.t))
        if i == 0:  # its pulse is on stroke 2
            order = np.concatenate([order[self.cut :], order[: self.cut]])
        t = np.concatenate([[0.0], np.cumsum(self._steps(order))])
        flow = np.maximum([self.log[k]["flows"][f"port {i}"] for k in order], 0.0)
        T = self.T[order, node]
        flowing = flow / (flow + 0.005 * flow.max() + 1e-12)
        measure = np.concatenate([[0.0], np.cumsum(np.diff(t) * 0.5 * (flow[1:] ** 0.8 + flow[:-1] ** 0.8))])
        measure /= measure[-1]
        marks = np.linspace(0.0, 1.0, PULSES)
        tail = float(np.interp(0.97, measure, t))
        when = np.interp(marks, measure, t)
        when[-1] = tail + 0.5 * (when[-2] - tail) if when[-2] > tail else when[-2]
        when[0] = t[int(np.argmax(flow > 0.2 * flow.max()))] if flow[0] < 0.2 * flow.max() else t[0]
        least = CURVE[0] * self.m.valve.vent.sonic * 1.185 * self.m.supply.pressure
        at = [(max(float(np.interp(w, t, flow)), least), float(np.interp(w, t, T))) for w in when]
        marches = [passage.march(f, max(T0, 165.0)) for f, T0 in at]
        self._average(i, passage, t, flow, T, flowing, measure, marks, marches)

    def _steps(self, order: Array) -> Array:
        steps = np.diff(self.t)
        if order[0] == 0:
            return steps
        c = self.cut
        return np.concatenate([steps[c:], [0.0], steps[: c - 1]])

    def _average(
        self,
        i: int,
        passage: Passage,
        t: Array,
        flow: Array,
        T: Array,
        flowing: Array,
        measure: Array,
        marks: Array,
        marches: list[Profile],
    ) -> None:
        period = t[-1]
        weight = np.zeros(len(marches))
        mass = np.zeros(len(marches))
        steps = 0.5 * (np.diff(t, prepend=t[0]) + np.diff(t, append=t[-1]))
        place = np.clip(measure * (len(marks) - 1), 0, len(marks) - 1 - 1e-9)
        k = place.astype(int)
        part = place - k
        for w, b in ((flowing, weight), (flow, mass)):
            np.add.at(b, k, (1 - part) * w * steps)
            np.add.at(b, k + 1, part * w * steps)
        # Between marched instants h goes with flow^0.8, which the measure already follows.
        share = weight / period
        rest = max(period - weight.sum(), 0.0)
        still = self._still(passage, t, flow, T, measure, rest)
        G = sum(w * r.inner for w, r in zip(share, marches, strict=True))
        pull = sum(w * r.inner * r.seen["channel"] for w, r in zip(share, marches, strict=True))
        G = G + still["inner"] * rest / period
        pull = pull + still["inner"] * still["channel"] * rest / period
        stage = self.feeds[i]
        self.jacket[stage] = self._on_nodes(stage, passage, G, pull)
        barrel = passage.walls["barrel"]
        x = np.linspace(0.0, passage.length, POINTS)
        heat = float(np.trapezoid(G * barrel - pull, x))
        rest_heat = float(np.trapezoid(still["inner"] * (barrel - still["channel"]), x)) * rest / period
        total = mass.sum()
        gas, m = self.gas, self.m
        cp = 1005.0
        inlet = sum(w * gas.temperature(r.h0_joint, r.p["channel"][0]) for w, r in zip(mass, marches, strict=True)) / total
        outlet = sum(w * gas.temperature(r.h0_vent, r.p["channel"][-1]) for w, r in zip(mass, marches, strict=True)) / total
        for name, wall, res, dia, em, per in (
            ("tube", "tube", passage.tube_wall, passage.tube_outside, passage.tube.material.emissivity, 1.0),
            ("channel", "shell", passage.shell_wall, passage.shell_outside, passage.jacket.shell.emissivity,
             passage.jacket.wound_length / passage.length),
        ):  # fmt: skip
            g = sum(w * r.outer[name] for w, r in zip(share, marches, strict=True)) + still["outer " + name] * rest / period
            q = sum(w * r.outer[name] * r.seen[name] for w, r in zip(share, marches, strict=True))
            q = q + still["outer " + name] * still[name] * rest / period
            self.outer[i][wall] = outer_wall(gas, self.outer[i][wall], g, q, dia, em, res, per, m.room)
        self.port_T[i] = float(np.trapezoid(flow * T, t) / np.trapezoid(flow, t))
        back = self.p[:, self.plant.node[i]] - m.room.pressure
        self.out[m.stages[stage].name] = {
            "heat": heat,
            "rest heat": rest_heat,
            "inlet": inlet,
            "outlet": outlet + rest_heat / (total / period * cp),
            "back peak": float(back.max()),
        }

    def _still(self, passage: Passage, t: Array, flow: Array, T: Array, measure: Array, rest: float) -> dict[str, Array]:
        """Air at rest: it warms from where the last tenth of the pulse left it."""
        last = measure >= 0.9
        seconds = np.trapezoid((flow / (flow + 0.005 * flow.max()))[last], t[last])
        carried = np.trapezoid(flow[last], t[last])
        T_last = np.trapezoid((flow * T)[last], t[last]) / carried
        r = passage.march(float(carried / seconds), float(T_last))
        p = min(r.p["tube"][0], r.p["channel"][-1])
        out: dict[str, Array] = {"inner": np.zeros(POINTS)}
        for part in ("tube", "channel"):
            seen = np.empty(POINTS)
            outer = np.empty(POINTS)
            for j in range(POINTS):
                s = self.gas.at(r.T[part][j], p)
                k, rho, cp = s.conductivity(), s.rhomass(), s.cpmass()
                if part == "tube":
                    inner, outer[j], held = 0.0, 3.66 * k * math.pi, passage.tube_area
                    wall_in, wall_out = 0.0, passage.walls["tube"][j]
                else:
                    h = 4.861 * k / passage.Dh
                    inner, outer[j], held = h * (passage.floor + passage.sides), h * passage.roof, passage.area
                    wall_in, wall_out = passage.walls["barrel"][j], passage.walls["shell"][j]
                    out["inner"][j] = inner
                both = inner + outer[j]
                equal = (inner * wall_in + outer[j] * wall_out) / both
                units = both * rest / (rho * cp * held)
                seen[j] = equal - (equal - r.T[part][j]) * (1 - math.exp(-units)) / units
            out[part], out["outer " + part] = seen, outer
        return out

    def _on_nodes(self, stage: int, passage: Passage, G: Array, pull: Array) -> Array:
        """Lay conductance and pull per length of path on the nodes of the barrel."""
        x = (np.arange(FINE) + 0.5) / FINE
        z = passage.z0 + x * (passage.z1 - passage.z0)
        b = self.barrels[stage]
        k = np.minimum((z / b.dz).astype(int), NODES - 1)
        out = np.zeros((2, NODES))
        even = np.linspace(0.0, 1.0, POINTS)
        for row, value in zip(out, (G, pull), strict=True):
            np.add.at(row, k, np.interp(x, even, value) * passage.length / FINE)
        return out

    def walls(self) -> None:
        """Balance barrels and drive wall for the cycle just run."""
        m, room = self.m, self.m.room
        mounts, pulled = 0.0, 0.0
        for i, b in enumerate(self.barrels):
            k = 2 + i
            coefficient = np.array([r["coefficient"][i] for r in self.log])
            surface = np.array([r["surface"][i] for r in self.log])
            lagging = np.array([r["lagging"][k] for r in self.log])
            heat = np.array([r["heat"][k] for r in self.log])
            if not self.plant.lag_by_density:
                # Part of the lagging heat answers T - wall: it belongs to the coefficient.
                share = np.array([r["share"][k] for r in self.log])
                lagging = lagging + share * heat
                coefficient = coefficient * (1 - share)
            b.gas_load(self.t, self.V[:, k] / self.plant.area[i], coefficient, self.T[:, k], lagging)
            assert surface.all()
            rub = m.stages[i].seal_friction * self.plant.area[i]
            seal = rub * self.work(self.p[:, k] - room.pressure) / self.period
            b.solve(seal, *self.jacket[i], self.drive_wall)
            mounts += b.mount
            pulled += b.mount * b.middle_end
        hA = np.stack([r["hA"][:2] for r in self.log])
        G = float(np.trapezoid(hA.sum(axis=1), self.t)) / self.period
        pull = float(np.trapezoid((hA * self.T[:, :2]).sum(axis=1), self.t)) / self.period
        d, c = m.drive, self.cut
        friction = self.impact + 2 * d.friction * self.plant.S
        for fed, rows in ((0, slice(0, c)), (1, slice(c, None))):
            push = (self.p[rows, fed] - room.pressure) * self.plant.drive_area[fed] * d.friction_share
            friction += float(np.trapezoid(push, self.x[rows]))
        outside = d.bore + 2 * d.wall_thickness
        h = laws.room_coefficient(self.gas, outside, d.material.emissivity, self.drive_wall, room.temperature, room.pressure)
        out = h * (math.pi * outside * d.stroke + math.pi / 2 * outside**2)
        top = pull + friction / self.period + out * room.temperature + pulled
        self.drive_wall = top / (G + out + mounts)

    def result(self) -> dict[str, float]:
        """The headline numbers, SI."""
        m, period, gas, plant = self.m, self.period, self.gas, self.plant
        last = len(m.stages) - 1
        delivered, drive = self.total(f"out {last}"), self.total("fill")
        out = {
            "cycle rate": 1 / period,
            "delivered mass flow": delivered / period,
            "drive air per kg": drive / delivered,
            "drive wall temperature": self.drive_wall,
        }
        for i, stage in enumerate(m.stages):
            out |= {f"{stage.name}: {key}": value for key, value in self._stage(i, stage).items()}
            for key, value in self.out.get(stage.name, {}).items():
                out[f"{stage.name}: {key}"] = value
        for i in range(2):
            mass = self.total(f"port {i}")
            node = plant.node[i]
            if self.passages[i] is None:
                h = self.total(f"H port {i}") / mass
                out[f"port {i + 1}: temperature"] = gas.temperature(h, m.room.pressure)
                continue
            flow = np.array([r["flows"][f"port {i}"] for r in self.log])
            out[f"port {i + 1}: temperature"] = float(np.trapezoid(flow * self.T[:, node], self.t)) / mass
            back = self.p[:, node] - m.room.pressure
            out[f"port {i + 1}: back mean"] = float(np.trapezoid(flow * back, self.t)) / mass
            out[f"port {i + 1}: back peak"] = float(back.max())
        return out

    def _stage(self, i: int, stage: Any) -> dict[str, float]:
        m, gas, plant = self.m, self.gas, self.plant
        k, line, after = 2 + i, plant.line[i], plant.after[i]
        drawn, given = self.total(f"in {i}"), self.total(f"out {i}")
        flow_in = np.array([r["flows"][f"in {i}"] for r in self.log])
        flow_out = np.array([r["flows"][f"out {i}"] for r in self.log])
        source = np.full(len(self.t), m.supply.pressure) if line is None else self.p[:, line]
        rows = slice(0, self.cut) if stage.compresses_on == 1 else slice(self.cut, None)
        excess = (self.p[:, k] - source + stage.inlet.opening_pressure)[rows]
        j = int(np.argmax(excess >= 0.0))
        part = 0.0 if j == 0 else -excess[j - 1] / (excess[j] - excess[j - 1])
        low = max(j - 1, 0)
        T, p = self.T[rows, k], self.p[rows, k]
        charge_T = T[low] + part * (T[j] - T[low])
        charge_p = p[low] + part * (p[j] - p[low])
        if line is None:
            suction_T, reference = m.supply.temperature, m.supply.pressure
        else:
            suction_p = float(np.trapezoid(flow_in * self.p[:, line], self.t)) / drawn
            suction_T = gas.temperature(self.total(f"H in {i}") / drawn, suction_p)
            reference = charge_p + stage.inlet.opening_pressure
        delivery_p = m.tank_pressure if after is None else float(np.trapezoid(flow_out * self.p[:, after], self.t)) / given
        sign = 1.0 if stage.compresses_on == 1 else -1.0
        push = self.p[:, k] * plant.area[i]
        b = self.barrels[i]
        heat = np.array([r["wall_heat"][k] for r in self.log])
        return {
            "charge temperature": float(charge_T),
            "discharge temperature": gas.temperature(self.total(f"H out {i}") / given, delivery_p),
            "peak temperature": float(self.T[:, k].max()),
            "mass per stroke": given,
            "volumetric efficiency": given / (gas.at(suction_T, reference).rhomass() * plant.area[i] * plant.S),
            "compression work": sign * self.work(push, -1.0),
            "gas heat": float(np.trapezoid(heat, self.t)) / self.period,
            "wall min": float(b.inside.min()),
            "wall mean": float(b.inside.mean()),
            "wall max": float(b.inside.max()),
        }


def read_machine() -> Any:
    """Read the shipped case: the only thing asked of the package."""
    from jacketcalc.casefile.reading import read_case

    return read_case(str(CASE)).machine


def main(names: list[str]) -> None:
    """Solve designs and keep what they give beside the hash of their inputs."""
    machine = read_machine()
    kept = json.loads(STORE.read_text()) if STORE.exists() else {}
    for name in names or DESIGNS:
        own = design(machine, name)

        def report(cycle: int, change: float, result: dict[str, float], name: str = name) -> None:
            rate, flow = result["cycle rate"], result["delivered mass flow"]
            print(f"{name}: cycle {cycle}, change {change:.1e}, {rate:.5f}/s, {flow:.6e} kg/s", flush=True)

        kept[name] = {"inputs": fingerprint(own), "results": PlainMachine(own).solve(report)}
        STORE.write_text(json.dumps(kept, indent=1) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
