"""The package's side of the comparison: its converged walls, its flow curves, its phases."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from jacketcalc.core.layout import constants
from jacketcalc.core.parts import PassageParts, curve_slopes, cut_pulses
from jacketcalc.core.run import solve
from jacketcalc.designs import Design, OwnLaws

from .plain_laws import annulus_nusselt

Array = NDArray[np.float64]

NOTHING = 1e-4
"""Flow, as a share of the peak, below which an instant is not marched for heat [-]."""
SETTLING = 12
"""Sweeps of a march after the first ones: its pressures then repeat to 1e-9."""


class SplitSide:
    """A converged solution of the package, asked for what a passage does at given instants."""

    def __init__(self, machine: Any) -> None:
        same = OwnLaws(name="the plain script's annulus", turbulent=annulus_nusselt)
        design = Design(machine=machine, laws=same)
        self.parts = PassageParts(design)
        self.solution = solve(design, self.parts.resolution)
        self.found = self.solution.found
        if not self.solution.runs:
            raise ArithmeticError("the package found no steady cycle")
        self.start = self.found["start"]
        self.tube, self.cells = self.solution.tube, self.solution.cells
        self.ambient = machine.ambient.pressure
        self.nodes = range(len(self.solution.numbering.nodes))

    def contents(self) -> tuple[Array, Array]:
        """Mass [kg] and temperature [K] at the start of stroke 1: drive, stages, lines, nodes."""
        nodes = list(self.solution.numbering.nodes)
        others = [k for k in range(self.solution.numbering.count) if k not in nodes]
        order = others + nodes
        return self.start["mass"][order], self.solution.parts[1]["T"][-1, order]

    def inside(self, stage: int) -> Array:
        """Inner surface of a barrel, ring by ring from the head [K]."""
        return np.asarray(self.start["inside"][stage][: self.solution.rings])

    def outside(self, stage: int) -> Array:
        """Outer surface of a barrel [K]."""
        return np.asarray(self.start["outside"][stage][: self.solution.rings])

    def along(self, node: int, points: int) -> tuple[Array, Array, Array]:
        """Walls of barrel, tube and shell on even points from port to outlet [K]."""
        walls, x = self.found["around"][node], np.linspace(0.0, 1.0, points)
        outer = walls["outer"][: self.tube + self.cells]
        return (
            spread(walls["barrel"][: self.cells], x),
            spread(outer[: self.tube], x),
            spread(outer[self.tube :], x),
        )

    def exhaust(self) -> tuple[Array, Array, Array, Array]:
        """Flow, pressure, temperature, time weight of the package's own instants, (instant, node).

        Each node starts with its pulse: drive chamber 1 exhausts on stroke 2.
        """
        one, two = self.solution.parts
        columns = []
        for i, volume in enumerate(self.solution.numbering.nodes):
            order = (two, one) if i == 0 else (one, two)
            rows = [
                (part["exhaust"][:, i], part["p"][:, volume], part["T"][:, volume], part["dt"])
                for part in order
            ]
            columns.append([np.concatenate(parts) for parts in zip(*rows, strict=True)])
        flow, p, T, dt = (np.stack(row, axis=1) for row in zip(*columns, strict=True))
        return np.maximum(flow, 0.0), p, T, dt

    def curve(self, node: int) -> Callable[[float, float], float]:
        """Flow of a node by the package's curve: pressure [Pa], temperature [K] -> [kg/s]."""
        curve = self.found["curve"][node : node + 1]
        return lambda pressure, temperature: curve_slopes(curve, pressure, temperature)[0]

    def around(self, node: int) -> Any:
        """Walls of a node's passage as the core takes them, shape (1,)."""
        return self.found["around"][node : node + 1]

    def march(self, node: int, flow: Array, T: Array) -> Any:
        """March flows [kg/s] from port temperatures [K]; the core's `March`, shape (row,)."""
        walls = self.around(node)
        return np.array(
            [self.parts.march(m, T0, walls, node, SETTLING) for m, T0 in zip(flow, T, strict=True)]
        )

    def flow_at(self, p: Array, T: Array, guess: Array) -> Array:
        """Flow that the march itself gives at port pressures and temperatures, (row, node)."""
        excess = np.log((p / self.ambient) ** 2 - 1.0)

        def excess_of(y: Array) -> Array:
            found = [self.march(i, np.exp(y[:, i]), T[:, i])["port_pressure"] for i in self.nodes]
            return np.asarray(np.log((np.stack(found, axis=1) / self.ambient) ** 2 - 1.0))

        y = np.log(guess)
        for _ in range(4):
            here = excess_of(y)
            slope = (excess_of(y + 1e-4) - here) / 1e-4
            y = y + (excess - here) / slope
        return np.exp(y)

    def heat_in_phases(self, flow: Array, T: Array, dt: Array) -> Array:
        """Cycle heat of each jacket as the package makes it, from its phases and the rest [W].

        Arrays hold the instants of a cycle from the start of each node's pulse, (instant, node).
        """
        taken = []
        for node, heat in enumerate(self._heat_of_phases(flow, T, dt)):
            wall = self.found["around"][node]["barrel"]
            taken.append((heat["barrel"] * wall - heat["barrel_pull"]).sum())
        return np.asarray(taken)

    def rest_heat(self, flow: Array, T: Array, dt: Array) -> Array:
        """The part of it that the air at rest takes [W]."""
        return np.asarray([heat["rest_barrel"] for heat in self._heat_of_phases(flow, T, dt)])

    def heat_at_instants(self, flow: Array, T: Array, dt: Array, flowing: Array) -> Array:
        """The same, but every instant marched by itself, rest as before [W].

        `flowing` are weights of the instants that leave out the rest [s].
        """
        least, mean = NOTHING * flow.max(axis=0), []
        for node in self.nodes:
            marched = self.march(node, np.maximum(flow[:, node], least[node]), T[:, node])
            seen = marched["seen"][:, self.tube : self.tube + self.cells]
            gap = self.found["around"][node]["barrel"][: self.cells] - seen
            heat = (marched["barrel"][:, : self.cells] * gap).sum(axis=1)
            mean.append((heat * flowing[:, node]).sum() / dt[:, node].sum())
        return np.asarray(mean) + self.rest_heat(flow, T, dt)

    def _heat_of_phases(self, flow: Array, T: Array, dt: Array) -> list[Any]:
        found = []
        for node in self.nodes:
            row = evenly_kept(flow[:, node], T[:, node], dt[:, node])
            period, phases = float(dt[:, node].sum()), self.parts.resolution.phases
            pulses = cut_pulses(*row, phases, period)
            mean = pulses["mass"][:phases] / pulses["time"][:phases]
            marched = self.march(node, mean, pulses["T0"][:phases])
            heat = self.parts.heat(pulses, marched, self.around(node), period, node)
            found.append(heat)
        return found


