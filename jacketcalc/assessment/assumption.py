"""An assumed number of a case, and what it alone does to the answer."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Assumption:
    """An assumed number, taken to both ends of what is plausible, all others as stated."""

    path: str
    """Dotted path of the case."""
    dimension: str
    """Dimension of the number, of `jacketcalc.units`."""
    value: float
    """As stated or filled in [SI]."""
    low: float
    """Low end [SI]."""
    high: float
    """High end [SI]."""
    at_low: float
    """Judged change with the number at its low end, for the better positive [-, of temperatures
    K]."""
    at_high: float
    """The same at its high end [-, of temperatures K]."""
    flips: bool
    """Whether the judged change has another sign at an end than as stated."""
