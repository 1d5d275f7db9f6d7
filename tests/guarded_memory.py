"""Machines for the core's memory, and memory with guards on both sides."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from study_sample import CASES, small_case

from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case
from jacketcalc.core.resolution import Resolution
from jacketcalc.inputs import Machine

GUARD = 4096
"""Bytes on both sides of what the core may write [-]."""
COARSE = Resolution().scaled(0.35)


@cache
def machines() -> tuple[Machine, ...]:
    """Two stages, one stage, and one that stalls."""
    laboratory = read_case(str(CASES / "hot.toml"))
    stalls = set_value(laboratory, "receiver.pressure", "390 bar(g)")
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