def evenly_kept(flow: Array, T: Array, dt: Array) -> tuple[Array, Array, Array]:
    """Join neighbouring instants until there are as many as the package takes.

    Mass, enthalpy and time are kept.
    """
    most = 2 * constants()["MAX_INSTANTS"]
    each = -(-len(flow) // most)
    if each == 1:
        return flow, T, dt
    starts = np.arange(0, len(flow), each)
    time, mass, heat = (np.add.reduceat(x, starts) for x in (dt, flow * dt, flow * T * dt))
    safe = np.where(mass > 0.0, mass, 1.0)
    return mass / time, np.where(mass > 0.0, heat / safe, T[starts]), time


def spread(cells: Array, x: Array) -> Array:
    """Lay means of even cells on places between 0 and 1 so that each cell keeps its mean."""
    total = np.concatenate([[0.0], np.cumsum(cells)]) / len(cells)
    return np.asarray(CubicSpline(np.linspace(0.0, 1.0, len(total)), total)(x, 1))


def weights(t: Array, flow: Array) -> tuple[Array, Array]:
    """Weights of the trapezoidal rule over a cycle, and over the time that air flows [s].

    Time counts as flowing where both ends of a step do; arrays run along the first axis.
    """
    steps = np.diff(t, axis=0)
    some = flow > NOTHING * flow.max(axis=0)
    none = np.zeros_like(t[:1])

    def ends(steps: Array) -> Array:
        return 0.5 * (np.concatenate([none, steps]) + np.concatenate([steps, none]))

    return ends(steps), ends(steps * (some[1:] & some[:-1]))
