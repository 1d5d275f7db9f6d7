"""Where the drawn design stands among the values that a study varies."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from jacketcalc.casefile.overrides import find_target, parse_text
from jacketcalc.inputs import Case
from jacketcalc.studies.axes import Axis


@dataclass(frozen=True, kw_only=True)
class DrawnEntry:
    """What the drawn design has for one varied entry, in one part of the machine."""

    part: str
    """Stage or port whose it is; empty where all have the same."""
    text: str
    """As typed, or as filled in; without a tolerance."""
    value: float | None
    """Value on the axis, in SI; of a word its place there, None where it is not among them."""


@dataclass(frozen=True, kw_only=True)
class DrawnSpot:
    """Where the drawn design stands: one value on each axis."""

    part: str
    """Stage or port whose it is; empty where one spot stands for all."""
    entries: tuple[DrawnEntry, ...]
    """What it has on each axis."""

    @property
    def values(self) -> tuple[float | None, ...]:
        """Values on the axes, in SI."""
        return tuple(entry.value for entry in self.entries)


def drawn_entries(case: Case, axis: Axis) -> tuple[DrawnEntry, ...]:
    """Return what a case has for a varied entry: one for all, or one for each stage or port."""
    source = parse_text(case.text, case.file)
    given = {entry.path: entry for entry in case.given}
    found: list[DrawnEntry] = []
    for place in find_target(source, axis.path).paths:
        entry = given.get(source.describe_path(place))
        if entry is None:
            continue
        text = entry.text.partition("+-")[0].partition("±")[0].strip()
        value: float | None
        if axis.words:
            value = float(axis.texts.index(text)) if text in axis.texts else None
        else:
            value = float(entry.value)
        part = source.describe_path(place[:2]).partition(".")[2]
        found.append(DrawnEntry(part=part, text=text, value=value))
    if len({(entry.text, entry.value) for entry in found}) == 1:
        return (DrawnEntry(part="", text=found[0].text, value=found[0].value),)
    return tuple(found)


def drawn_spots(case: Case, axes: Sequence[Axis]) -> tuple[DrawnSpot, ...]:
    """Return where the drawn design of a case stands; none where it has no such entry.

    One spot, or one for each stage or port where these differ.
    """
    every = [drawn_entries(case, axis) for axis in axes]
    found = [combined for combined in itertools.product(*every) if _belong(combined, every)]
    return tuple(
        DrawnSpot(part=" and ".join(dict.fromkeys(e.part for e in own if e.part)), entries=own)
        for own in found
    )


def _belong(combined: Sequence[DrawnEntry], every: Sequence[Sequence[DrawnEntry]]) -> bool:
    """Return whether values go together: a stage's pitch with the gap of the same stage."""
    parts = [{entry.part for entry in own} for own in every]
    return all(
        one.part == two.part or not (parts[i] & parts[j])
        for (i, one), (j, two) in itertools.combinations(enumerate(combined), 2)
    )


def say_drawn(case: Case, axis: Axis) -> str:
    """Return what the drawn design has, such as `13 mm (first), 11 mm (second)`."""
    return ", ".join(
        f"{entry.text} ({entry.part})" if entry.part else entry.text
        for entry in drawn_entries(case, axis)
    )
