"""One stroke of the machine, integrated phase by phase for all designs at once.

A stroke runs from the reversal of the valve to the next one, in three phases: the drive
chambers exchange pressure until the piston lets go of its stop (the force on it is the
independent variable), the piston travels (its position is), and it rests at the far stop
until the valve has reversed (time is). Each phase takes the same number of steps in every
design, so switching instants are met exactly and designs never wait for each other.

A step is the L-stable, stiffly accurate two-stage DIRK method of second order. Mass,
energy and the piston's kinetic energy are what is carried forward, by the same fluxes on
both sides of every path, so they close whatever the tolerance.

The same equations are solved in two ways. Marching takes the instants one after another and
needs no guess; following starts from a track nearby and takes all instants at once, which
costs a fraction where the track is near. Designs that leave their track are marched.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.chamber_heat import Pace
from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array, fill, put, take
from jacketcalc.components.passage_curve import Curve, curve_of
from jacketcalc.components.record import GasState, Record, StrokeWalls, Track
from jacketcalc.components.step_equations import StrokeEquations
from jacketcalc.components.stroke_grid import Course, Resolution, whole_course
from jacketcalc.components.stroke_step import Stepper
from jacketcalc.components.stroke_sweep import Sweep
from jacketcalc.gas.table import AirTable

PASSES, MORE_PASSES = 4, 12
"""Passes over a stroke for all designs, then for those not settled, before these are marched."""


@dataclass(frozen=True, kw_only=True)
class Setting:
    """What a stroke goes on between."""

    air: AirTable
    """Property table."""
    curve: Curve
    """Flow curve of each node's passage."""
    walls: StrokeWalls
    """Wall temperatures."""
    pace: Pace
    """Cycle rate and mean speed assumed by the heat closures."""
    settled: float
    """Largest relative change in the last Newton iteration of a step [-]."""

    def of(self, index: NDArray[np.intp]) -> Setting:
        """Return the setting of some designs."""
        return replace(
            self,
            curve=curve_of(self.curve, index),
            walls=take(self.walls, index),
            pace=take(self.pace, index),
        )


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

    def course(self, rest: Array, resolution: Resolution) -> Course:
        """Return the steps of the whole stroke; `rest` is the time at the far stop, (B,) [s]."""
        return whole_course(self.network, self.vented, rest, resolution)

    def run(self, setting: Setting, state: GasState, course: Course) -> Record:
        """March through the stroke; `state` is advanced to its end.

        Parameters
        ----------
        setting : what it goes on between
        state : contents at the reversal of the valve, advanced in place
        course : its steps
        """
        given = setting.air, setting.curve, state, setting.walls, setting.pace, setting.settled
        stepper = Stepper(self.equations, self.start_volume, *given)
        start = np.minimum(self.equations.net_force(state.p), 0.0)
        for before, after in pairwise(np.linspace(1.0, 0.0, course.release + 1)):
            stepper.release(before * start, after * start)
        stroke = np.asarray(self.network.machine.drive.stroke)
        for here, there in pairwise(course.covered):
            stepper.travel(here * stroke, (there - here) * stroke)
        impact = stepper.stop()
        for time in course.rest:
            stepper.rest(time)
        stepper.finish(state)
        return Record(
            **{name: np.stack(rows) for name, rows in stepper.log.items()},
            impact=impact,
            stalled=stepper.stalled,
            rough=stepper.rough,
            iterations=stepper.iterations,
            followed=np.zeros(self.network.designs, dtype=bool),
        )

    def follow(self, setting: Setting, state: GasState, course: Course, track: Track) -> Record:
        """Solve all instants at once beside the track; march the designs that leave it.

        Parameters and result are those of `run`, besides the way the stroke is likely to go.
        """
        if not track.sound.any():
            return self.run(setting, state, course)
        start = replace(state)
        found = self._sweep(setting, course).run(state, track, PASSES)
        left = np.flatnonzero(track.sound & (found.rough > 0.0))
        if left.size:
            alone, again, steps = self._of(left), take(start, left), take(course, left)
            beside = take(found.track(), left)
            part = alone._sweep(setting.of(left), steps).run(again, beside, MORE_PASSES)
            found = put(found, part, left)
            fill(state, again, left, np.arange(left.size))
        left = np.flatnonzero(~track.sound | (found.rough > 0.0))
        if left.size:
            again = take(start, left)
            part = self._of(left).run(setting.of(left), again, take(course, left))
            found = put(found, part, left)
            fill(state, again, left, np.arange(left.size))
        return found

    def _of(self, index: NDArray[np.intp]) -> Stroke:
        """Return the stroke of some designs."""
        return Stroke(take(self.network, index), self.number)

    def _sweep(self, setting: Setting, course: Course) -> Sweep:
        return Sweep(
            self.equations, self.start_volume, course,
            setting.air, setting.curve, setting.walls, setting.pace, setting.settled,
        )  # fmt: skip
