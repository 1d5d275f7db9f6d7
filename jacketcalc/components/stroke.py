"""One stroke of the machine, integrated phase by phase for all designs at once.

A stroke runs from the reversal of the valve to the next one, in three phases: the drive
chambers exchange pressure until the piston lets go of its stop (the force on it is the
independent variable), the piston travels (its position is), and it rests at the far stop
until the valve has reversed (time is). Each phase takes the same number of steps in every
design, so switching instants are met exactly and designs never wait for each other.

A step is the L-stable, stiffly accurate two-stage DIRK method of second order. Mass,
energy and the piston's kinetic energy are what is carried forward, by the same fluxes on
both sides of every path, so they close whatever the tolerance.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from jacketcalc.components.chamber_heat import Pace
from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.components.passage_curve import Curve
from jacketcalc.components.record import GasState, Record, StrokeWalls, Track
from jacketcalc.components.step_equations import StrokeEquations
from jacketcalc.components.stroke_step import GAMMA, Stepper
from jacketcalc.gas.table import AirTable

REST_POWER = (3.0, 8.0)
"""Least and largest grading of the rest: pressures settle within its first millisecond [-]."""
HALVING = 2e5
"""Volume over sonic conductance and the time a choked chamber takes to half-empty [Pa]."""
START_GRADING = 1.25
"""Extra grading where the piston picks up speed [-]."""
END_GRADING = 0.5
"""Grading of the travel: 0 even, 1 fully cosine [-]."""
OPENING = 0.1
"""Share of the stroke in which the piston picks up speed [-]."""
OPENING_RELEASE = 2
"""Steps of release there, over those of a whole stroke; its travel has as many as a whole."""


@dataclass(frozen=True, kw_only=True)
class Resolution:
    """Steps in each phase of a stroke."""

    release: int = 6
    """Reversal of the valve to the piston's start."""
    travel: int = 48
    """Travel."""
    rest: int = 8
    """Rest at the far stop."""
    settled: float = 1e-4
    """Largest relative change in the last Newton iteration of a step [-]. What is left is its
    square, or so; closure of mass and energy does not depend on it."""

    def scaled(self, factor: float) -> Resolution:
        """Return a finer or coarser resolution."""
        return Resolution(
            release=max(3, round(self.release * factor)),
            travel=max(6, round(self.travel * factor)),
            rest=max(5, round(self.rest * factor)),
            settled=self.settled / min(factor, 1.0) ** 2,
        )


def travel_grid(resolution: Resolution) -> Array:
    """Share of the stroke covered after each step of travel: finer near both ends."""
    u = np.linspace(0.0, 1.0, resolution.travel + 1) ** START_GRADING
    return np.asarray((1.0 - END_GRADING) * u + END_GRADING / 2 * (1.0 - np.cos(np.pi * u)))


def instants(resolution: Resolution) -> Array:
    """Share of the stroke covered at each instant of a record, shape (instant,)."""
    grid = travel_grid(resolution)
    inside = np.stack([grid[:-1] + GAMMA * np.diff(grid), grid[1:]], axis=1).ravel()
    start, end = np.zeros(2 * resolution.release), np.ones(2 * resolution.rest)
    return np.concatenate([start, inside, end])


def travel_seconds(record: Record, resolution: Resolution) -> Array:
    """Time at each place of the travel grid since the piston's start, shape (place, B) [s]."""
    first = 2 * resolution.release
    part = record.dt[first : first + 2 * resolution.travel]
    passed = np.cumsum(part, axis=0)[1::2]
    return np.concatenate([np.zeros_like(passed[:1]), passed])


def even_times(place: Array, seconds: Array) -> Array:
    """Places of the opening that the piston passes at even intervals, (place, B) [-].

    Parameters
    ----------
    place : share of the stroke covered, shape (place,) [-]
    seconds : time then, shape (place, B) [s]
    """
    root = np.sqrt(place)  # from rest, place goes with the square of time
    share = np.linspace(0.0, 1.0, len(place))
    return np.stack(
        [np.interp(share * np.interp(OPENING, place, time), time, root) ** 2 for time in seconds.T],
        axis=1,
    )


def summit(p: Array, time: Array) -> Array:
    """Highest pressure, on the parabola through the highest instant and its neighbours [Pa].

    Parameters
    ----------
    p : pressure, shape (instant, node, B) [Pa]
    time : time, shape (instant, B) [s]
    """
    top = np.clip(p.argmax(axis=0), 1, len(p) - 2)
    y = [np.take_along_axis(p, top[None] + k, 0)[0] for k in (-1, 0, 1)]
    t = [np.take_along_axis(time, top + k, 0) for k in (-1, 0, 1)]
    with np.errstate(all="ignore"):
        rise, then = (y[1] - y[0]) / (t[1] - t[0]), (y[2] - y[1]) / (t[2] - t[1])
        bend = (then - rise) / (t[2] - t[0])
        slope = rise + bend * (t[1] - t[0])
        over = y[1] - slope**2 / (4 * bend)
    # At even intervals no parabola rises more above its highest point; at uneven ones some do.
    most = y[1] + (y[1] - np.minimum(y[0], y[2])) / 8
    inside = (rise > 0.0) & (then < 0.0)
    return np.asarray(np.where(inside, np.minimum(over, most), p.max(axis=0)))


