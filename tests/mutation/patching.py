"""Patches of the package in memory: functions, constants, methods, undone together."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Callable
from typing import Any

# Every module of the physics stands loaded, so that one that comes later keeps no mutant.
import jacketcalc.assessment.assess  # noqa: F401 (loaded for its imports)

Make = Callable[[Any], Any]


class Patch:
    """Replaces things of the package wherever they were imported, and puts them back."""

    def __init__(self) -> None:
        self.undoing: list[Callable[[], None]] = []

    def function(self, module: str, name: str, make: Make) -> None:
        """Replace a function by what `make` makes of it, under every name it was imported by."""
        old = getattr(_load(module), name)
        new = make(old)
        for owner in _loaded():
            for key, value in list(vars(owner).items()):
                if value is old:
                    self._set(owner, key, new)

    def constant(self, module: str, name: str, value: object) -> None:
        """Give a module constant another value, wherever it was imported."""
        old = getattr(_load(module), name)
        for owner in _loaded():
            if vars(owner).get(name) is old:
                self._set(owner, name, value)

    def method(self, module: str, kind: str, name: str, make: Make) -> None:
        """Replace a method or property of a class."""
        owner = getattr(_load(module), kind)
        self._set(owner, name, make(vars(owner)[name]))

    def entry(self, module: str, name: str, key: str, make: Make) -> None:
        """Replace an entry of a module's dictionary by what `make` makes of the dictionary."""
        table = getattr(_load(module), name)
        old = table[key]
        table[key] = make(table)
        self.undoing.append(lambda: table.__setitem__(key, old))

    def undo(self) -> None:
        """Put everything back, last change first."""
        while self.undoing:
            self.undoing.pop()()

    def _set(self, owner: Any, name: str, value: object) -> None:
        old = vars(owner)[name]
        setattr(owner, name, value)
        self.undoing.append(lambda: setattr(owner, name, old))


def _load(module: str) -> Any:
    return importlib.import_module(f"jacketcalc.{module}")


def _loaded() -> list[Any]:
    return [m for name, m in list(sys.modules.items()) if name.startswith("jacketcalc")]
