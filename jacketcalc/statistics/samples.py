"""Points of the unit cube: scrambled Sobol sequences, several of them, independent.

Each replicate alone is an unbiased sample; their spread tells the sampling error, which one
low-discrepancy sequence by itself cannot (randomised quasi-Monte Carlo: Owen 1995; L'Ecuyer and
Lemieux 2002; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.stats.qmc import Sobol

from jacketcalc.arrays import Array
from jacketcalc.errors import RangeError

_BITS = 32
"""Binary digits of a coordinate."""


@dataclass(frozen=True, kw_only=True)
class SampleDesign:
    """How many points are drawn, in how many independent scramblings, from which seed.

    Raises
    ------
    RangeError
        When a count does not allow it.
    """

    inputs: int
    """Coordinates of a point."""
    per_replicate: int = 64
    """Points of one scrambling, a power of two."""
    replicates: int = 8
    """Independent scramblings, at least two."""
    seed: int = 0
    """Seed: with the same one and the same scipy, the points are the same to the last bit."""

    def __post_init__(self) -> None:
        n = self.per_replicate
        if n < 2 or n & (n - 1):
            raise RangeError(
                f"{n} points of a Sobol sequence are not balanced; take a power of two, 2 or more"
            )
        if self.replicates < 2:
            raise RangeError("one scrambling tells no sampling error; take at least 2, better 8")
        if not 1 <= self.inputs <= Sobol.MAXDIM:
            raise RangeError(f"{self.inputs} inputs: 1 to {Sobol.MAXDIM} can be sampled")
        if self.seed < 0:
            raise RangeError(f"the seed {self.seed} is negative; take a whole number from 0")

    @property
    def total(self) -> int:
        """Points in all."""
        return self.per_replicate * self.replicates

    def points(self) -> Array:
        """Return the points, of shape (replicates, per_replicate, inputs), inside (0, 1) [-]."""
        seeds = np.random.SeedSequence(self.seed).spawn(self.replicates)
        return np.stack([self._sequence(seed) for seed in seeds])

    def more(self) -> SampleDesign:
        """Return the design with twice the points, whose first half are the points of this one."""
        return replace(self, per_replicate=2 * self.per_replicate)

    def added_by_more(self) -> Array:
        """Return the points that `more` adds, of the shape of `points` [-]."""
        return self.more().points()[:, self.per_replicate :]

    def _sequence(self, seed: np.random.SeedSequence) -> Array:
        engine = Sobol(self.inputs, scramble=True, bits=_BITS, seed=np.random.default_rng(seed))
        drawn = engine.random(self.per_replicate)
        # The middle of each cell: no point on 0, where a normal has no value.
        centred: Array = drawn + 0.5 ** (_BITS + 1)
        return centred
