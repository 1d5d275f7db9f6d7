"""The whole two-stage machine once more: plain, slow, and independent of the package.

    python -m tests.plain.plain_machine                    solve all, write results.json
    python -m tests.plain.plain_machine "bare straight"    solve one of them

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
from scipy.integrate import trapezoid
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from . import plain_laws as laws
from .plain_exhaust import LEAST, average_exhaust
from .plain_passage import POINTS, Passage
from .plain_ports import stated, without_ports
from .plain_results import machine_numbers
from .plain_stroke import Around, Plant
from .plain_walls import NODES, Barrel

Array = NDArray[np.float64]

CASE = Path(__file__).parents[1] / "machines" / "hot.toml"
STORE = Path(__file__).with_name("results.json")
DESIGNS = ("jacketed", "tight pitch", "bare straight")
CURVE = np.geomspace(LEAST, 1.0, 16)
"""Levels of flow of a curve, over the valve's choked flow [-]."""
SETTLED = 5e-5
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
    given = stated(asdict(machine))
    return hashlib.sha256(json.dumps(given, sort_keys=True).encode()).hexdigest()


class PlainMachine:
    """Runs one design until it repeats itself."""

    def __init__(self, machine: Any, **choices: Any) -> None:
        self.m, self.plant = machine, Plant(machine, **choices)
        self.gas = self.plant.gas
        ambient = machine.ambient
        self.barrels = [Barrel(s, machine.drive.stroke, ambient, self.gas) for s in machine.stages]
        names = [s.name for s in machine.stages]
        self.feeds = [
            names.index(e.to) if e.to in names else -1
            for e in (machine.exhaust_1, machine.exhaust_2)
        ]
        self.passages: list[Passage | None] = []
        for exhaust, i in zip((machine.exhaust_1, machine.exhaust_2), self.feeds, strict=True):
            self.passages.append(
                Passage(self.gas, exhaust, machine.stages[i], ambient.pressure) if i >= 0 else None
            )
        cold = ambient.temperature - 10.0
        self.outer = [
            {"tube": np.full(POINTS, cold), "shell": np.full(POINTS, cold)} for _ in range(2)
        ]
        self.port_T = [ambient.temperature - 22.0] * 2
        self.drive_wall, self.period = ambient.temperature, 1.0
        self.line_wall = [ambient.temperature] * len(machine.stages)
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
            around.head, around.line_wall = [b.head for b in self.barrels], self.line_wall
            if not z.size:
                z = self.plant.start(around)
            z, one, impact_1 = self.plant.stroke(z, 1, around)
            z, two, impact_2 = self.plant.stroke(z, 2, around)
            self.record(one, two, impact_1 + impact_2)
            marching = any(self.passages) and (cycle % 2 == 0 or steady)
            if marching:
                for i, passage in enumerate(self.passages):
                    if passage:
                        average_exhaust(self, i, passage)
            self.walls()
            result = machine_numbers(self)
            now = np.array([v for k, v in result.items() if "heat" not in k])
            change = float(np.max(np.abs(now / before - 1))) if now.size == before.size else 1.0
            before = now
            if report:
                report(cycle, change, result)
            steady = steady + 1 if change < 3e-4 else 0
            if change < SETTLED and steady > 2:
                break
        else:
            raise ArithmeticError(f"still moving by {change:.1e} a cycle")
        for i, passage in enumerate(self.passages):
            if passage:
                name = self.m.stages[self.feeds[i]].name
                result[f"{name}: C"] = self.conductance(passage, self.port_T[i])
        return result

    def conductance(self, passage: Passage, T: float) -> float:
        """Sonic conductance read at five times ambient pressure [m3/(s Pa)]."""
        high = 5.0 * self.m.ambient.pressure
        least = 2e-2 if passage.march(2e-2, T).p_port < high else 5e-3
        flow = brentq(lambda f: passage.march(f, T).p_port - high, least, 0.2, rtol=1e-6)
        return float(flow) / (1.185 * high) * math.sqrt(T / 293.15)

    def set_passage(self, i: int, passage: Passage) -> None:
        """Lay the walls along the passage."""
        b = self.barrels[self.feeds[i]]
        z = np.linspace(passage.z0, passage.z1, POINTS)
        middles = 0.5 * (b.edges[1:] + b.edges[:-1])
        passage.set_walls(
            np.interp(z, middles, b.out), self.outer[i]["tube"], self.outer[i]["shell"]
        )

    def curve(self, passage: Passage, T_mean: float) -> Any:
        """Flow of a passage at port pressure and temperature, from marches at two temperatures."""
        choked = self.m.valve.exhaust_path.sonic * 1.185 * self.m.supply.pressure
        ambient = self.m.ambient.pressure
        at = (T_mean - 25.0, T_mean + 25.0)
        rows = []
        for T in at:
            p = [passage.march(f, T).p_port for f in CURVE * choked]
            s = np.log((np.array(p) / ambient) ** 2 - 1)
            rows.append((PchipInterpolator(s, np.log(CURVE * choked)), s[0], s[-1]))

        def one(row: Any, s: float) -> float:
            line, low, high = row
            if s < low:
                return float(line(low)) + s - low
            if s > high:
                return float(line(high)) + 0.5 * (s - high)
            return float(line(s))

        def flow(p: float, T: float) -> float:
            square = (p / ambient) ** 2 - 1
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
        return float(trapezoid([i["flows"][name] for i in self.log], self.t))

    def mean(self, kind: str, names: list[str]) -> float:
        """Mean of what ports or lines do over the cycle, nothing where none flows."""
        rows = [[i["flows"].get(f"{kind} {name}", 0.0) for i in self.log] for name in names]
        return sum(float(trapezoid(row, self.t)) for row in rows) / self.period

    def work(self, values: Array, sign: float = 1.0) -> float:
        """Integral of a value over travel, both strokes forward."""
        c = self.cut
        return float(trapezoid(values[:c], self.x[:c]) + sign * trapezoid(values[c:], self.x[c:]))

    def walls(self) -> None:
        """Balance barrels and drive wall for the cycle just run."""
        m, ambient = self.m, self.m.ambient
        flanges, pulled = 0.0, 0.0
        for i, b in enumerate(self.barrels):
            k = 2 + i
            coefficient = np.array([r["coefficient"][i] for r in self.log])
            lagging = np.array([r["lagging"][k] for r in self.log])
            heat = np.array([r["heat"][k] for r in self.log])
            # Part of the lagging heat answers T - wall: it belongs to the coefficient.
            share = np.array([r["share"][k] for r in self.log])
            lagging, coefficient = lagging + share * heat, coefficient * (1 - share)
            b.gas_load(
                self.t, self.V[:, k] / self.plant.area[i], coefficient, self.T[:, k], lagging
            )
            names = [f"{way} {i}" for way in ("in", "out") if f"{way} {i}" in self.plant.ported]
            b.ports = (self.mean("G", names), self.mean("GT", names))
            if (line := m.stages[i].line) is not None and line.length > 0.0:
                G, pull = self.mean("line", [f"{i}"]), self.mean("line T", [f"{i}"])
                lost = line.heat_loss
                self.line_wall[i] = (pull + lost * ambient.temperature) / (G + lost)
            b.rub_skirt(self.t, self.V[:, k] / self.plant.area[i])
            rub = m.stages[i].seal_friction * self.plant.area[i]
            seal = rub * self.work(self.p[:, k] - ambient.pressure) / self.period
            b.solve(seal, *self.jacket[i], self.drive_wall)
            flanges += b.flange
            pulled += b.flange * b.middle_end
        hA = np.stack([r["hA"][:2] for r in self.log])
        G = float(trapezoid(hA.sum(axis=1), self.t)) / self.period
        pull = float(trapezoid((hA * self.T[:, :2]).sum(axis=1), self.t)) / self.period
        d, c = m.drive, self.cut
        friction = self.impact + 2 * d.friction * self.plant.S
        for fed, rows in ((0, slice(0, c)), (1, slice(c, None))):
            push = (
                (self.p[rows, fed] - ambient.pressure)
                * self.plant.drive_area[fed]
                * d.friction_share
            )
            friction += float(trapezoid(push, self.x[rows]))
        outside = d.bore + 2 * d.wall_thickness
        h = laws.ambient_coefficient(
            self.gas,
            outside,
            d.material.emissivity,
            self.drive_wall,
            ambient.temperature,
            ambient.pressure,
        )
        out = h * (math.pi * outside * d.stroke + math.pi / 2 * outside**2)
        top = pull + friction / self.period + out * ambient.temperature + pulled
        self.drive_wall = top / (G + out + flanges)


