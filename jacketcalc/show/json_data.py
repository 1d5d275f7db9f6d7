"""Records as plain data for JSON, with the unit of every number on the way."""

from __future__ import annotations

import dataclasses
import itertools
import json
import math
import re
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import Output, Outputs
from jacketcalc.show.json_names import json_name
from jacketcalc.show.record_units import NO_UNIT, RECORD_UNITS

_STEP = re.compile(r"[^.\[\]]+")
_INDEX = re.compile(r"\[\d+\]")


class Plain:
    """Turns records into plain data and collects the SI unit of every number by its path.

    In a path `[]` stands for every element of a list and `*` for every key of a map.

    Parameters
    ----------
    outputs : results of a machine that stand in every outcome
    """

    def __init__(self, outputs: Outputs = OUTPUTS) -> None:
        self.units: dict[str, str] = {}
        self.outputs = outputs

    def record(self, value: Any, path: str, only: Sequence[str] = ()) -> dict[str, Any]:
        """Return a dataclass as a map, all fields in their order or only those named."""
        units = RECORD_UNITS.get(type(value), {})
        names = only or [field.name for field in dataclasses.fields(value)]
        found = {
            json_name(name): self.value(
                getattr(value, name), f"{path}.{json_name(name)}", units.get(name, "")
            )
            for name in names
        }
        if isinstance(value, Outcome):
            for output in self.outputs:
                self.add(found, output, value, path)
        return found

    def add(self, found: dict[str, Any], output: Output, outcome: Outcome, path: str) -> None:
        """Put a result where its path says, in every place that has it, and note its unit."""
        for place in output.places(outcome):
            value = output.find(outcome, place)
            if value is None:
                continue
            put(found, output.at(place), finite_or_none(value))
            pattern = _INDEX.sub("[]", output.at(place))
            self._note(f"{path}.{pattern}", output.unit or NO_UNIT)

    def value(self, value: Any, path: str, unit: str = "") -> Any:
        """Return anything as plain data; `unit` is what the field that holds it states."""
        if value is None or isinstance(value, (bool, str)):
            return value
        if isinstance(value, (int, float)):
            self._note(path, unit)
            return finite_or_none(value)
        if dataclasses.is_dataclass(value):
            return self._inner(value, path, unit)
        if isinstance(value, Mapping):
            return {key: self.value(item, f"{path}.*", unit) for key, item in value.items()}
        if isinstance(value, np.ndarray):
            value = value.tolist()
        return [self.value(item, f"{path}[]", unit) for item in value]

    def _inner(self, value: Any, path: str, unit: str) -> dict[str, Any]:
        plain = self.record(value, path)
        if unit:
            for name in plain:
                self.units.setdefault(f"{path}.{name}", unit)
        return plain

    def _note(self, path: str, unit: str) -> None:
        if unit:
            self.units.setdefault(path, unit)


def put(found: dict[str, Any], path: str, value: Any) -> None:
    """Put a value where a path such as `stages[1].wall.mean` says, making space on the way."""
    steps = [int(step) if step.isdigit() else step for step in _STEP.findall(path)]
    inside: Any = found
    for step, after in itertools.pairwise(steps):
        inside = _reach(inside, step, [] if isinstance(after, int) else {})
    _reach(inside, steps[-1], None)
    inside[steps[-1]] = value


def _reach(inside: Any, step: int | str, fresh: Any) -> Any:
    """Return what stands at a step of a path; something fresh where nothing does."""
    if isinstance(step, int):
        inside.extend(None for _ in range(len(inside), step + 1))
    elif step not in inside:
        inside[step] = None
    if inside[step] is None:
        inside[step] = fresh
    return inside[step]


def finite_or_none(value: float) -> float | int | None:
    """Return a number, or None where JSON has none for it."""
    if isinstance(value, int):
        return value
    return float(value) if math.isfinite(value) else None


def dump(value: Any, indent: int = 0) -> str:
    """Return plain data as JSON in ASCII; lists of numbers stay on one line."""
    pad, inner = " " * indent, " " * (indent + 1)
    if isinstance(value, dict) and value:
        rows = [
            f"{inner}{json.dumps(key)}: {dump(item, indent + 1)}" for key, item in value.items()
        ]
        return "{\n" + ",\n".join(rows) + f"\n{pad}}}"
    if isinstance(value, list) and any(isinstance(item, (dict, list)) for item in value):
        return "[\n" + ",\n".join(inner + dump(v, indent + 1) for v in value) + f"\n{pad}]"
    return json.dumps(value, allow_nan=False)
