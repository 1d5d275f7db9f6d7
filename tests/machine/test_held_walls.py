"""Strokes between walls held at given temperatures: what gas does when nothing else moves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from sample import MACHINE

from jacketcalc.core.parts import StrokeParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design

STEPS = Resolution().scaled(0.5)
"""Half the usual steps: directions do not hang on the third digit."""
CYCLES = 150
"""Cycles after which the line between the stages has found its pressure, to 1e-6 (below)."""
WALLS = (260.0, 290.0, 320.0, 350.0, 380.0)
"""Temperatures of barrels, heads and crowns [K]."""


@dataclass(frozen=True)
class Cycle:
    """What one cycle between held walls did, stage by stage."""

    charge: list[float]
    """Temperature at the end of suction [K]."""
    discharge: list[float]
    """Mean temperature of what is delivered, by mass [K]."""
    mass: list[float]
    """Mass delivered [kg]."""


@pytest.fixture(scope="module")
def start() -> Solution:
    """The sample machine as it runs."""
    return solve(Design(machine=MACHINE), STEPS)


def held(start: Solution, wall: float) -> Cycle:
    """Run strokes between the walls until the contents repeat."""
    parts, unknowns = StrokeParts(Design(machine=MACHINE), STEPS), start.found["start"].copy()
    unknowns = np.array(unknowns)
    for name in ("inside", "head", "crown"):
        unknowns[name] = wall
    for _ in range(CYCLES):
        before, strokes = unknowns["mass"].copy(), []
        for number in (1, 2):
            stroke = parts.run_stroke(number, unknowns, start.found["curve"])
            unknowns["mass"], unknowns["energy"] = stroke["end_mass"], stroke["end_energy"]
            strokes.append(stroke)
    used = slice(0, start.numbering.count)
    assert unknowns["mass"][used] == pytest.approx(before[used], rel=1e-6)
    return read(start, strokes)


def read(start: Solution, strokes: list[Any]) -> Cycle:
    """Read a cycle's two strokes."""
    charge, discharge, mass = [], [], []
    for i, stage in enumerate(MACHINE.stages):
        volume, path = start.numbering.stages[i], 3 + 2 * i
        out = strokes[stage.compresses_on - 1]
        charge.append(float(strokes[2 - stage.compresses_on]["end_temperature"][volume]))
        count = int(out["instants"])
        weight = (out["flow"][:, path] * out["dt"])[:count]
        discharge.append(float(out["T"][:count, volume] @ weight / weight.sum()))
        mass.append(float(weight.sum()))
    return Cycle(charge, discharge, mass)


def test_warmer_walls_warm_the_charge(start: Solution) -> None:
    """Walls held at 260 to 380 K: the charge and the discharge follow, the mass falls."""
    cycles = [held(start, wall) for wall in WALLS]
    for i in (0, 1):
        assert np.all(np.diff([c.charge[i] for c in cycles]) > 0.0)
        assert np.all(np.diff([c.discharge[i] for c in cycles]) > 0.0)
        assert np.all(np.diff([c.mass[i] for c in cycles]) < 0.0)
