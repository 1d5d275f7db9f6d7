"""Stroke and passage coupled instant by instant, against the split by a flow curve.

    python -m tests.plain.instant_split        remake instant.json: some ten minutes

First the walls are held at the package's. Between them the plain strokes run with the
package's flow curve, and then with the passage marched whenever its flow is asked for: the
same integrator, so that the difference is the cost of the split. Then the walls follow by the
plain script's balances, loaded by every instant.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import numpy as np

from . import plain_laws as laws
from .instant_cycle import HeldMachine
from .instant_passage import InstantPassage
from .plain_machine import fingerprint, read_machine
from .plain_passage import POINTS, Passage
from .split_side import SplitSide, weights

STORE = Path(__file__).with_name("instant.json")
REPEATS = 2e-5
"""Relative change between cycles at which a run counts as settled; LSODA's own is 1e-5 [-]."""
MOST = 30
PUT_RIGHT = 3
"""Cycles by a curve put right, before a direct one; a line forgets by 0.6 a cycle."""
WALL_CYCLES = 4
"""Such cycles while walls follow; begun at the package's, they stand within 0.05 K."""


def change(now: dict[str, float], before: dict[str, float]) -> float:
    """Largest relative change of the headline numbers [-]."""
    return max(abs(value / before[key] - 1.0) for key, value in now.items())


def say(what: str, now: dict[str, float]) -> None:
    """Show where a run has got to."""
    rate, flow = now["cycle rate"], now["delivered mass flow"]
    print(f"{what}: {rate:.6f}/s, {flow:.6e} kg/s", flush=True)


def by_curve(run: HeldMachine, side: SplitSide) -> dict[str, float]:
    """Settle between held walls with the package's flow curves."""
    before = run.cycle([side.curve(i) for i in range(2)])
    for _ in range(MOST):
        now = run.cycle([side.curve(i) for i in range(2)])
        moved = change(now, before)
        say("curve", now)
        if moved < REPEATS:
            return now | package_heat(run, side)
        before = now
    raise ArithmeticError(f"cycles still change by {moved:.1e}")


def by_instants(run: HeldMachine, side: SplitSide) -> dict[str, Any]:
    """Go on with the passage marched at every instant, walls held."""
    before: dict[str, float] = {}
    for _ in range(PUT_RIGHT):
        before = run.cycle([run.put_right(i, side.curve(i)) for i in range(2)])
        say("held walls", before)
    now = run.direct()
    moved = change(now, before)
    say("held walls, direct", now)
    return {"last change": moved, "results": now | package_heat(run, side) | own_heat(run)}


def walls_follow(run: HeldMachine, side: SplitSide) -> dict[str, Any]:
    """Let the walls follow what every instant does to them; the last cycle is direct."""
    before: dict[str, float] = {}
    for _ in range(WALL_CYCLES):
        run.move_walls(run.means())
        before = run.cycle([run.put_right(i, side.curve(i)) for i in range(2)])
        say("own walls", before)
    run.move_walls(run.means())
    now = run.direct()
    moved = change(now, before)
    say("own walls, direct", now)
    return {"last change": moved, "results": now | own_heat(run)}


def package_heat(run: HeldMachine, side: SplitSide) -> dict[str, float]:
    """What the package makes of the exhaust just run: heat in phases and at instants [W]."""
    t, flow, _, T = (np.stack(row, axis=1) for row in zip(*map(run.exhaust, (0, 1)), strict=True))
    dt, flowing = weights(t, flow)
    phases, each = side.heat_in_phases(flow, T, dt), side.heat_at_instants(flow, T, dt, flowing)
    found = {}
    for i, stage in enumerate(run.feeds):
        name = run.m.stages[stage].name
        found[f"{name}: package heat, phases"] = float(phases[i])
        found[f"{name}: package heat, instants"] = float(each[i])
    return found


def own_heat(run: HeldMachine) -> dict[str, float]:
    """Heats [W] and temperatures [K] of the cycle just run, every instant marched."""
    found = {}
    for stage, means in zip(run.feeds, run.means(), strict=True):
        numbers = {
            "heat": means.heat["barrel"],
            "rest heat": means.rest_heat,
            "tube heat": means.heat["tube"],
            "shell heat": means.heat["shell"],
            "inlet": means.inlet,
            "outlet": means.outlet,
        }
        found |= {f"{run.m.stages[stage].name}: {key}": v for key, v in numbers.items()}
    return found


def probe(machine: Any) -> list[float]:
    """Flows of one passage with given walls, marched at three instants [kg/s]."""
    passage = Passage(laws.Gas(), machine.exhaust_1, machine.stages[-1], machine.ambient.pressure)
    passage.set_walls(*(np.full(POINTS, T) for T in (330.0, 285.0, 285.0)))
    ask = InstantPassage(passage)
    return [ask.flow(p, T) for p, T in ((1.02e5, 280.0), (1.3e5, 240.0), (1.85e5, 260.0))]


def main(store: Path = STORE) -> None:
    """Make all runs and keep them."""
    machine = read_machine()
    side = SplitSide(machine)
    run = HeldMachine(machine, side)
    kept: dict[str, Any] = {"inputs": fingerprint(machine), "probe": probe(machine)}
    for name, make in (("curve", by_curve), ("instants", by_instants), ("walls", walls_follow)):
        kept[name] = make(run, side)
        store.write_text(json.dumps(kept, indent=1) + "\n")


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:]))
