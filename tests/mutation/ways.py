"""Ways to break things that several mutations share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from .patching import Patch

Change = Callable[[Any], Any]
Apply = Callable[[Patch], None]


def function(module: str, name: str, make: Change) -> Apply:
    """Replace one function by what `make` makes of it."""
    return lambda patch: patch.function(module, name, make)


def constant(module: str, name: str, value: object) -> Apply:
    """Replace one module constant."""
    return lambda patch: patch.constant(module, name, value)


def nothing(module: str, name: str, value: float = 0.0) -> Apply:
    """Let a law of numbers return one value, in the shape it would have."""
    return function(module, name, lambda old: lambda *a, **k: value + 0.0 * old(*a, **k))


def designs(change: Change) -> Apply:
    """Change every design before its network is built."""

    def make(build: Any) -> Any:
        return lambda batch, air: build([change(d) for d in batch], air)

    return function("components.chambers", "build_network", make)


def machines(change: Change) -> Apply:
    """Change the machine of every design."""
    return designs(lambda d: replace(d, machine=change(d.machine)))


def drives(change: Change) -> Apply:
    """Change the drive of every machine."""
    return machines(lambda m: replace(m, drive=change(m.drive)))


def stages(change: Change) -> Apply:
    """Change every stage of every machine."""
    return machines(lambda m: replace(m, stages=tuple(change(s) for s in m.stages)))


def networks(change: Change) -> Apply:
    """Change every network that is built."""

    def make(build: Any) -> Any:
        return lambda batch, air: change(build(batch, air))

    return function("components.chambers", "build_network", make)


def passages(**factors: float) -> Apply:
    """Scale sizes of the passages, in the march and in what it does to the walls."""

    def scaled(g: Any) -> Any:
        return replace(g, **{name: factor * getattr(g, name) for name, factor in factors.items()})

    def make(old: Any) -> Any:
        return lambda air, g, *a, **k: old(air, scaled(g), *a, **k)

    def apply(patch: Patch) -> None:
        patch.function("components.passage_march", "march", make)
        patch.function("components.pulses", "passage_heat", make)

    return apply


def cells(change: Callable[[Any], None]) -> Apply:
    """Change the coefficients of the march's cells after they are made."""

    def make(init: Any) -> Any:
        def start(self: Any, *a: Any, **k: Any) -> None:
            init(self, *a, **k)
            change(self)

        return start

    return lambda patch: patch.method("components.passage_cells", "Cells", "__init__", make)


def grids(**factors: float) -> Apply:
    """Scale what the barrels' grid holds."""

    def make(build: Any) -> Any:
        def built(*a: Any, **k: Any) -> Any:
            g = build(*a, **k)
            return replace(g, **{name: f * getattr(g, name) for name, f in factors.items()})

        return built

    return function("components.barrel_wall", "build_grid", make)
