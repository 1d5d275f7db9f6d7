"""One change of the user's own parts, and what the jackets then gain: as data."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.core.outcome import Outcome


@dataclass(frozen=True, kw_only=True)
class SingleChange:
    """One part made by a size larger, or left out, all else as drawn."""

    what: str
    """The change in words, such as `jacket gap 2.5 to 3.5 mm`."""
    entries: tuple[tuple[str, str], ...]
    """Keys of the case with what is typed there, empty where the entry goes."""
    bare: Outcome
    """Machine without jackets that has the change too, where it has that part."""
    jacketed: Outcome
    """Machine with jackets."""
    change: float
    """Judged change by the jackets with it: relative [-], or a difference [K]."""
    gain: float
    """By how much that is better than as drawn, positive for better: [-] or [K]."""
