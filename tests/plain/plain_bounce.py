"""Strokes whose piston turns back, creeps or sticks, integrated in time by scipy's LSODA.

    python -m tests.plain.plain_bounce     run the strokes that changed, write bounce.json

A stroke is a chain of integrations that end where the piston's state changes: resting at its
stop, going on, going back, held by friction, arrived. Friction is Coulomb's: against the motion,
and up to the same force against what would move a piston at rest. Gas, valves and heat laws are
those of `plain_stroke`, which shares no code with the package.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from .plain_machine import design, fingerprint
from .plain_ports import without_ports
from .plain_stroke import Around, Plant

Array = NDArray[np.float64]

CASES = Path(__file__).parents[1] / "machines"
STORE = Path(__file__).with_name("bounce.json")
RTOL = 1e-7
LONGEST = 400.0
"""Time after which a piston that is held is given up [s]."""
MOST_PIECES = 200
"""Changes of the piston's state after which a stroke is given up [-]."""
NODE = 1e-5
"""Volume of an exhaust node that opens into the air [m3]."""
WALL, DRIVE_WALL, PERIOD = 330.0, 295.0, 0.5
"""Walls of stages and drive [K], cycle time that the heat laws assume [s]."""


@dataclass(frozen=True, kw_only=True)
class Start:
    """What a stroke starts from."""

    machine: Any
    number: int
    """Stroke, 1 or 2."""
    pressure: list[float]
    """Of drive chamber 1 and 2, stages, lines, shape (volume,) [Pa]."""
    temperature: float = 295.0
    """Of all of them [K]."""

    def inputs(self) -> str:
        """Hash what the stroke depends on."""
        given = [self.number, *self.pressure, self.temperature, WALL, DRIVE_WALL, PERIOD]
        return fingerprint(self.machine) + ":" + ",".join(f"{value:.10g}" for value in given)


def starts() -> dict[str, Start]:
    """Return the strokes by name; only the numbers of two shipped cases are the package's."""
    from jacketcalc.casefile.reading import read_case

    one, two = (
        design(without_ports(read_case(str(CASES / f"{name}.toml")).machine), "bare straight")
        for name in ("single", "hot")
    )
    heavy = change(one, valve=15.0, mass=30.0, delivery=(0.1,))
    shut = change(one, valve=15.0, mass=30.0, delivery=(0.01,))
    rubs = change(one, valve=15.0, mass=30.0, delivery=(0.01,), friction=500.0)
    slow = change(one, valve=0.3, mass=3.0, delivery=(0.005,))
    pair = change(two, valve=15.0, mass=40.0, delivery=(1.0, 0.01))
    fed = change(one, valve=0.05, mass=3.0, delivery=(2.0,), inlet=(6.0,), bore=0.060)
    outlet = replace(fed.valve.exhaust_path, sonic=5e-8)
    fed = replace(fed, valve=replace(fed.valve, exhaust_path=outlet), receiver_pressure=9e5)
    supply, ambient = one.supply.pressure, one.ambient.pressure
    filled = [1.02 * ambient, 0.95 * supply, supply]
    return {
        "bounces": Start(machine=heavy, number=1, pressure=filled),
        "bounces long": Start(machine=shut, number=1, pressure=filled),
        "sticks": Start(machine=rubs, number=1, pressure=filled),
        "creeps": Start(machine=slow, number=1, pressure=filled),
        "two stages": Start(
            machine=pair, number=1,
            pressure=[1.02 * ambient, 0.95 * two.supply.pressure, 5e5, 40e5, 38e5],
        ),
        "thrown back": Start(machine=fed, number=1, pressure=[6.5e5, 1.3e5, 1.2e5]),
    }  # fmt: skip


def change(
    m: Any, *, valve: float, mass: float, delivery: tuple[float, ...],
    inlet: tuple[float, ...] = (), friction: float = 0.0, bore: float = 0.0,
) -> Any:  # fmt: skip
    """Return a machine with a valve [dm3/(s bar)], moving mass [kg], check valves and friction."""

    def sized(element: Any, litres: float) -> Any:
        return replace(element, sonic=litres * 1e-8)

    def checked(check: Any, litres: float) -> Any:
        return replace(check, conductance=sized(check.conductance, litres))

    stages = [
        replace(stage, delivery=checked(stage.delivery, size))
        for stage, size in zip(m.stages, delivery, strict=True)
    ]
    for i, size in enumerate(inlet):
        stages[i] = replace(stages[i], inlet=checked(stages[i].inlet, size))
    if bore:
        stages = [replace(stage, bore=bore) for stage in stages]
    opened = replace(
        m.valve,
        supply_path=sized(m.valve.supply_path, valve),
        exhaust_path=sized(m.valve.exhaust_path, valve),
    )
    drive = replace(m.drive, moving_mass=mass, friction=friction or m.drive.friction)
    return replace(m, valve=opened, drive=drive, stages=tuple(stages))


