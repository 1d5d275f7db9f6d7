"""The unknowns of the coupled machine, and their packing into one scaled array (unknown, B)."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from jacketcalc.components.designs import Array

TEMPERATURE_SCALE = 60.0
"""Weighs walls against contents: theirs is the change that matters to energy last [K]."""
WEIGHTS = {"m": 10.0, "U": 10.0, "head": 4.0, "crown": 4.0, "drive_wall": 4.0, "period": 4.0}
"""Weights in mixing: contents and lumps are few, cells of walls are many [-]."""


@dataclass(kw_only=True)
class Unknowns:
    """What one iteration starts from and returns."""

    m: Array
    """Mass in every volume at the reversal to stroke 1, shape (volume, B) [kg]."""
    U: Array
    """Internal energy there, shape (volume, B) [J]."""
    inside: Array
    """Barrel inner surfaces, shape (node, stage, B) [K]."""
    outside: Array
    """Barrel outer surfaces, shape (node, stage, B) [K]."""
    head: Array
    """Heads, shape (stage, B) [K]."""
    crown: Array
    """Piston crowns, shape (stage, B) [K]."""
    drive_wall: Array
    """Drive cylinder wall, shape (1, B) [K]."""
    outer: Array
    """Tube wall and shell inside, shape (cell, port node, B) [K]."""
    port_temperature: Array
    """Mean exhaust temperature the flow curves are made at, shape (port node, B) [K]."""
    period: Array
    """Cycle time, shape (1, B) [s]."""
    wait: Array
    """Extra rest at each end that an imposed cycle rate asks for, shape (1, B) [s]."""


def pack(u: Unknowns, scale: dict[str, Array]) -> Array:
    """Flatten and scale."""
    rows = []
    for f in fields(u):
        value = getattr(u, f.name) / scale.get(f.name, np.asarray(TEMPERATURE_SCALE))
        rows.append(value.reshape(-1, value.shape[-1]))
    return np.concatenate(rows)


def unpack(y: Array, like: Unknowns, scale: dict[str, Array]) -> Unknowns:
    """Undo `pack`; shapes are those of `like`, with as many designs as y has."""
    values, row = {}, 0
    for f in fields(like):
        shape = getattr(like, f.name).shape[:-1]
        count = int(np.prod(shape))
        part = y[row : row + count].reshape(*shape, y.shape[1])
        values[f.name] = part * scale.get(f.name, np.asarray(TEMPERATURE_SCALE))
        row += count
    return Unknowns(**values)


def weigh(u: Unknowns) -> Array:
    """Return the weight of every row of `pack` in mixing, shape (unknown,) [-]."""
    rows = {f.name: int(np.prod(getattr(u, f.name).shape[:-1])) for f in fields(u)}
    return np.concatenate([np.full(n, WEIGHTS.get(name, 1.0)) for name, n in rows.items()])
