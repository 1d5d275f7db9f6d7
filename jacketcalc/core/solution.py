"""A machine's solution: the core's arrays with their meaning."""

from __future__ import annotations

from typing import Any

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.layout import constants
from jacketcalc.core.machine import Numbering, number_volumes
from jacketcalc.inputs import Machine


class Solution:
    """A solution's arrays, both strokes together where that is asked for.

    Parameters
    ----------
    machine : what was solved
    record : the core's machine
    found : the core's solution
    resolution : steps and cells it was solved with
    """

    def __init__(self, machine: Machine, record: Any, found: Any, resolution: Any) -> None:
        self.machine, self.record, self.found, self.resolution = machine, record, found, resolution
        self.numbering: Numbering = number_volumes(machine)
        self.tube, self.cells = int(resolution["tube_cells"]), int(resolution["channel_cells"])
        self.rings = int(resolution["rings"])
        counts = [int(stroke["instants"]) for stroke in found["stroke"]]
        self.parts = [
            {name: stroke[name][:count] for name in stroke.dtype.names or () if stroke[name].ndim}
            for stroke, count in zip(found["stroke"], counts, strict=True)
        ]
        self.whole = {
            name: np.concatenate([part[name] for part in self.parts])
            for name in ("dt", "dx", "p", "T", "volume", "flow", "enthalpy", "exhaust")
        }
        self.whole["exhaust_enthalpy"] = np.concatenate(
            [part["exhaust_enthalpy"] for part in self.parts]
        )
        self.period = float(self.whole["dt"].sum())

    @property
    def stalled(self) -> bool:
        """The piston stops within a stroke."""
        return int(self.found["ended"]) == constants()["STALLED"]

    @property
    def turns(self) -> int:
        """Most times that the piston turned back within a stroke."""
        return max(int(stroke["turns"]) for stroke in self.found["stroke"])

    @property
    def runs(self) -> bool:
        """A steady cycle was found."""
        return int(self.found["ended"]) == constants()["SOLVED"]

    def carried(self, path: int) -> float:
        """Mass carried along a path in a cycle [kg]."""
        return float(self.whole["flow"][:, path] @ self.whole["dt"])

    def enthalpy(self, path: int) -> float:
        """Enthalpy carried along a path in a cycle [J]."""
        return float(self.whole["enthalpy"][:, path] @ self.whole["dt"])

    def flow_mean(self, values: Array, path: int) -> float:
        """Mean of values at all instants, weighed by the mass a path carries."""
        weight = self.whole["flow"][:, path] * self.whole["dt"]
        return float(values @ weight / weight.sum())

    def node_of(self, stage: int) -> int:
        """Exhaust node whose passage cools a stage, or -1."""
        return int(self.record["stage"][stage]["node"])

    def jacketed(self, node: int) -> bool:
        """Whether a node's exhaust feeds a jacket."""
        return float(self.record["passage"][node]["present"]) > 0
