"""What does not fit the core's memory is refused; the largest that fits is solved."""

from __future__ import annotations

from typing import Any

import pytest
from guarded_memory import COARSE, Guarded, machines

from jacketcalc.core.gas import core_air
from jacketcalc.core.layout import constants, records
from jacketcalc.core.library import library
from jacketcalc.core.machine import pack_machine
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import solve
from jacketcalc.designs import Design
from jacketcalc.errors import RangeError

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
