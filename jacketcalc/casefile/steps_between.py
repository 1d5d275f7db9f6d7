"""The way from one case to another, one entry that was typed after the other.

Steps change the trees of values that TOML gives, so that what the program fills in follows by
itself, and the last case is the second one.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from jacketcalc.casefile.overrides import parse_text
from jacketcalc.casefile.reading import build_source
from jacketcalc.inputs import Case

ABSENT = "-"
"""What stands for an entry that is not typed."""
_WAYS = ("C", "Qn", "Kv", "Cv", "bore", "reference_atmosphere", "discharge_coefficient")
"""Entries of which one stands in place of another, so that they change together."""
_NO_MACHINE = ("title", "document", "reading")
"""Tables that say nothing of a machine."""
_ORIGIN = ("source", "reference")
"""Entries that say where numbers come from."""

_Place = tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Step:
    """One change on the way."""

    path: str
    """Dotted key path."""
    was: str
    """What was typed; `-` where nothing was."""
    now: str
    """What is typed then; `-` where nothing is."""
    edits: tuple[tuple[_Place, Any], ...]
    """Places in the tree, stages by name, each with its value; None takes it away."""


def list_steps(was: Case, now: Case) -> tuple[Step, ...]:
    """Return the changes that lead from the text of one case to that of another.

    Parameters
    ----------
    was, now : the first case and the second
    """
    return tuple(_differences(_named(_tree(was)), _named(_tree(now)), ()))


def take_steps(case: Case, steps: Sequence[Step]) -> Case:
    """Return a case after some steps, checked as a whole.

    Raises
    ------
    CaseError
        When there can be no such case.
    """
    source = parse_text(case.text, case.file)
    tree = _named(source.tree)
    for step in steps:
        for place, value in step.edits:
            _put(tree, place, value)
    return build_source(replace(source, tree=_listed(tree)))


def _tree(case: Case) -> dict[str, Any]:
    return parse_text(case.text, case.file).tree


def _named(tree: dict[str, Any]) -> dict[str, Any]:
    """Return a tree whose stages stand by their names, in their order."""
    found: dict[str, Any] = copy.deepcopy(tree)
    if isinstance(found.get("stage"), list):
        found["stage"] = {stage["name"]: stage for stage in found["stage"]}
    return found


def _listed(tree: dict[str, Any]) -> dict[str, Any]:
    return {**tree, "stage": list(tree["stage"].values())} if "stage" in tree else tree


def _differences(was: dict[str, Any], now: dict[str, Any], at: _Place) -> Iterator[Step]:
    """Yield the steps of one table; a table that only one case has is one step."""
    keys = [
        key
        for key in dict.fromkeys((*was, *now))
        if was.get(key) != now.get(key) and not _says_no_machine(at, key, was, now)
    ]
    ways = [key for key in keys if key in _WAYS]
    if len(ways) > 1 and any((key in was) != (key in now) for key in ways):
        edits = tuple(((*at, key), now.get(key)) for key in ways)
        yield Step(path=".".join(at), was=_type(was, ways), now=_type(now, ways), edits=edits)
        keys = [key for key in keys if key not in ways]
    for key in keys:
        old, new, place = was.get(key), now.get(key), (*at, key)
        if isinstance(old, dict) and isinstance(new, dict):
            yield from _differences(old, new, place)
        else:
            yield Step(path=".".join(place), was=_spell(old), now=_spell(new),
                       edits=((place, new),))  # fmt: skip


def _says_no_machine(at: _Place, key: str, was: dict[str, Any], now: dict[str, Any]) -> bool:
    """Whether an entry says nothing of a machine; a table of the name `source` is a bottle."""
    if key in _ORIGIN:
        return not any(isinstance(table.get(key), dict) for table in (was, now))
    return at == () and key in _NO_MACHINE


def _type(table: dict[str, Any], keys: Sequence[str]) -> str:
    """Return those entries of a table that are there, as they are typed."""
    told = [f"{key} {_spell(table[key])}" for key in keys if key in table]
    return ", ".join(told) or ABSENT


def _spell(value: Any) -> str:
    if value is None:
        return ABSENT
    return "a table" if isinstance(value, dict) else str(value)


def _put(tree: dict[str, Any], place: _Place, value: Any) -> None:
    node = tree
    for step in place[:-1]:
        node = node.setdefault(step, {})
    if value is None:
        node.pop(place[-1], None)
    else:
        node[place[-1]] = copy.deepcopy(value)
