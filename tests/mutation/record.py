"""What a mutation is: one physical term, the lines that break it, and the test that notices."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Part = Literal["passage", "pulses", "walls", "stages", "drive", "valves", "air", "the whole"]
Setting = Literal[
    "as stated",
    "silencers on both outlets",
    "a supply line",
    "two drive cylinders",
    "one jacket not fed",
    "two starts",
    "galleries",
    "swirl law in the cylinders",
    "tubes that hold more than a pulse",
    "laws times factors",
    "streams outside",
    "helium from a source",
    "a fill",
]


@dataclass(frozen=True)
class Edit:
    """A text of one source file of the package, and what stands in its place."""

    file: str
    """The file, from the package's folder."""
    old: str
    """A text that stands there once."""
    new: str
    """What takes its place."""


@dataclass(frozen=True, kw_only=True)
class Mutation:
    """One physical term broken on purpose."""

    name: str
    """Short name, unique."""
    part: Part
    """Part of the model."""
    term: str
    """The term, in words."""
    broken: str
    """What stands in its place."""
    edits: tuple[Edit, ...]
    """The lines that break it, of C or of Python."""
    test: str
    """Id of a cheap test that notices, from the folder of tests."""
    setting: Setting = "as stated"
    """The main case, or what is added to it so that the term plays a part."""