class Flight:
    """One stroke in time.

    Parameters
    ----------
    start : what it starts from
    """

    def __init__(self, start: Start) -> None:
        m, self.start = start.machine, start
        self.m, self.plant = m, Plant(m)
        walls = [lambda bared: WALL for _ in m.stages]
        self.around = Around(DRIVE_WALL, walls, [None, None], [NODE, NODE], PERIOD)
        self.fed, self.time, self.turns, self.lost = start.number - 1, 0.0, 0, 0.0
        self.turned: list[float] = []

    def instant(self, y: Array, moving: bool) -> dict[str, Any]:
        v = float(y[-1]) if moving else 0.0
        return self.plant.instant(float(y[-2]), v, y, self.start.number, self.around)

    def forces(self, y: Array) -> tuple[float, float]:
        """Force of the gas along the stroke, and friction [N]."""
        m, p, ambient = self.m, self.instant(y, False)["p"], self.m.ambient.pressure
        fed, emptied, d = self.fed, 1 - self.fed, self.m.drive
        area = self.plant.drive_area
        gas = (p[fed] - ambient) * area[fed] - (p[emptied] - ambient) * area[emptied]
        rub = d.friction + d.friction_share * (p[fed] - ambient) * area[fed]
        for i, k in enumerate(self.plant.chamber):
            push = (p[k] - ambient) * self.plant.area[i]
            gas += -push if m.stages[i].compresses_on == self.start.number else push
            rub += m.stages[i].seal_friction * push
        return float(gas), float(rub)

    def integrate(self, y: Array, way: int, span: float, events: list[Any]) -> tuple[Array, int]:
        """Go on, +1, back, -1, or rest, 0; return the state and the event that ended it, or -1."""
        n, mass = self.plant.count, self.m.drive.moving_mass
        floor = np.maximum(np.abs(y[:n]) * 1e-8, 1e-14)
        atol = np.concatenate([floor, np.full(n, 1e-5), [1e-10, 1e-8]])

        def slope(t: float, y: Array) -> Array:
            now = self.instant(y, way != 0)
            pull = 0.0
            if way:
                gas, rub = self.forces(y)
                pull = (gas - way * rub) / mass
            return np.concatenate([now["dm"], now["dT"], [y[-1] if way else 0.0, pull]])

        found = solve_ivp(
            slope, (0.0, span), y, method="LSODA", rtol=RTOL, atol=atol, events=events or None,
            first_step=1e-8, max_step=span if way == 0 else 2e-3,
        )  # fmt: skip
        if not found.success:
            raise ArithmeticError(found.message)
        self.time += float(found.t[-1])
        ended = [i for i, times in enumerate(found.t_events or []) if times.size]
        return found.y[:, -1], ended[0] if ended else -1

    def run(self) -> dict[str, Any]:
        """Follow the stroke to its end; return its time, turns and end state."""
        p, T = np.zeros(self.plant.count), self.start.temperature
        p[:] = self.m.ambient.pressure
        p[: len(self.start.pressure)] = self.start.pressure
        volume, _ = self.plant.volumes(0.0, self.start.number, self.around)
        rho = np.array([self.plant.gas.at(T, each).rhomass() for each in p])
        y = np.concatenate([rho * volume, np.full(self.plant.count, T), [0.0, 0.0]])
        way = 0
        arrived, pieces = False, 0
        while not arrived and self.time < LONGEST:
            pieces += 1
            if pieces > MOST_PIECES:
                raise ArithmeticError("the piston turns without end")
            if way == 0:
                y, way = self.rest(y)
                if way == 0:
                    break
            else:
                y, way, arrived = self.move(y, way)
        travel = self.time
        hold = self.m.valve.switching_time + self.m.valve.pause
        if arrived:
            y, _ = self.integrate(y, 0, hold, [])
        n = self.plant.count
        kept = [k for k in range(n) if k not in self.plant.node]
        return {
            "arrived": arrived, "time": travel, "turns": self.turns, "lost": self.lost,
            "turned": self.turned, "place": float(y[-2]),
            "mass": [float(y[k]) for k in kept], "temperature": [float(y[n + k]) for k in kept],
        }  # fmt: skip

    def rest(self, y: Array) -> tuple[Array, int]:
        """At the stop, or held by friction, until the gas moves it; return the way it goes."""
        at_stop = y[-2] <= 0.0

        def on(t: float, y: Array) -> float:
            gas, rub = self.forces(y)
            return gas - rub

        def back(t: float, y: Array) -> float:
            gas, rub = self.forces(y)
            return gas + rub if not at_stop else 1.0

        on.terminal, on.direction = True, 1.0  # type: ignore[attr-defined]
        back.terminal, back.direction = True, -1.0  # type: ignore[attr-defined]
        if on(0.0, y) > 0.0:
            return y, 1
        if back(0.0, y) < 0.0:
            return y, -1
        y, ended = self.integrate(y, 0, LONGEST, [on, back])
        return y, (1, -1)[ended] if ended >= 0 else 0

    def move(self, y: Array, way: int) -> tuple[Array, int, bool]:
        """Until it arrives, is back at its stop, or its speed is none."""
        y = y.copy()
        y[-1] = 1e-9 * way if y[-1] == 0.0 else y[-1]
        events: list[Any] = [
            lambda t, y: y[-2] - self.plant.S,
            lambda t, y: y[-2] + 1e-12,
            lambda t, y: y[-1] * way,
        ]
        for event, direction in zip(events, (1.0, -1.0, -1.0), strict=True):
            event.terminal, event.direction = True, direction
        y, ended = self.integrate(y, way, LONGEST, events)
        if ended < 0:
            return y, 0, False
        if ended < 2:
            self.lost += 0.5 * self.m.drive.moving_mass * float(y[-1]) ** 2
            y[-2] = self.plant.S if ended == 0 else 0.0
        elif way > 0:
            gas, rub = self.forces(y)
            if gas < -rub:
                self.turns += 1
                self.turned.append(float(y[-2]))
        y[-1] = 0.0
        return y, 0, ended == 0


def main() -> None:
    """Run the strokes that are new or changed and keep what was found."""
    kept = json.loads(STORE.read_text()) if STORE.exists() else {}
    for name, start in starts().items():
        if name in kept and kept[name]["inputs"] == start.inputs():
            continue
        found = Flight(start).run()
        kept[name] = {"inputs": start.inputs(), "results": found}
        print(
            name, {k: v for k, v in found.items() if k not in ("mass", "temperature")}, flush=True
        )
        STORE.write_text(json.dumps(kept, indent=1) + "\n")


if __name__ == "__main__":
    main()
