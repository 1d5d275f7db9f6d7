"""Anderson acceleration of a fixed-point iteration, each design by itself."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.designs import Array

MEMORY = 6
"""Iterations looked back on: longer memories gained nothing (measured)."""
REGULAR = 1e-13
"""Relative ridge on the normal equations [-]."""
GROWTH = 3.0
"""A residual that grows by more than this starts the memory anew [-]."""


class Anderson:
    """Mixes past iterates of y = g(y), shape (unknown, B), to the next guess."""

    def __init__(self) -> None:
        self.y: list[Array] = []
        self.f: list[Array] = []

    def keep(self, index: np.ndarray[tuple[int], np.dtype[np.intp]]) -> None:
        """Keep only some designs."""
        self.y = [y[:, index] for y in self.y]
        self.f = [f[:, index] for f in self.f]

    def clear(self) -> None:
        """Forget."""
        self.y, self.f = [], []

    def mix(self, y: Array, g: Array) -> Array:
        """Return the next guess from the point y and its image g."""
        f = g - y
        self.y.append(y)
        self.f.append(f)
        self.y, self.f = self.y[-MEMORY - 1 :], self.f[-MEMORY - 1 :]
        m = len(self.f) - 1
        if m == 0:
            return g
        dF = np.stack([self.f[i + 1] - self.f[i] for i in range(m)])
        dY = np.stack([self.y[i + 1] - self.y[i] for i in range(m)])
        A = np.einsum("inb,jnb->bij", dF, dF)
        right = np.einsum("inb,nb->bi", dF, f)
        scale = np.sqrt(np.einsum("bii->bi", A)) + 1e-300
        A = A / (scale[:, :, None] * scale[:, None, :])
        A += REGULAR * np.eye(m)
        theta = np.linalg.solve(A, (right / scale)[..., None])[..., 0] / scale
        now, before = (np.abs(v).max(axis=0) for v in (self.f[-1], self.f[-2]))
        theta = np.where((now > GROWTH * before)[:, None], 0.0, theta)
        return np.asarray(g - np.einsum("bi,inb->nb", theta, dY + dF))
