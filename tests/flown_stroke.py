"""One stroke of the core from the contents that the plain strokes start from."""

from __future__ import annotations

from typing import Any

import numpy as np
from plain.plain_bounce import DRIVE_WALL, PERIOD, WALL, Start
from stroke_bench import open_curves, unknowns_of

from jacketcalc.core.machine import number_volumes
from jacketcalc.core.parts import StrokeParts
from jacketcalc.designs import Design


class Flown:
    """A stroke that the core has run.

    Parameters
    ----------
    start : what it starts from
    """

    def __init__(self, start: Start) -> None:
        m, parts = start.machine, StrokeParts(Design(machine=start.machine))
        numbering = number_volumes(m)
        self.volumes = [v for v in range(numbering.count) if v not in numbering.nodes]
        p = np.full(numbering.count, m.ambient.pressure)
        p[self.volumes[: len(start.pressure)]] = start.pressure
        unknowns = unknowns_of(
            parts, start.number, p, start.temperature, period=PERIOD,
            wall=[WALL for _ in m.stages], drive=DRIVE_WALL,
        )  # fmt: skip
        curves = open_curves(parts, m, start.temperature)
        self.found: Any = parts.run_stroke(start.number, unknowns, curves)
        self.travel = slice(0, int(self.found["first_rest"]))

    @property
    def time(self) -> float:
        """Time from the reversal to the far stop [s]."""
        return float(self.found["dt"][self.travel].sum())

    @property
    def turned(self) -> list[float]:
        """Where the piston turned back [m]."""
        x = self.found["place"][self.travel]
        return [float(x[i]) for i in range(1, len(x) - 1) if x[i - 1] < x[i] >= x[i + 1]]

    def at_end(self, name: str) -> list[float]:
        """Mass [kg] or temperature [K] of drive chambers, stages and lines at the stroke's end."""
        return [float(self.found[f"end_{name}"][v]) for v in self.volumes]
