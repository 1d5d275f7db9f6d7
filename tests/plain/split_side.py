"""The package's side of the comparison: its converged walls, its flow curves, its phases."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from jacketcalc.components.designs import Design
from jacketcalc.components.passage_cells import TUBE_CELLS
from jacketcalc.components.passage_curve import curve_flow
from jacketcalc.components.passage_march import SWEEPS_COLD, March, cold_profile, march
from jacketcalc.components.pulses import cut_pulses, passage_heat
from jacketcalc.coupling.finished import Finished
from jacketcalc.coupling.solve import solve

Array = NDArray[np.float64]

NOTHING = 1e-4
"""Flow, as a share of the peak, below which an instant is not marched for heat [-]."""
SETTLING = 3 * SWEEPS_COLD
"""Sweeps of a march from a cold start: its pressures then repeat to 1e-9."""


class SplitSide:
    """A converged solution of the package, asked for what a passage does at given instants."""

    def __init__(self, machine: Any) -> None:
        found: list[Finished] = []
        solve([Design(machine=machine)], found.append)
        self.finished = found[0]
        if self.finished.where != ("",):
            raise ArithmeticError(f"the package did not settle: {self.finished.where}")
        self.snapshot = self.finished.snapshot
        self.start = self.snapshot.start
        self.iteration = self.finished.iteration
        self.room = np.asarray(machine.room.pressure) + np.zeros(1)

    def contents(self) -> tuple[Array, Array]:
        """Mass [kg] and temperature [K] at the start of stroke 1: drive, stages, lines, nodes."""
        nodes = list(self.finished.network.layout.nodes)
        others = [k for k in range(self.finished.network.layout.count) if k not in nodes]
        order = others + nodes
        record = self.snapshot.records[1]
        return self.start.m[order, 0], record.T[-1][order, 0]

    def along(self, node: int, points: int) -> tuple[Array, Array, Array]:
        """Walls of barrel, tube and shell on even points from port to vent [K]."""
        walls, x = self.snapshot.passage_walls, np.linspace(0.0, 1.0, points)
        outer = walls.outer[:, node, 0]
        return (
            spread(walls.barrel[:, node, 0], x),
            spread(outer[:TUBE_CELLS], x),
            spread(outer[TUBE_CELLS:], x),
        )

    def exhaust(self) -> tuple[Array, Array, Array, Array]:
        """Flow, pressure, temperature, time weight of the package's own instants, (instant, node).

        Each node starts with its pulse: drive chamber 1 vents on stroke 2.
        """
        one, two = self.snapshot.records
        nodes = self.finished.network.layout.nodes
        columns = []
        for i, node in enumerate(nodes):
            order = (two, one) if i == 0 else (one, two)
            rows = [
                (r.exhaust[:, i, 0], r.p[:, node, 0], r.T[:, node, 0], r.dt[:, 0]) for r in order
            ]
            columns.append([np.concatenate(parts) for parts in zip(*rows, strict=True)])
        flow, p, T, dt = (np.stack(row, axis=1) for row in zip(*columns, strict=True))
        return np.maximum(flow, 0.0), p, T, dt

    def curve(self, node: int) -> Any:
        """Flow of a node by the package's curve: pressure [Pa], temperature [K] -> [kg/s]."""
        p, T = np.full((2, 1), self.room[0]), np.full((2, 1), 300.0)

        def flow(pressure: float, temperature: float) -> float:
            p[node], T[node] = pressure, temperature
            return float(curve_flow(self.snapshot.curve, p, T)[0][node, 0])

        return flow

    def march(self, flow: Array, T: Array) -> March:
        """March flows [kg/s] from port temperatures [K], both of shape (row, node)."""
        network = self.finished.network
        flow, T = flow[..., None], T[..., None]
        return march(
            self.iteration.air, network.passages, network.closures, flow, T,
            self.snapshot.passage_walls, self.room,
            cold_profile(flow.shape, T, self.room * 1.2), SETTLING,
        )  # fmt: skip

    def flow_at(self, p: Array, T: Array, guess: Array) -> Array:
        """Flow that the march itself gives at port pressures and temperatures, (row, node)."""
        excess = np.log((p / self.room) ** 2 - 1.0)

        def excess_of(y: Array) -> Array:
            found = self.march(np.exp(y), T).port_pressure[..., 0]
            return np.asarray(np.log((found / self.room) ** 2 - 1.0))

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
        network, walls = self.finished.network, self.snapshot.passage_walls
        pulses = cut_pulses(flow[..., None], T[..., None], dt[..., None], 1)
        marched = self.march(pulses.flow[..., 0], pulses.T0[..., 0])
        heat = passage_heat(self.iteration.air, network.passages, pulses, marched, walls)
        return np.asarray((heat.barrel * walls.barrel - heat.barrel_pull).sum(axis=0)[:, 0])

    def rest_heat(self, flow: Array, T: Array, dt: Array) -> Array:
        """The part of it that the air at rest takes [W]."""
        network, walls = self.finished.network, self.snapshot.passage_walls
        pulses = cut_pulses(flow[..., None], T[..., None], dt[..., None], 1)
        marched = self.march(pulses.flow[..., 0], pulses.T0[..., 0])
        heat = passage_heat(self.iteration.air, network.passages, pulses, marched, walls)
        return np.asarray(heat.rest_share[:, 0])

    def heat_at_instants(self, flow: Array, T: Array, dt: Array, flowing: Array) -> Array:
        """The same, but every instant marched by itself, rest as before [W].

        `flowing` are weights of the instants that leave out the rest [s].
        """
        least = NOTHING * flow.max(axis=0)
        marched = self.march(np.maximum(flow, least), T)
        seen = marched.adiabatic_temperature[TUBE_CELLS:, ..., 0]
        wall = self.snapshot.passage_walls.barrel[:, None, :, 0]
        heat = (marched.barrel_conductance[..., 0] * (wall - seen)).sum(axis=0)
        mean = (heat * flowing).sum(axis=0) / dt.sum(axis=0)
        return np.asarray(mean + self.rest_heat(flow, T, dt))


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