def read_whole() -> Any:
    """Read the shipped case: the only thing asked of the package."""
    from jacketcalc.casefile.reading import read_case

    return read_case(str(CASE)).machine


def read_machine() -> Any:
    """Read it without ports and the line's wall, as probes and other scripts take it."""
    return without_ports(read_whole())


def probe_march(machine: Any) -> list[float]:
    """March one passage with given walls: pressure at the port, temperature at the outlet."""
    gas = laws.Gas()
    passage = Passage(gas, machine.exhaust_1, machine.stages[-1], machine.ambient.pressure)
    passage.set_walls(*(np.full(POINTS, T) for T in (330.0, 285.0, 285.0)))
    found = passage.march(0.02, 250.0)
    return [found.p_port, gas.temperature(found.h0_outlet, machine.ambient.pressure)]


def probe_strokes(machine: Any) -> list[float]:
    """Run it bare for two cycles between given walls: times, masses, temperatures."""
    plant = Plant(design(machine, "bare straight"))
    walls = [lambda _, T=T: T for T in (340.0, 450.0)]
    around = Around(300.0, walls, [None, None], [1e-5, 1e-5], 0.9)  # type: ignore[arg-type]
    z, times = plant.start(around), []
    for number in (1, 2, 1, 2):
        z, log, _ = plant.stroke(z, number, around)
        times.append(float(log[-1][0]))
    n = plant.count - 2
    return [*times, *map(float, z[:n]), *map(float, z[plant.count : plant.count + n])]


def keep(name: str, found: Any) -> None:
    """Put one entry into the store."""
    kept = json.loads(STORE.read_text()) if STORE.exists() else {}
    kept[name] = found
    STORE.write_text(json.dumps(kept, indent=1) + "\n")


def main(names: list[str]) -> None:
    """Solve designs and keep what they give beside the hash of their inputs."""
    machine, whole = read_machine(), read_whole()
    keep("probe", {"march": probe_march(machine), "strokes": probe_strokes(machine)})
    for name in names or DESIGNS:
        own = design(whole, name)

        def report(cycle: int, change: float, result: dict[str, float], name: str = name) -> None:
            rate, flow = result["cycle rate"], result["delivered mass flow"]
            print(
                f"{name}: cycle {cycle}, change {change:.1e}, {rate:.5f}/s, {flow:.6e} kg/s",
                flush=True,
            )

        keep(name, {"inputs": fingerprint(own), "results": PlainMachine(own).solve(report)})


if __name__ == "__main__":
    main(sys.argv[1:])
