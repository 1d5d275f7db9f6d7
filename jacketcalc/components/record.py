"""What a stroke needs and what it leaves: contents, walls, and the record of its instants."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.designs import Array


@dataclass(kw_only=True)
class GasState:
    """Contents of all volumes."""

    m: Array
    """Mass, shape (volume, B) [kg]."""
    U: Array
    """Internal energy, shape (volume, B) [J]."""
    p: Array
    """Pressure, shape (volume, B) [Pa]."""
    T: Array
    """Temperature, shape (volume, B) [K]."""


@dataclass(frozen=True, kw_only=True)
class StrokeWalls:
    """Wall temperatures that the gas sees during a stroke."""

    drive: Array
    """Drive cylinder wall, shape (B,) [K]."""
    stage: Array
    """Mean over the wetted area at each instant, shape (instant, stage, B) [K]."""
    room: Array
    """Room, shape (B,) [K]."""


@dataclass(frozen=True, kw_only=True)
class Track:
    """The way a stroke went before, which the next one hardly leaves: its guesses."""

    p: Array
    """Pressure at each instant, shape (instant, volume, B) [Pa]."""
    T: Array
    """Temperature, shape (instant, volume, B) [K]."""
    w: Array
    """Duration of the step that the instant belongs to, shape (instant, B) [s]."""
    weight: Array
    """Weight of the instant in its step, shape (instant, B) [-]."""
    flow: Array
    """Mass flow of the paths, shape (instant, path, B) [kg/s]."""
    sound: NDArray[np.bool_]
    """Whether it may be followed: the stroke ended as it should, and near, shape (B,)."""


@dataclass(frozen=True, kw_only=True)
class Record:
    """What happened, instant by instant; the instants are the stages of the steps.

    An integral over time is the sum of value x `dt` over the instants.
    """

    dt: Array
    """Time weight of each instant, shape (instant, B) [s]."""
    dx: Array
    """Weight of piston travel, shape (instant, B) [m]."""
    p: Array
    """Pressure, shape (instant, volume, B) [Pa]."""
    T: Array
    """Temperature, shape (instant, volume, B) [K]."""
    volume: Array
    """Volume, shape (instant, volume, B) [m3]."""
    mass: Array
    """Mass held, shape (instant, volume, B) [kg]."""
    flow: Array
    """Mass flow of the paths: fill, vent, two valves a stage, (instant, path, B) [kg/s]."""
    enthalpy: Array
    """Enthalpy flow along each path, shape (instant, path, B) [W]."""
    exhaust: Array
    """Mass flow out of each node, shape (instant, node, B) [kg/s]."""
    exhaust_enthalpy: Array
    """Enthalpy flow out of each node, shape (instant, node, B) [W]."""
    stage_coefficient: Array
    """Heat transfer coefficient in the stages, shape (instant, stage, B) [W/(m2 K)]."""
    stage_lead: Array
    """Heat that the phase lead takes out in the instant, shape (instant, stage, B) [J]."""
    conductance: Array
    """h A to the walls of every volume, shape (instant, volume, B) [W/K]."""
    impact: Array
    """Kinetic energy destroyed at the far stop, shape (B,) [J]."""
    stalled: NDArray[np.bool_]
    """Piston did not reach the far stop, shape (B,)."""
    rough: Array
    """Largest Newton change left over in a step that did not settle, shape (B,) [-]."""
    iterations: int
    """Newton iterations spent."""
    step: Array
    """Duration of the step that the instant belongs to, shape (instant, B) [s]."""
    weight: Array
    """Weight of the instant in its step, shape (instant, B) [-]."""
    followed: NDArray[np.bool_]
    """Solved beside a track, all instants at once, shape (B,)."""

    def track(self) -> Track:
        """Return the way it went."""
        sound = ~self.stalled & (self.rough == 0.0) & np.isfinite(self.p[-1]).all(axis=0)
        return Track(
            p=self.p, T=self.T, w=self.step, weight=self.weight, flow=self.flow, sound=sound
        )
