"""Walls of the stages by one dense linear system each, and the averages that load them."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import trapezoid

from . import plain_laws as laws

Array = NDArray[np.float64]

NODES = 48
"""Axial nodes of a barrel."""
FILM = 260.0
"""Piston to barrel across 0.1 mm of air [W/(m2 K)]."""


class Barrel:
    """One stage's barrel, head and crown."""

    def __init__(self, stage: Any, stroke: float, ambient: Any, gas: laws.Gas) -> None:
        self.stage, self.ambient, self.gas = stage, ambient, gas
        self.dz = stage.barrel_length / NODES
        self.edges = np.linspace(0.0, stage.barrel_length, NODES + 1)
        self.bore, self.outside = stage.bore, stage.bore + 2 * stage.wall_thickness
        middle = stage.bore + stage.wall_thickness
        k = stage.material.conductivity
        self.R_in = math.log(middle / self.bore) / (2 * math.pi * k * self.dz)
        self.R_out = math.log(self.outside / middle) / (2 * math.pi * k * self.dz)
        self.axial = k * math.pi / 4 * (self.outside**2 - self.bore**2) / self.dz
        self.face = math.pi / 4 * self.bore**2
        clear = stage.clearance * stroke
        rubbed = self.over(clear, clear + stroke)
        self.rubbed = rubbed / rubbed.sum()
        j = stage.jacket
        self.covered = self.over(j.offset, j.offset + j.length) / self.dz if j else np.zeros(NODES)
        start = ambient.temperature + 20.0
        self.inside, self.out = np.full(NODES, start), np.full(NODES, start)
        self.head = self.crown = start
        self.middle_end = start

    def over(self, a: float, b: float) -> Array:
        """Length of each node between two places [m]."""
        low, high = np.maximum(self.edges[:-1], a), np.minimum(self.edges[1:], b)
        return np.maximum(high - low, 0.0)

    def seen(self) -> Any:
        """Mean temperature of head, crown and bared barrel at an open length."""
        total = np.concatenate([[0.0], np.cumsum(self.inside)]) * self.dz
        edges, ends = self.edges, self.face * (self.head + self.crown)
        around, face = math.pi * self.bore, self.face

        def mean(open_length: float) -> float:
            barrel = around * float(np.interp(open_length, edges, total))
            return (barrel + ends) / (around * open_length + 2 * face)

        return mean

    def gas_load(self, t: Array, open_length: Array, h: Array, T: Array, lagging: Array) -> None:
        """Average what the gas does over a cycle."""
        period, around = t[-1] - t[0], math.pi * self.bore
        bared = around * np.clip(open_length[:, None] - self.edges[:-1], 0.0, self.dz)
        total = around * open_length + 2 * self.face
        pull = h * T + lagging / total
        self.A = trapezoid(bared * h[:, None], t, axis=0) / period
        self.Q = trapezoid(bared * pull[:, None], t, axis=0) / period
        self.A_end = self.face * float(trapezoid(h, t)) / period
        self.Q_end = self.face * float(trapezoid(pull, t)) / period
        self.ports = (0.0, 0.0)

    def rub_skirt(self, t: Array, open_length: Array) -> None:
        """Average over time what the piston's skirt covers."""
        L = self.stage.piston_length
        covers = np.array([self.over(face, face + L) for face in open_length])
        self.skirt = FILM * math.pi * self.bore * trapezoid(covers, t, axis=0) / (t[-1] - t[0])

    def solve(self, seal: float, jacket: Array, jacket_pull: Array, drive_wall: float) -> float:
        """Solve the wall; return the largest change of temperature [K].

        Unknowns: inner surface, mid-wall, outer surface of each node, head, crown.
        """
        n, ambient = NODES, self.ambient.temperature
        M, r = np.zeros((3 * n + 2, 3 * n + 2)), np.zeros(3 * n + 2)
        head, crown = 3 * n, 3 * n + 1

        def join(i: int, j: int, G: float) -> None:
            M[i, i] += G
            M[j, j] += G
            M[i, j] -= G
            M[j, i] -= G

        def to(i: int, G: float, pull: float) -> None:
            M[i, i] += G
            r[i] += pull

        e = self.stage.material.emissivity
        for i in range(n):
            to(i, self.A[i], self.Q[i] + 0.5 * seal * self.rubbed[i])
            join(i, crown, self.skirt[i])
            join(i, n + i, 1 / self.R_in)
            join(n + i, 2 * n + i, 1 / self.R_out)
            if i:
                join(n + i - 1, n + i, self.axial)
            to(2 * n + i, jacket[i], jacket_pull[i])
            h = laws.ambient_coefficient(
                self.gas, self.outside, e, self.out[i], ambient, self.ambient.pressure
            )
            free = h * math.pi * self.outside * self.dz * (1 - self.covered[i])
            to(2 * n + i, free, free * ambient)
        join(n, head, 2 * self.axial)
        h = laws.ambient_coefficient(
            self.gas, self.outside, e, self.head, ambient, self.ambient.pressure
        )
        size = math.pi / 4 * self.outside**2 + math.pi * self.outside * self.stage.head_thickness
        to(head, self.A_end + h * size, self.Q_end + h * size * ambient)
        to(head, *self.ports)
        to(crown, self.A_end, self.Q_end + 0.5 * seal)
        self.flange = 1 / (1 / self.stage.flange_conductance + 0.5 / self.axial)
        to(2 * n - 1, self.flange, self.flange * drive_wall)
        x = np.linalg.solve(M, r)
        change = max(
            float(np.abs(x[:n] - self.inside).max()),
            abs(x[head] - self.head),
            abs(x[crown] - self.crown),
        )
        self.inside, self.out = x[:n], x[2 * n : 3 * n]
        self.head, self.crown, self.middle_end = (
            float(x[head]),
            float(x[crown]),
            float(x[2 * n - 1]),
        )
        return change


def outer_wall(
    gas: laws.Gas,
    old: Array,
    G: Array,
    pull: Array,
    diameter: float,
    emissivity: float,
    resistance: float,
    axial_per_length: float,
    ambient: Any,
) -> Array:
    """Inner temperature of tube or shell from the passage's means per length of path [K]."""
    new = np.empty_like(old)
    for i, T in enumerate(old):
        h = laws.ambient_coefficient(
            gas, diameter, emissivity, float(T), ambient.temperature, ambient.pressure
        )
        out = axial_per_length / (resistance + 1 / (h * math.pi * diameter))
        new[i] = (pull[i] + out * ambient.temperature) / (G[i] + out)
    return new
