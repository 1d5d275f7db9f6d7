"""Steps, rings and cells that a machine is solved with."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

from jacketcalc.core.layout import blank, constants
from jacketcalc.errors import RangeError


@dataclass(frozen=True, kw_only=True)
class Resolution:
    """How finely a machine is divided."""

    release: int = 6
    """Steps from the reversal of the valve to the piston's start."""
    travel: int = 48
    """Steps of the travel."""
    rest: int = 8
    """Steps of the rest at the far stop."""
    rings: int = 28
    """Axial rings of a barrel; extremes are carried on to its ends (second order)."""
    tube_cells: int = 6
    """Cells of a tube."""
    channel_cells: int = 20
    """Cells of a helical channel."""
    levels: int = 22
    """Levels of flow that make a passage's curve."""
    phases: int = 10
    """Phases of each exhaust pulse: more move jacket heat by 0.2 %, other headline numbers by
    less than 0.1 % (grid convergence index)."""
    settled: float = 1e-4
    """Largest relative change in the last Newton iteration of a step [-]. What is left is its
    square, or so; closure of mass and energy does not depend on it."""

    def scaled(self, factor: float) -> Resolution:
        """Return finer or coarser steps of a stroke, all else unchanged."""
        return replace(
            self,
            release=max(3, round(self.release * factor)),
            travel=max(6, round(self.travel * factor)),
            rest=max(5, round(self.rest * factor)),
            settled=self.settled / min(factor, 1.0) ** 2,
        )

    def packed(self) -> Any:
        """Return the core's record.

        Raises
        ------
        RangeError
            When the core has no space for so many, or cannot do with so few.
        """
        self._check()
        record = blank("Resolution")
        for field in fields(self):
            record[field.name] = getattr(self, field.name)
        return record

    def _check(self) -> None:
        space = constants()
        for what, given, least, most in (
            ("release", self.release, 1, space["MAX_INSTANTS"]),
            ("travel", self.travel, 2, space["MAX_INSTANTS"]),
            ("rest", self.rest, 2, space["MAX_INSTANTS"]),
            # Two instants a step.
            ("steps of a stroke", self.release + self.travel + self.rest, 5,
             space["MAX_INSTANTS"] // 2),
            ("rings", self.rings, 2, space["MAX_RINGS"]),
            ("tube cells", self.tube_cells, 2, space["MAX_CELLS"]),
            ("channel cells", self.channel_cells, 2, space["MAX_CELLS"]),
            ("cells", self.tube_cells + self.channel_cells, 4, space["MAX_CELLS"]),
            ("levels", self.levels, 2, space["MAX_LEVELS"]),
            # A node that takes both strokes' exhaust has them twice.
            ("phases", self.phases, 1, space["MAX_PHASES"] // 2),
        ):  # fmt: skip
            if not least <= given <= most:
                raise RangeError(f"{what}: {given} asked for, {least} to {most} fit")
        if not self.settled > 0.0:
            raise RangeError("settled: it must be above 0")


COARSE = Resolution(
    release=3, travel=30, rest=5, rings=10, tube_cells=3, channel_cells=8, levels=12, phases=5,
    settled=1e-3,
)  # fmt: skip
"""Steps for a first look: changes of the delivery within 0.3 % of those of the standard steps, in
less than half the time (`tests/studies/test_made.py`)."""
