"""Numbers of a machine by the dotted paths of its case: read and replaced in the records.

A study that changes many numbers at once changes records, not text: a thousandth of the time.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any

from jacketcalc.inputs import Machine

_ELEMENT = {"C": "sonic", "b": "critical_back_pressure_ratio"}
"""Entries of a flow element whose fields have names of their own."""
_KEYS = {"compresses_on_stroke": "compresses_on"}
_TOP: dict[tuple[str, ...], tuple[str, ...]] = {
    ("receiver", "pressure"): ("receiver_pressure",),
    ("supply", "relative_humidity"): ("supply", "intake", "relative_humidity"),
    ("supply", "intake_temperature"): ("supply", "intake", "temperature"),
    ("supply", "intake_pressure"): ("supply", "intake", "pressure"),
    ("supply", "aftercooler_temperature"): ("supply", "intake", "aftercooler_temperature"),
}


def field_path(machine: Machine, path: str) -> tuple[str | int, ...] | None:
    """Return the fields that lead to a number, None where the machine holds no such number.

    Parameters
    ----------
    machine : the machine
    path : dotted path of the case, such as `stage.first.jacket.gap`
    """
    steps: list[str | int] = list(path.split("."))
    if tuple(steps) in _TOP:
        top = _TOP[tuple(map(str, steps))]
        return top if isinstance(read_field(machine, top), int | float) else None
    if steps[0] == "stage":
        names = [stage.name for stage in machine.stages]
        if len(steps) < 3 or steps[1] not in names:
            return None
        steps = ["stages", names.index(str(steps[1])), *steps[2:]]
    if steps[0] == "exhaust":
        steps = [str(steps[1]).replace("port_", "exhaust_"), *steps[2:]]
    if steps[-1] in _ELEMENT:
        check = steps[-2] in ("inlet", "delivery")
        steps = [*steps[:-1], *(["conductance"] if check else []), _ELEMENT[str(steps[-1])]]
    steps[-1] = _KEYS.get(str(steps[-1]), steps[-1])
    found = read_field(machine, tuple(steps))
    return tuple(steps) if isinstance(found, int | float) else None


def read_field(record: Any, steps: tuple[str | int, ...]) -> Any:
    """Return what stands at a path of fields, None where it leads nowhere."""
    for step in steps:
        if isinstance(step, int):
            record = record[step] if step < len(record) else None
        else:
            record = getattr(record, step, None)
        if record is None:
            return None
    return record


def with_numbers(machine: Machine, values: Mapping[tuple[str | int, ...], float]) -> Machine:
    """Return a machine with some of its numbers replaced.

    Parameters
    ----------
    machine : the machine
    values : number of each path of fields, in SI
    """
    changed: Machine = _replace(machine, dict(values))
    return changed


def _replace(record: Any, values: Mapping[tuple[str | int, ...], float]) -> Any:
    """Return a record, or a tuple of records, with numbers below it replaced."""
    inner: dict[str | int, dict[tuple[str | int, ...], float]] = {}
    own: dict[str | int, float] = {}
    for (first, *rest), value in values.items():
        if rest:
            inner.setdefault(first, {})[tuple(rest)] = value
        else:
            own[first] = value
    if isinstance(record, tuple):
        return tuple(
            _replace(part, inner[place]) if place in inner else part
            for place, part in enumerate(record)
        )
    parts: dict[str, Any] = {
        str(name): _replace(getattr(record, str(name)), below) for name, below in inner.items()
    }
    return dataclasses.replace(record, **parts, **{str(k): v for k, v in own.items()})
