"""Cycles of the machine whose exhaust leaves as the passage says at every instant.

The strokes are those of `plain_stroke`, begun from the walls and contents that the package
converged to. The walls are held, or moved by the plain script's own balances.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .instant_heat import Means, average_instants, lay_on_walls
from .instant_passage import QUIET, InstantPassage
from .plain_exhaust import instants
from .plain_machine import PlainMachine
from .plain_passage import POINTS, Passage
from .plain_results import machine_numbers
from .plain_stroke import Around
from .split_side import SplitSide, spread

Array = NDArray[np.float64]
Outflow = Callable[[float, float], float]

PLACES = 60
"""Places of a falling pulse at which a curve is put right."""


class HeldMachine(PlainMachine):
    """The plain machine between the walls that the package converged to."""

    def __init__(self, machine: Any, side: SplitSide) -> None:
        super().__init__(machine)
        u = side.start
        self.drive_wall, self.period = float(u["drive_wall"]), float(u["period"])
        for i, b in enumerate(self.barrels):
            middles = 0.5 * (b.edges[1:] + b.edges[:-1]) / b.edges[-1]
            b.inside = spread(side.inside(i), middles)
            b.out = spread(side.outside(i), middles)
            b.head, b.crown = float(u["head"][i]), float(u["crown"][i])
            b.middle_end = b.inside[-1]
        self.ways: list[Passage] = [p for p in self.passages if p is not None]
        for i, passage in enumerate(self.ways):
            passage.set_walls(*side.along(i, POINTS))
            self.outer[i] = {name: passage.walls[name] for name in ("tube", "shell")}
        self.asks = [InstantPassage(passage) for passage in self.ways]
        self.z = np.concatenate(side.contents())

    def cycle(self, outflow: list[Outflow]) -> dict[str, float]:
        """Run a cycle with what the nodes let out; return its headline numbers."""
        around = Around(
            self.drive_wall, [b.seen() for b in self.barrels], list(outflow),
            [1e-5 + 0.5 * p.volume for p in self.ways], self.period,
        )  # fmt: skip
        z, one, impact_1 = self.plant.stroke(self.z, 1, around)
        self.z, two, impact_2 = self.plant.stroke(z, 2, around)
        self.record(one, two, impact_1 + impact_2)
        return machine_numbers(self)

    def direct(self) -> dict[str, float]:
        """Run a cycle in which the passage is marched whenever its flow is asked for."""
        return self.cycle([ask.flow for ask in self.asks])

    def exhaust(self, i: int) -> tuple[Array, Array, Array, Array]:
        """Time, flow, pressure and temperature at a port from the start of its pulse."""
        node, order = self.plant.node[i], np.arange(len(self.t))
        if i == 0:
            order = np.concatenate([order[self.cut :], order[: self.cut]])
        t = np.concatenate([[0.0], np.cumsum(instants(self, order))])
        flow = np.maximum([self.log[k]["flows"][f"port {i}"] for k in order], 0.0)
        return t, flow, self.p[order, node], self.T[order, node]

    def put_right(self, i: int, curve: Outflow) -> Outflow:
        """Scale a curve to what direct marches give along the falling pulse just run.

        Cycles with it settle what direct cycles need not; the last ones are direct.
        """
        _, _, p, T = self.exhaust(i)
        ambient, peak = self.ways[i].ambient_p, int(np.argmax(p))
        falls = np.minimum.accumulate(p[peak:])
        levels = ambient + (p[peak] - ambient) * np.geomspace(
            1.0, QUIET / (p[peak] - ambient), PLACES
        )
        at = peak + np.minimum(np.searchsorted(-falls, -levels), len(falls) - 1)
        at = at[p[at] > ambient + QUIET]
        right = [self.asks[i].flow(p[k], T[k]) / curve(p[k], T[k]) for k in at]
        s, right = np.log(p[at] - ambient)[::-1], np.array(right)[::-1]

        def flow(pressure: float, temperature: float) -> float:
            place = math.log(max(abs(pressure - ambient), QUIET))
            return curve(pressure, temperature) * float(np.interp(place, s, right))

        return flow

    def means(self) -> list[Means]:
        """Average what the exhaust of the cycle just run does to the walls."""
        return [average_instants(self, i, ask) for i, ask in enumerate(self.asks)]

    def move_walls(self, means: list[Means]) -> None:
        """Balance all walls once, and lay them along the passages for the next cycle."""
        for i, passage in enumerate(self.ways):
            lay_on_walls(self, i, passage, means[i])
        self.walls()
        for i, passage in enumerate(self.ways):
            self.set_passage(i, passage)
        for ask in self.asks:
            ask.known.clear()
