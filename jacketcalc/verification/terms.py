"""Which physical terms matter: each was broken on purpose and the main case solved again.

The list is data beside this module; its head says how it is made.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

NEGLIGIBLE_POINTS = 0.1
"""Change of the gain below which a term does not matter: the time steps' own error [points]."""
NEGLIGIBLE_DISCHARGE = 0.5
"""Change of the hottest discharge below which it does not: 0.1 % of it, likewise [K]."""
NEGLIGIBLE_FLOW = 0.1
"""Change of delivered flow below which it does not, likewise [%]."""


@dataclass(frozen=True, kw_only=True)
class Setting:
    """A machine with every term in place: the main case, or one that has what it lacks."""

    name: str
    """What is added to the main case; `as stated` for nothing."""
    gain: float
    """Gain of delivered flow, jacketed over bare [%]."""
    discharge: float
    """Hottest mean discharge temperature of the machine with jackets [K]."""
    flow: float
    """Delivered mass flow of the machine with jackets [kg/s]."""
    tight: float
    """The gain with the jackets wound at 10 mm in place of 30 [%]."""


@dataclass(frozen=True, kw_only=True)
class Term:
    """One term and what breaking it does."""

    name: str
    """Short name, unique."""
    part: str
    """Part of the model."""
    term: str
    """The term in words."""
    broken: str
    """What stood in its place."""
    test: str
    """The test that notices."""
    setting: str
    """Machine it was measured on."""
    gain: float
    """Change of the gain of delivered flow [points]."""
    discharge: float
    """Change of the hottest mean discharge temperature of the machine with jackets [K]."""
    flow: float
    """Change of the delivered flow of the machine with jackets [%]."""
    tight: float
    """Change of the gain with the jackets wound at 10 mm in place of 30 [points]."""
    failure: str = ""
    """What did not settle without the term; empty when all did."""

    @property
    def matters(self) -> bool:
        """Whether breaking it moves a headline number of the main case beyond the numerics."""
        return (
            abs(self.gain) >= NEGLIGIBLE_POINTS
            or abs(self.discharge) >= NEGLIGIBLE_DISCHARGE
            or abs(self.flow) >= NEGLIGIBLE_FLOW
        )

    @property
    def matters_when_tight(self) -> bool:
        """Whether it moves the gain of tightly wound jackets."""
        return abs(self.tight) >= NEGLIGIBLE_POINTS


@dataclass(frozen=True, kw_only=True)
class TermList:
    """All terms, the largest change of the gain first."""

    settings: tuple[Setting, ...]
    """The main case first."""
    terms: tuple[Term, ...]

    @property
    def mattering(self) -> tuple[Term, ...]:
        """Terms that move a headline number of the main case."""
        return tuple(t for t in self.terms if t.matters)

    @property
    def tight(self) -> tuple[Term, ...]:
        """Terms that move nothing but the gain of tightly wound jackets."""
        return tuple(t for t in self.terms if t.matters_when_tight and not t.matters)

    @property
    def idle(self) -> tuple[Term, ...]:
        """Terms that move neither."""
        return tuple(t for t in self.terms if not (t.matters or t.matters_when_tight))


@cache
def term_list() -> TermList:
    """Read the list."""
    file = resources.files("jacketcalc.verification") / "terms.toml"
    data: dict[str, Any] = tomllib.loads(file.read_text("utf-8"))
    terms = [Term(**row) for row in data["term"]]
    return TermList(
        settings=tuple(Setting(**row) for row in data["setting"]),
        terms=tuple(sorted(terms, key=lambda t: (-abs(t.gain), t.name))),
    )
