"""Steps of a stroke: the force on the resting piston, its way, and its rest at the far stop."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array

GAMMA = float(1.0 - np.sqrt(0.5))
"""Diagonal of the two-stage L-stable DIRK method (Alexander 1977) [-]."""
REST_POWER = (3.0, 8.0)
"""Least and largest grading of the rest: pressures settle within its first millisecond [-]."""
HALVING = 2e5
"""Volume over sonic conductance and the time a choked chamber takes to half-empty [Pa]."""
START_GRADING = 1.25
"""Extra grading where the piston picks up speed [-]."""
END_GRADING = 0.5
"""Grading of the travel: 0 even, 1 fully cosine [-]."""


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


@dataclass(frozen=True, kw_only=True)
class Course:
    """The steps of a stroke, every design's own."""

    release: int
    """Steps of the force on the resting piston."""
    covered: Array
    """Share of the stroke covered after each step of travel, from none on, (place, B) [-]."""
    rest: Array
    """Duration of the steps at the far stop, shape (step, B) [s]."""

    @property
    def places(self) -> Array:
        """Share of the stroke covered at each instant, shape (instant, B) [-]."""
        designs = self.covered.shape[1]
        inside = inner(self.covered)
        start, end = np.zeros((2 * self.release, designs)), np.ones((2 * len(self.rest), designs))
        return np.concatenate([start, inside, end])


def inner(grid: Array) -> Array:
    """Instants of the steps between the points of a grid: two a step, shape (instant, ...)."""
    both = np.stack([grid[:-1] + GAMMA * np.diff(grid, axis=0), grid[1:]], axis=1)
    return both.reshape(-1, *grid.shape[1:])


def travel_grid(resolution: Resolution) -> Array:
    """Share of the stroke covered after each step of travel: finer near both ends."""
    u = np.linspace(0.0, 1.0, resolution.travel + 1) ** START_GRADING
    return np.asarray((1.0 - END_GRADING) * u + END_GRADING / 2 * (1.0 - np.cos(np.pi * u)))


def instants(resolution: Resolution) -> Array:
    """Share of the stroke covered at each instant of a record, shape (instant,)."""
    start, end = np.zeros(2 * resolution.release), np.ones(2 * resolution.rest)
    return np.concatenate([start, inner(travel_grid(resolution)), end])


def whole_course(network: Network, vented: int, rest: Array, resolution: Resolution) -> Course:
    """Return the steps of a whole stroke.

    Parameters
    ----------
    network : sizes
    vented : chamber that stands open to the exhaust
    rest : time at the far stop, shape (B,) [s]
    resolution : how many steps
    """
    grid = travel_grid(resolution)
    # Short steps first, where pressures settle.
    power = _rest_power(network, vented, rest, resolution.rest)
    passed = np.linspace(0.0, 1.0, resolution.rest + 1)[:, None] ** power
    return Course(
        release=resolution.release,
        covered=np.repeat(grid[:, None], network.designs, axis=1),
        rest=np.diff(passed, axis=0) * rest,
    )


def _rest_power(network: Network, vented: int, rest: Array, steps: int) -> Array:
    """Return the grading of the rest, so that its first step half-empties the vented chamber."""
    half = network.fixed_volume[vented] / (network.C[1] * HALVING)
    power = np.log(rest / half + 1.0) / np.log(steps)
    return np.asarray(np.minimum(np.maximum(power, REST_POWER[0]), REST_POWER[1]))
