"""The core keeps to the memory it is given, and gives the same bytes whatever that held before."""

from __future__ import annotations

import threading
import time
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import Any

import numpy as np
import pytest
from study_sample import CASES, small_case

from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case
from jacketcalc.core.air import core_air
from jacketcalc.core.layout import blank, constants, records
from jacketcalc.core.library import library
from jacketcalc.core.machine import pack_machine
from jacketcalc.core.parts import PassageParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import solve
from jacketcalc.designs import Design
from jacketcalc.errors import RangeError
from jacketcalc.inputs import Machine

GUARD = 4096
"""Bytes on both sides of what the core may write [-]."""
COARSE = Resolution().scaled(0.35)
FILLS = (0x00, 0xFF, 0x5A)
"""Bytes that memory held before: zeros, doubles that are no numbers, large ones."""


@cache
def machines() -> tuple[Machine, ...]:
    """Two stages, one stage, and one that stalls."""
    laboratory = read_case(str(CASES / "impact_laboratory.toml"))
    stalls = set_value(laboratory, "tank.pressure", "390 bar(g)")
    return laboratory.machine, small_case().machine, stalls.machine


class Guarded:
    """Memory of so many bytes with guards on both sides, all filled with one byte."""

    def __init__(self, size: int, fill: int) -> None:
        self.size, self.fill = size, fill
        self.whole = np.full(size + 2 * GUARD, fill, dtype=np.uint8)

    @property
    def address(self) -> int:
        return int(self.whole.ctypes.data) + GUARD

    @property
    def inside(self) -> Any:
        return self.whole[GUARD : GUARD + self.size]

    def untouched(self) -> bool:
        guards = np.concatenate([self.whole[:GUARD], self.whole[GUARD + self.size :]])
        return bool((guards == self.fill).all())


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


def test_threads_give_the_bytes_of_one_after_the_other() -> None:
    designs = [Design(machine=m) for m in machines()] * 3
    wanted = [solve(design, COARSE).found.tobytes() for design in designs]
    with ThreadPoolExecutor(6) as threads:
        found = list(threads.map(lambda d: solve(d, COARSE).found.tobytes(), designs))
    assert found == wanted


def test_the_stop_flag_ends_a_solution() -> None:
    """Set before, none of it is done; set by another thread, it ends in the midst."""
    design, stop = Design(machine=machines()[0]), np.ones(1, dtype=np.int32)
    found = solve(design, stop=stop).found
    assert int(found["ended"]) == constants()["INTERRUPTED"] and int(found["iterations"]) == 0
    stop[0] = 0
    fine = Resolution().scaled(4.0)

    def set_soon() -> None:
        time.sleep(0.01)
        stop[0] = 1

    setter = threading.Thread(target=set_soon)
    setter.start()
    begin = time.monotonic()
    found = solve(design, fine, stop=stop).found
    took = time.monotonic() - begin
    setter.join()
    assert int(found["ended"]) == constants()["INTERRUPTED"]
    assert int(found["iterations"]) < int(solve(design, fine).found["iterations"])
    assert took < 1.0


WRONG = {
    "stages": 5, "nodes": 3, "volumes": 13, "stage.line": 12, "stage.after": 99, "stage.node": 2,
    "stage.compresses_on": 3, "release": 800, "travel": 1, "rest": 0, "rings": 129,
    "tube_cells": 1, "channel_cells": 107, "levels": 65, "phases": 25,
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_a_record_that_does_not_fit_is_refused_and_nothing_written(name: str) -> None:
    """The core's own border, whatever Python hands over."""
    record, steps = pack_machine(Design(machine=machines()[0])), COARSE.packed()
    first, _, last = name.rpartition(".")
    place = record["stage"][0] if first else record if last in record.dtype.names else steps
    place[last] = WRONG[name]
    space = Guarded(library().core_workspace(), 0x5A)
    found = Guarded(records()["Solution"].itemsize, 0x5A)
    ended = library().core_solve(
        record.ctypes.data, core_air().address, steps.ctypes.data, None,
        space.address, space.size, found.address,
    )  # fmt: skip
    assert ended == -1
    assert (space.whole == 0x5A).all() and (found.whole == 0x5A).all()


@pytest.mark.parametrize(
    ("sizes", "words"),
    [
        ({"travel": 800}, "steps of a stroke: 814"), ({"release": 760}, "steps of a stroke: 816"),
        ({"rings": 129}, "rings: 129"), ({"tube_cells": 60, "channel_cells": 60}, "cells: 120"),
        ({"levels": 65}, "levels: 65"), ({"phases": 25}, "phases: 25"), ({"travel": 1}, "travel"),
        ({"rest": 1}, "rest"), ({"rings": 1}, "rings"), ({"tube_cells": 1}, "tube cells"),
        ({"channel_cells": 1}, "channel cells"), ({"levels": 1}, "levels: 1"),
        ({"phases": 0}, "phases"), ({"release": -1}, "release"), ({"settled": 0.0}, "settled"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused(sizes: dict[str, Any], words: str) -> None:
    """Memory of the core is of fixed size: what is larger would be written beyond it."""
    with pytest.raises(RangeError, match=words):
        Resolution(**sizes).packed()


def test_the_largest_that_fits_is_solved() -> None:
    """As many rings, cells, levels and phases as there is room for, and the fewest."""
    most = constants()
    design = Design(machine=machines()[1])
    full = Resolution(
        release=3, travel=most["MAX_INSTANTS"] // 2 - 11, rest=8, rings=most["MAX_RINGS"],
        tube_cells=12, channel_cells=most["MAX_CELLS"] - 12, levels=most["MAX_LEVELS"],
        phases=most["MAX_PHASES"] // 2,
    )  # fmt: skip
    assert solve(design, full).runs
    least = Resolution(release=1, travel=6, rest=5, rings=3, tube_cells=2, channel_cells=2,
                       levels=4, phases=1)  # fmt: skip
    assert int(solve(design, least).found["ended"]) in range(8)
