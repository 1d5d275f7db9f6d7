"""The core keeps to the memory it is given, and gives the same bytes whatever that held before."""

from __future__ import annotations

import numpy as np
import pytest
from guarded_memory import COARSE, Guarded, machines

from jacketcalc.core.gas import core_air
from jacketcalc.core.layout import blank, records
from jacketcalc.core.library import library
from jacketcalc.core.machine import pack_machine
from jacketcalc.core.parts import PassageParts
from jacketcalc.core.run import solve
from jacketcalc.designs import Design
from jacketcalc.inputs import Machine

FILLS = (0x00, 0xFF, 0x5A)
"""Bytes that memory held before: zeros, doubles that are no numbers, large ones."""


def solved(machine: Machine, fill: int, spare: int = 0) -> bytes:
    """Solve in guarded memory; return the solution's bytes."""
    record, steps = pack_machine(Design(machine=machine)), COARSE.packed()
    space = Guarded(library().core_workspace() - spare, fill)
    found = Guarded(records()["Solution"].itemsize, fill)
    before = record.tobytes(), steps.tobytes()
    ended = library().core_solve(
        record.ctypes.data, core_air().address, steps.ctypes.data, None,
        space.address, space.size, found.address,
    )  # fmt: skip
    assert space.untouched() and found.untouched()
    assert (record.tobytes(), steps.tobytes()) == before
    if spare:
        assert ended == -1
        assert (space.inside == fill).all() and (found.inside == fill).all()
    return bytes(found.inside.tobytes())


@pytest.mark.parametrize("number", range(3))
def test_a_solution_does_not_hang_on_what_memory_held(number: int) -> None:
    machine = machines()[number]
    wanted = solve(Design(machine=machine), COARSE).found.tobytes()
    assert all(solved(machine, fill) == wanted for fill in FILLS)


def test_too_little_memory_is_refused_and_left_alone() -> None:
    solved(machines()[1], 0x5A, spare=8)


@pytest.mark.parametrize("fill", FILLS)
def test_parts_do_not_hang_on_what_memory_held(fill: int) -> None:
    """A flow curve, both strokes, walls and pulses, in guarded work space."""
    design = Design(machine=machines()[0])
    record, steps, air = pack_machine(design), COARSE.packed(), core_air().address
    whole = solve(design, COARSE)
    around, start = blank("PassageWalls"), blank("Unknowns")
    around[...], start[...] = whole.found["around"][0], whole.found["start"]
    space, given = Guarded(library().core_workspace(), fill), record.ctypes.data
    curve = np.zeros(1, dtype=records()["Curve"])
    library().core_curve(given, air, steps.ctypes.data, 0, around.ctypes.data, 260.0,
                         space.address, curve.ctypes.data)  # fmt: skip
    assert curve[0].tobytes() == PassageParts(design, COARSE).curve(260.0, around)[0].tobytes()
    strokes, barrels, pulses = [], [], []
    for memory in (space, Guarded(space.size, 0)):
        found, barrel, cut = blank("Solution"), blank("Barrel"), blank("Pulses")
        found["curve"], barrel[...] = whole.found["curve"], whole.found["barrel"][0]
        library().core_stroke(given, air, steps.ctypes.data, 1, start.ctypes.data, memory.address,
                              found.ctypes.data)  # fmt: skip
        library().core_walls(given, steps.ctypes.data, 0, 290.0, memory.address,
                             barrel.ctypes.data)  # fmt: skip
        rows = [whole.parts[0]["exhaust"][:, 0], whole.parts[0]["T"][:, 2], whole.parts[0]["dt"]]
        rows = [np.ascontiguousarray(row) for row in rows]
        library().core_pulses(rows[0].size, *(row.ctypes.data for row in rows), 10, whole.period,
                              memory.address, cut.ctypes.data)  # fmt: skip
        assert memory.untouched()
        strokes.append(found.tobytes())
        barrels.append(barrel.tobytes())
        pulses.append(cut.tobytes())
    assert strokes[0] == strokes[1] and barrels[0] == barrels[1] and pulses[0] == pulses[1]
    assert np.isfinite(found["stroke"][0]["end_mass"]).all()
