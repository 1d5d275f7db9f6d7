"""What a mutation is: one physical term, how it is broken, and the test that notices."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Literal

from .patching import Patch

Part = Literal["passage", "pulses", "walls", "stages", "drive", "valves", "air", "the whole"]
Setting = Literal["as stated", "silencers on both vents", "a supply line", "one jacket not fed"]


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
    apply: Callable[[Patch], None]
    """Makes the change."""
    test: str
    """Id of the cheapest test found that notices, from the folder of tests."""
    setting: Setting = "as stated"
    """The main case, or what is added to it so that the term plays a part."""


@contextmanager
def applied(mutation: Mutation) -> Iterator[None]:
    """Break the term for the time of a block."""
    patch = Patch()
    try:
        mutation.apply(patch)
        yield
    finally:
        patch.undo()