def rest_power(network: Network, vented: int, rest: Array, steps: int) -> Array:
    """Return the grading of the rest, so that its first step half-empties the vented chamber.

    Parameters
    ----------
    vented : chamber that stands open to the exhaust
    rest : time at the far stop, shape (B,) [s]
    steps : steps of the rest
    """
    half = network.fixed_volume[vented] / (network.C[1] * HALVING)
    power = np.log(rest / half + 1.0) / np.log(steps)
    return np.asarray(np.minimum(np.maximum(power, REST_POWER[0]), REST_POWER[1]))


class Stroke:
    """The network with the paths, forces and volumes of one stroke."""

    def __init__(self, network: Network, number: int) -> None:
        layout, m = network.layout, network.machine
        fed, vented = (0, 1) if number == 1 else (1, 0)
        self.network, self.number, self.fed, self.vented = network, number, fed, vented
        up, down = [layout.supply, vented], [fed, layout.ports[vented]]
        for chamber, line, after in zip(layout.chambers, layout.lines, layout.after, strict=True):
            up += [layout.supply if line is None else line, chamber]
            down += [chamber, layout.tank if after is None else after]
        rate, force = np.zeros((2, layout.count, network.designs))
        area, push = network.drive_area, m.drive.friction_share
        rate[fed], rate[vented] = area[fed], -area[vented]
        force[fed], force[vented] = (1.0 - push) * area[fed], -area[vented]
        for i, chamber in enumerate(layout.chambers):
            sign = -1.0 if layout.compresses_on[i] == number else 1.0
            size, rub = network.stage_area[i], m.stages[i].seal_friction
            rate[chamber], force[chamber] = sign * size, (sign - rub) * size
        pairs = [(j, u, d) for j, (u, d) in enumerate(zip(up, down, strict=True))]
        self.equations = StrokeEquations(network, pairs, rate, force)
        self.start_volume = network.fixed_volume + np.maximum(-rate, 0.0) * m.drive.stroke

    def run(
        self,
        air: AirTable,
        curve: Curve,
        state: GasState,
        walls: StrokeWalls,
        pace: Pace,
        rest: Array,
        resolution: Resolution,
        track: Track | None = None,
    ) -> Record:
        """Integrate the stroke; `state` is advanced to its end.

        Parameters
        ----------
        air : property table
        curve : flow curve of each node's passage
        state : contents at the reversal of the valve, advanced in place
        walls : wall temperatures
        pace : cycle rate and mean speed assumed by the heat closures
        rest : time at the far stop, shape (B,) [s]
        resolution : steps of each phase
        track : the way it went an iteration ago, in as many steps
        """
        stepper = Stepper(
            self.equations, self.start_volume, air, curve, state, walls, pace,
            resolution.settled, track,
        )  # fmt: skip
        self._set_off(stepper, state, resolution.release, travel_grid(resolution))
        impact = stepper.stop()
        # Short steps first, where pressures settle.
        power = rest_power(self.network, self.vented, rest, resolution.rest)
        for before, after in pairwise(np.linspace(0.0, 1.0, resolution.rest + 1)):
            stepper.rest((after**power - before**power) * rest)
        stepper.finish(state)
        return Record(
            **{name: np.stack(rows) for name, rows in stepper.log.items()},
            impact=impact,
            stalled=stepper.stalled,
            rough=stepper.rough,
            iterations=stepper.iterations,
        )

    def opening_peak(
        self,
        air: AirTable,
        curve: Curve,
        state: GasState,
        walls: StrokeWalls,
        pace: Pace,
        resolution: Resolution,
        seconds: Array,
    ) -> Array:
        """Highest pressure of each node while the piston picks up speed, shape (node, B) [Pa].

        Parameters are those of `run`; `state` stays as it is. The exhaust peaks here, where
        the travel, in even steps of place, is a coarse measure of time.

        seconds : time at each place of the travel grid, shape (place, B) [s]
        """
        fine = replace(resolution, release=OPENING_RELEASE * resolution.release)
        covered = even_times(travel_grid(resolution), seconds)
        waiting = np.zeros((2 * fine.release, covered.shape[1]))
        passed = np.concatenate([waiting, np.repeat(covered[1:], 2, axis=0)])
        known = instants(resolution)
        nearest = np.minimum(np.searchsorted(known, passed), len(known) - 1)
        seen = replace(walls, stage=np.take_along_axis(walls.stage, nearest[:, None], 0))
        stepper = Stepper(
            self.equations, self.start_volume, air, curve, state, seen, pace, resolution.settled
        )
        self._set_off(stepper, state, fine.release, covered)
        ends = slice(1, None, 2)
        time = np.cumsum(np.stack(stepper.log["dt"]), axis=0)[ends]
        return summit(np.stack(stepper.log["p"])[ends, list(self.network.layout.nodes)], time)

    def _set_off(self, stepper: Stepper, state: GasState, release: int, covered: Array) -> None:
        """Step through the release and on to the last of the places `covered` [-]."""
        start = np.minimum(self.equations.net_force(state.p), 0.0)
        for before, after in pairwise(np.linspace(1.0, 0.0, release + 1)):
            stepper.release(before * start, after * start)
        stroke = np.asarray(self.network.machine.drive.stroke)
        for here, there in pairwise(covered):
            stepper.travel(here * stroke, (there - here) * stroke)
