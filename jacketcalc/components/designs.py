"""Many machines as one: records whose numbers are arrays over designs.

The physics is written over arrays of shape (..., B), B designs side by side. A stacked
record is of the same type as a single one; each float field then holds an array (B,).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from jacketcalc.arrays import Array as Array
from jacketcalc.designs import Design as Design
from jacketcalc.designs import Resistance as Resistance
from jacketcalc.designs import port_stages as port_stages
from jacketcalc.designs import without_jackets as without_jackets
from jacketcalc.inputs import Machine

R = TypeVar("R")


def topology_key(machine: Machine) -> tuple[Any, ...]:
    """Return what must be equal for machines to be solved side by side."""
    return (
        tuple((s.draws_from, s.compresses_on, s.name) for s in machine.stages),
        machine.exhaust_1.to == machine.exhaust_2.to != "atmosphere",
        port_stages(machine),
        machine.models.cylinder,
    )


def stack(records: Sequence[R]) -> R:
    """Return one record whose float fields are arrays (B,) over the given records.

    Words, and None, must agree; the first record's names stand for all.
    """
    stacked: Any = _stack(list(records))
    return cast(R, stacked)


def _stack(records: list[Any]) -> Any:
    first = records[0]
    if isinstance(first, (int, float)):
        return np.array(records, dtype=float)
    if dataclasses.is_dataclass(first):
        kind: Any = type(first)
        names = [f.name for f in dataclasses.fields(first)]
        return kind(**{name: _stack([getattr(r, name) for r in records]) for name in names})
    if isinstance(first, tuple):
        return tuple(_stack(list(part)) for part in zip(*records, strict=True))
    return first


def take(value: R, index: NDArray[np.intp]) -> R:
    """Return a record, or a nest of records and arrays, for some of its designs.

    Arrays have the designs on their last axis.
    """
    taken: Any = _take(value, index)
    return cast(R, taken)


def _take(thing: Any, index: NDArray[np.intp]) -> Any:
    if isinstance(thing, np.ndarray):
        return thing[..., index]
    if dataclasses.is_dataclass(thing):
        kind: Any = type(thing)
        names = [f.name for f in dataclasses.fields(thing)]
        return kind(**{name: _take(getattr(thing, name), index) for name in names})
    if isinstance(thing, tuple):
        return tuple(_take(part, index) for part in thing)
    if isinstance(thing, dict):
        return {k: _take(v, index) for k, v in thing.items()}
    return thing


def put(whole: R, part: R, index: NDArray[np.intp]) -> R:
    """Return a copy of a record, or a nest of them, with some of its designs replaced."""
    new: Any = take(whole, np.arange(_designs(whole)))
    fill(new, part, index, np.arange(index.size))
    return cast(R, new)


def fill(whole: R, part: R, index: NDArray[np.intp], column: NDArray[np.intp]) -> None:
    """Write columns of one nest of records and arrays to places in another, in place."""
    _fill(whole, part, index, column)


def _fill(whole: Any, part: Any, index: NDArray[np.intp], column: NDArray[np.intp]) -> None:
    if isinstance(whole, np.ndarray):
        whole[..., index] = part[..., column]
    elif dataclasses.is_dataclass(whole):
        for f in dataclasses.fields(whole):
            _fill(getattr(whole, f.name), getattr(part, f.name), index, column)
    elif isinstance(whole, tuple):
        for one, other in zip(whole, part, strict=True):
            _fill(one, other, index, column)
    elif isinstance(whole, dict):
        for key, one in whole.items():
            _fill(one, part[key], index, column)


def _designs(thing: Any) -> int:
    """Number of designs of the first array in a nest."""
    while not isinstance(thing, np.ndarray):
        if dataclasses.is_dataclass(thing):
            thing = getattr(thing, dataclasses.fields(thing)[0].name)
        else:
            thing = next(iter(thing.values() if isinstance(thing, dict) else thing))
    return int(thing.shape[-1])
