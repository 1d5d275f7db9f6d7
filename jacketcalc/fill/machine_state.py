"""A machine's walls and contents as one row, and where the core keeps each of them.

In order: mid-walls of the barrels' rings, heads, crowns, walls of lines, drive cylinder, tubes and
shells [K]; then mass [kg] and internal energy [J] of every volume.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.machine import Numbering
from jacketcalc.core.resolution import Resolution


class StateRow:
    """Reads and writes rows of one machine.

    Parameters
    ----------
    numbering : its volumes
    resolution : its rings and cells
    """

    def __init__(self, numbering: Numbering, resolution: Resolution) -> None:
        self.stages, self.nodes = len(numbering.stages), len(numbering.nodes)
        self.rings, self.volumes = resolution.rings, numbering.count
        self.cells = resolution.tube_cells + resolution.channel_cells

    def read(self, found: Any) -> Array:
        """Return the row that a solution came to."""
        start = found["start"]
        return np.concatenate([
            found["barrel"]["middle"][: self.stages, : self.rings].ravel(),
            start["head"][: self.stages], start["crown"][: self.stages],
            start["line_wall"][: self.stages], [start["drive_wall"]],
            start["outer"][: self.nodes, : self.cells].ravel(),
            start["mass"][: self.volumes], start["energy"][: self.volumes],
        ])  # fmt: skip

    def write(self, row: Array, storage: Any) -> None:
        """Write a row to where a step starts from."""
        before, at = storage["before"], 0

        def take(size: int) -> Array:
            nonlocal at
            at += size
            return row[at - size : at]

        rings = take(self.stages * self.rings).reshape(self.stages, self.rings)
        storage["middle"][: self.stages, : self.rings] = rings
        for name in ("head", "crown", "line_wall"):
            before[name][: self.stages] = take(self.stages)
        before["drive_wall"] = take(1)[0]
        outer = take(self.nodes * self.cells).reshape(self.nodes, self.cells)
        before["outer"][: self.nodes, : self.cells] = outer
        before["mass"][: self.volumes] = take(self.volumes)
        before["energy"][: self.volumes] = take(self.volumes)

    def capacities(self, storage: Any) -> Array:
        """Return the heat capacity of every wall in the row [J/K]."""
        s = storage
        return np.concatenate([
            np.repeat(s["ring"][: self.stages], self.rings),
            s["head"][: self.stages], s["crown"][: self.stages], s["line"][: self.stages],
            [s["drive"]], s["outer"][: self.nodes, : self.cells].ravel(),
        ])  # fmt: skip

    def mass(self, row: Array) -> Array:
        """Return the masses of a row, a view [kg]."""
        return row[-2 * self.volumes : -self.volumes]

    def energy(self, row: Array) -> Array:
        """Return the internal energies of a row, a view [J]."""
        return row[-self.volumes :]
