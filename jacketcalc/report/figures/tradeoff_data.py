"""What the trade-off figure shows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.report.figures.number_labels import SI, Shown, signed


@dataclass(frozen=True, kw_only=True)
class Closed:
    """Pitches of which there is nothing to show."""

    low: float
    """Lower end [m]."""
    high: float
    """Upper end [m]."""
    words: str
    """Why, such as `cannot be built`."""


@dataclass(frozen=True, kw_only=True)
class Tradeoff:
    """A comparison of pitches; arrays run over the pitches compared, ascending.

    Where a pitch could not be solved its numbers are NaN and it shows as a gap.
    """

    stage: str
    """Stage whose charge is shown."""
    pitch: Array
    """Pitches compared [m]."""
    turns: Array
    """Turns of the helix [-]."""
    charge: Array
    """Temperature at start of compression [K]."""
    charge_low: Array
    """Lower end of its band [K]."""
    charge_high: Array
    """Upper end of its band [K]."""
    charge_bare: float
    """Temperature at start of compression of the machine without jackets [K]."""
    change: Array
    """Relative change of delivered flow against bare [-]."""
    change_low: Array
    """Lower end of its band, paired [-]."""
    change_high: Array
    """Upper end of its band, paired [-]."""
    cooling: Array | None = None
    """Part of the change that cooling alone would give [-]."""
    resistance: Array | None = None
    """Part of the change that resistance alone would give [-]."""
    varied: str = ""
    """Whose pitch is varied, such as `stage second`; empty for all jackets together."""
    drawn: float | None = None
    """Pitch of the case [m]."""
    plateau: tuple[float, float] | None = None
    """Pitches as good as the best [m]."""
    plateau_words: str = ""
    """What "as good" means, such as `within 0.25 of the best`."""
    still_rising: bool = False
    """The best stands at the end of the range."""
    closed: tuple[Closed, ...] = ()
    """Pitches that cannot be built, or at which the machine stalls."""
    band_words: str = "model range"
    """What the bands are, such as `low to high closure`."""
    shown: Shown = SI

    @property
    def best(self) -> int:
        """Index of the pitch with the most delivered flow."""
        return int(np.nanargmax(self.change))

    @property
    def x(self) -> Array:
        """Pitches in the unit shown [-]."""
        return self.shown.values(self.pitch, "length")

    def at_drawn(self, values: Array) -> float:
        """Return an array's value at the drawn pitch, straight between its neighbours; NaN
        outside them."""
        if self.drawn is None:
            return float("nan")
        return float(np.interp(self.drawn, self.pitch, values, left=np.nan, right=np.nan))

    def lines(self) -> list[str]:
        """Return the numbers that matter, drawn and best, with their bands."""
        size = f"{self.shown.length(float(self.pitch[self.best]))} {self.shown.unit('length')}"
        words = "best compared" + (", still rising" if self.still_rising else "")
        best = [float(v[self.best]) for v in (self.change, self.change_low, self.change_high)]
        lines = [f"{words}, {size}:  {_ends(best)}"]
        drawn = [self.at_drawn(v) for v in (self.change, self.change_low, self.change_high)]
        if self.drawn is not None and np.isfinite(drawn).all():
            solved = float(np.abs(self.pitch - self.drawn).min()) < 1e-6
            size = f"{self.shown.length(self.drawn)} {self.shown.unit('length')}"
            lines.insert(0, f"as drawn, {size}:  {'' if solved else 'about '}{_ends(drawn)}")
        return lines


def _ends(change: list[float]) -> str:
    """Return a change in percent with the ends of its band."""
    net, low, high = (signed(100.0 * v) for v in change)
    return net if low == high else f"{net} ({low} to {high})"
