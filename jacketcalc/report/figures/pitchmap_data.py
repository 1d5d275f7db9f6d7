"""What a map over pitch and gap shows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.arrays import Array
from jacketcalc.report.figures.number_labels import SI, Shown

Mask = NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True)
class MapLimit:
    """A limit and by how much designs pass it."""

    name: str
    """What breaking it is, such as `discharge above 150 °C`."""
    excess: Array
    """Positive where it is broken, NaN where no design runs, shape (gap, pitch); any unit [-]."""


@dataclass(frozen=True, kw_only=True)
class MapGap:
    """Designs without a number."""

    name: str
    """Why, such as `cannot be built`."""
    mask: Mask
    """Which they are, shape (gap, pitch)."""


@dataclass(frozen=True, kw_only=True)
class PitchMap:
    """A study over two sizes."""

    pitch: Array
    """Pitches, ascending [m]."""
    gap: Array
    """Gaps, ascending [m]."""
    value: Array
    """Shown quantity, NaN where there is none, shape (gap, pitch); in display units [-]."""
    title: str = r"Change of delivery from no jackets,  $\Delta q_m/q_{m,0}$ / %"
    plain_title: str = "Change of delivery from no jackets, in percent"
    change: bool = True
    """Colours diverge from zero."""
    limits: tuple[MapLimit, ...] = ()
    """Limits that some designs keep and others break."""
    gaps: tuple[MapGap, ...] = ()
    """Designs without a number, by reason."""
    remarks: tuple[str, ...] = ()
    """Sentences below the map: limits that every design breaks, what lies outside."""
    level: float | None = None
    """Value that bounds the designs nearly as good as the best, in display units [-]."""
    level_words: str = ""
    """What that is, such as `within 1 % of the best`."""
    drawn: tuple[float, float] | None = None
    """Pitch and gap of the case [m]."""
    drawn_parts: tuple[tuple[str, tuple[float, float]], ...] = ()
    """Stages with pitch and gap of the case, where their jackets differ [m]."""
    best: tuple[float, float] | None = None
    """Pitch and gap of the best [m]."""
    pitch_of: str = ""
    """Whose pitch, such as `stage second`; empty for all jackets."""
    gap_of: str = ""
    """Whose gap."""
    shown: Shown = SI

    @property
    def x(self) -> Array:
        """Pitches in the unit shown [-]."""
        return self.shown.values(self.pitch, "length")

    @property
    def y(self) -> Array:
        """Gaps in the unit shown [-]."""
        return self.shown.values(self.gap, "length")

    @property
    def seen(self) -> Array:
        """The quantity, NaN where no design runs, shape (gap, pitch) [-]."""
        hidden = np.zeros(self.value.shape, dtype=bool)
        for gap in self.gaps:
            hidden |= gap.mask
        return np.where(hidden, np.nan, self.value)
