"""All mutations, part by part."""

from __future__ import annotations

from . import drive, fills, gases, heat, passage, ports, stages, walls
from .record import Mutation

MUTATIONS: tuple[Mutation, ...] = (
    *passage.MUTATIONS,
    *heat.MUTATIONS,
    *walls.MUTATIONS,
    *stages.MUTATIONS,
    *drive.MUTATIONS,
    *ports.MUTATIONS,
    *gases.MUTATIONS,
    *fills.MUTATIONS,
)


def by_name(name: str) -> Mutation:
    """Return one mutation."""
    return next(m for m in MUTATIONS if m.name == name)
