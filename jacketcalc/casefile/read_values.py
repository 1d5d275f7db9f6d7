"""What was read from a case, keyed by path, before it becomes records."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from jacketcalc.casefile.positions import Path
from jacketcalc.inputs import Given, Solid


class Origin(NamedTuple):
    """Where the numbers of a table come from."""

    source: str = ""
    """One of the source words, empty where none is stated."""
    reference: str = ""
    """Drawing, catalogue page or record."""


ASSUMED = Origin("assumed")
"""Origin of what the program fills in."""


@dataclass(kw_only=True)
class Values:
    """Numbers in SI, words and materials of one case."""

    numbers: dict[Path, float] = field(default_factory=dict)
    """Quantities and counts, in SI."""
    words: dict[Path, str] = field(default_factory=dict)
    """Texts, names and choices."""
    solids: dict[Path, Solid] = field(default_factory=dict)
    """Materials that a key names."""
    tables: set[Path] = field(default_factory=set)
    """Tables that are there, or filled in."""
    given: list[Given] = field(default_factory=list)
    """Every entry in the order of the schema."""

    def at(self, *path: str | int) -> CaseView:
        """Return the view of one table."""
        return CaseView(self, path)

    @property
    def stage_paths(self) -> tuple[Path, ...]:
        """Paths of the stages, in the order of the file."""
        found = (path for path in self.tables if len(path) == 2 and path[0] == "stage")
        return tuple(sorted(found, key=lambda path: int(path[1])))


@dataclass(frozen=True)
class CaseView:
    """One table of the values."""

    values: Values
    path: Path

    def number(self, key: str) -> float:
        """Return a number that is known to be there."""
        return self.values.numbers[(*self.path, key)]

    def maybe(self, key: str) -> float | None:
        """Return a number, or None where it is missing or could not be read."""
        return self.values.numbers.get((*self.path, key))

    def word(self, key: str) -> str:
        """Return a word, empty where it is missing or could not be read."""
        return self.values.words.get((*self.path, key), "")

    def solid(self, key: str) -> Solid:
        """Return a material that is known to be there."""
        return self.values.solids[(*self.path, key)]

    def has(self, key: str) -> bool:
        """Return whether a table inside this one is there."""
        return (*self.path, key) in self.values.tables

    def inside(self, key: str) -> CaseView:
        """Return the view of a table inside this one."""
        return CaseView(self.values, (*self.path, key))

    def holds(self, *keys: str) -> bool:
        """Return whether all these numbers could be read."""
        return all((*self.path, key) in self.values.numbers for key in keys)
