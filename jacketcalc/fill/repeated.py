"""What fills back to back came to."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.fill.result import Fill
from jacketcalc.inputs import Case

FILLS = 10
"""Fills that are followed at most [-]."""
SAME_TIME, SAME_TEMPERATURE = 1e-3, 0.2
"""Change of time, relative [-], and of the hottest places [K], below which fills repeat."""


@dataclass(frozen=True, kw_only=True)
class Series:
    """Fills of one machine, one after the other."""

    fills: tuple[Fill, ...]
    """Those that were followed; further ones are as the last."""
    repeats: bool
    """Whether the last is as the one before it."""

    def at(self, place: int) -> Fill:
        """Return the fill at a place, from 0; the last where it was not followed."""
        return self.fills[min(place, len(self.fills) - 1)]


@dataclass(frozen=True, kw_only=True)
class RepeatedFills:
    """Repeated fills with and without jackets."""

    case: Case
    """The case."""
    target: float
    """Pressure asked for [Pa]."""
    pause: float
    """Pause between two fills [s]."""
    count: int
    """Fills asked for [-]."""
    no_jackets: Series
    """The machine without jackets."""
    with_jackets: Series | None
    """The machine with its jackets; None where it has none."""

    @property
    def named(self) -> tuple[tuple[str, Series], ...]:
        """Each machine's fills with the machine's name."""
        if self.with_jackets is None:
            return (("as it is", self.no_jackets),)
        return ("with jackets", self.with_jackets), ("no jackets", self.no_jackets)
