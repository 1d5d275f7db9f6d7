"""Anderson acceleration of a fixed-point iteration, each design by itself."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.designs import Array

MEMORY = 10
"""Differences looked back on: longer memories gained nothing (measured)."""
REGULAR = 1e-13
"""Relative ridge on the normal equations [-]."""
GROWTH = 3.0
"""A residual that grows by more than this takes a plain step [-]."""


class Anderson:
    """Mixes past iterates of y = g(y), shape (unknown, B), to the next guess.

    What is kept are pairs of differences, which stand for the slope of g - y. They stay
    useful when g changes a little, as when the time grid is refined.

    Parameters
    ----------
    weight : weight of each row in what is made least, shape (unknown,) [-]
    """

    def __init__(self, weight: Array) -> None:
        self.weight = weight
        self.dY: list[Array] = []
        self.dF: list[Array] = []
        self.last: tuple[Array, Array] | None = None

    def keep(self, index: NDArray[np.intp]) -> None:
        """Keep only some designs."""
        self.dY = [v[:, index] for v in self.dY]
        self.dF = [v[:, index] for v in self.dF]
        if self.last is not None:
            self.last = (self.last[0][:, index], self.last[1][:, index])

    def store(self, into: Anderson, index: NDArray[np.intp], column: NDArray[np.intp]) -> None:
        """Put what was learnt of some designs into a memory of the whole batch."""
        for mine, theirs in ((self.dY, into.dY), (self.dF, into.dF)):
            for k in range(1, len(mine) + 1):
                theirs[-k][:, index] = mine[-k][:, column]

    @classmethod
    def blank(cls, weight: Array, designs: int) -> Anderson:
        """Return a memory to be filled design by design; a zero difference teaches nothing."""
        memory = cls(weight)
        memory.dY = [np.zeros((weight.size, designs)) for _ in range(MEMORY)]
        memory.dF = [np.zeros((weight.size, designs)) for _ in range(MEMORY)]
        return memory

    def forget(self, strayed: NDArray[np.bool_]) -> None:
        """Forget what was learnt of some designs."""
        if strayed.any():
            for memory in (self.dY, self.dF):
                memory[:] = [np.where(strayed, 0.0, v) for v in memory]

    def mix(self, y: Array, g: Array) -> Array:
        """Return the next guess from the point y and its image g."""
        f = g - y
        grown = np.zeros(y.shape[1], dtype=bool)
        if self.last is not None:
            self.dY.append(y - self.last[0])
            self.dF.append(f - self.last[1])
            self.dY, self.dF = self.dY[-MEMORY:], self.dF[-MEMORY:]
            grown = np.abs(f).max(axis=0) > GROWTH * np.abs(self.last[1]).max(axis=0)
        self.last = (y, f)
        if not self.dF:
            return g
        dF, dY = np.stack(self.dF), np.stack(self.dY)
        weighed = dF * (self.weight**2)[:, None]
        A = np.einsum("inb,jnb->bij", weighed, dF)
        right = np.einsum("inb,nb->bi", weighed, f)
        scale = np.sqrt(np.einsum("bii->bi", A))
        scale = np.where(scale > 0.0, scale, 1.0)
        A = A / (scale[:, :, None] * scale[:, None, :]) + REGULAR * np.eye(len(dF))
        theta = np.linalg.solve(A, (right / scale)[..., None])[..., 0] / scale
        theta = np.where(grown[:, None], 0.0, theta)
        return np.asarray(g - np.einsum("bi,inb->nb", theta, dY + dF))
