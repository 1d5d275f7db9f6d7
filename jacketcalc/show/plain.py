"""Records as plain data for JSON, with the unit of every number on the way."""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from jacketcalc.show.field_units import field_units


class Plain:
    """Turns records into plain data and collects the SI unit of every number by its path.

    In a path `[]` stands for every element of a list and `*` for every key of a map.
    """

    def __init__(self) -> None:
        self.units: dict[str, str] = {}

    def record(self, value: Any, path: str, only: Sequence[str] = ()) -> dict[str, Any]:
        """Return a dataclass as a map, all fields in their order or only those named."""
        units = field_units(type(value).__module__, type(value).__name__)
        names = only or [field.name for field in dataclasses.fields(value)]
        return {
            name: self.value(getattr(value, name), f"{path}.{name}", units.get(name, ""))
            for name in names
        }

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
