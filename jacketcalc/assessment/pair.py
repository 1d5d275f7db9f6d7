"""Two machines to draw: with jackets and without, or one as it is where none is fed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from jacketcalc.core.outcome import Outcome
from jacketcalc.core.profiles import Detail
from jacketcalc.inputs import Case


class Solved(Protocol):
    """What pictures of a cycle need of a result."""

    @property
    def case(self) -> Case: ...
    @property
    def bare(self) -> Outcome: ...
    @property
    def jacketed(self) -> Outcome: ...
    @property
    def bare_detail(self) -> Detail: ...
    @property
    def jacketed_detail(self) -> Detail: ...


@dataclass(frozen=True, kw_only=True)
class Pair:
    """The machine without jackets and the one with; one and the same where none is fed."""

    case: Case
    bare: Outcome
    jacketed: Outcome
    bare_detail: Detail
    jacketed_detail: Detail


def is_alone(found: Solved) -> bool:
    """Return whether one machine stands for both."""
    return found.bare_detail is found.jacketed_detail
