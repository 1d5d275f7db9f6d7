"""What the equations of a step speak of: a point, what is known there, and their slopes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.designs import Array
from jacketcalc.gas.table import Thermo


@dataclass(kw_only=True)
class Point:
    """Where Newton stands; rows behind the volumes are the supply and the tank."""

    p: Array
    """Pressure, shape (volume + 2, B) [Pa]."""
    T: Array
    """Temperature, shape (volume + 2, B) [K]."""
    h: Array
    """Specific enthalpy, shape (volume + 2, B) [J/kg]."""
    w: Array
    """Duration of the whole step, shape (B,) [s]."""


@dataclass(kw_only=True)
class Base:
    """What the stage starts from: contents, and kinetic energy of the piston."""

    m: Array
    """Mass, shape (volume, B) [kg]."""
    U: Array
    """Internal energy, shape (volume, B) [J]."""
    E: Array
    """Kinetic energy, shape (B,) [J]."""


@dataclass(frozen=True, kw_only=True)
class Instant:
    """What is known of the stage beforehand."""

    share: Array
    """Diagonal of the DIRK method [-]."""
    volume: Array
    """Volumes at the instant, shape (volume, B) [m3]."""
    dx: Array
    """Travel of the whole step, shape (B,) [m]."""
    target: Array | None
    """Force asked for on the resting piston, shape (B,) [N]; None while it travels."""
    fixed: NDArray[np.bool_]
    """Designs whose duration is given, shape (B,)."""
    conductance: Array
    """h A to the walls, shape (volume, B) [W/K]."""
    wall: Array
    """Wall temperature, shape (volume, B) [K]."""
    lead: Array
    """Share of the phase lead, shape (volume, B) [-]."""


@dataclass(kw_only=True)
class Fluxes:
    """Flows along the paths, out of the nodes, and their enthalpy."""

    F: Array
    """Mass flow of each path, shape (path, B) [kg/s]."""
    X: Array
    """Mass flow out of each node to the room, shape (node, B) [kg/s]."""
    h: Array
    """Specific enthalpy of every volume and boundary, shape (volume + 2, B) [J/kg]."""


@dataclass(frozen=True, kw_only=True)
class Change:
    """A Newton step."""

    p: Array
    """Change of pressure of each volume [Pa]."""
    T: Array
    """Change of temperature of each volume [K]."""
    w: Array
    """Change of the step's duration [s]."""
    fluxes: Fluxes
    """Fluxes after the step, by their slopes: what is carried is what was solved."""


@dataclass(frozen=True, kw_only=True)
class Slopes:
    """The linear equations of a stage, temperatures eliminated and the tree of pressures factored.

    Energy stands for energy less enthalpy times mass.
    """

    h: Array
    """Specific enthalpy, shape (..., volume, B) [J/kg]."""
    ratio: Array
    """Slope of mass over that of energy in temperature, shape (..., volume, B) [kg/J]."""
    less: Array
    """Mass that an inner path carries less for its source's temperature, over energy [kg/J]."""
    more: Array
    """Energy that it carries more [-]."""
    K: Array
    """Pivots of the mass balances in pressure, shape (..., volume, B) [kg/Pa]."""
    factors: Array
    """Factors of the leaves of the tree, shape (..., inner path, B) [-]."""
    forth: Array
    """Slope of the balance at an inner path's end in pressure at its source [kg/Pa]."""
    back: Array
    """Slope of the balance at its source in pressure at its end [kg/Pa]."""
    E: Array
    """Slope of energy in a volume's own pressure, shape (..., volume, B) [J/Pa]."""
    E_w: Array
    """Slope of energy in the duration [W]."""
    E_forth: Array
    """Slope of energy in pressure at an inner path's source [J/Pa]."""
    UT: Array
    """Slope of energy in temperature, shape (..., volume, B) [J/K]."""
    beta: Array
    """Slope of pressure with the duration, shape (..., volume, B) [Pa/s]."""
    pull: Array
    """Slope of the piston's balance in pressure, (..., volume, B) [J/Pa], at rest [N/Pa]."""
    bottom: Array
    """Its slope in the duration, pressures following; infinite where that is given, shape (..., B)
    [J/s], at rest [N/s]."""

    def at(self, k: int) -> Slopes:
        """Return the equations of one instant."""
        return Slopes(**{name: value[k] for name, value in vars(self).items()})


@dataclass(frozen=True, kw_only=True)
class Tangent:
    """The equations of a stage near a point: what they read there, and their slopes."""

    thermo: Thermo
    """Properties there."""
    F: Array
    """Mass flow of each path, shape (..., path, B) [kg/s]."""
    Fu: Array
    """Its slope in the pressure upstream [kg/(s Pa)]."""
    Fd: Array
    """Its slope in the pressure downstream [kg/(s Pa)]."""
    X: Array
    """Mass flow out of each node, shape (..., node, B) [kg/s]."""
    Xp: Array
    """Its slope in the node's pressure [kg/(s Pa)]."""
    h: Array
    """Specific enthalpy of every volume and boundary, shape (..., volume + 2, B) [J/kg]."""
    holds: Base
    """Contents there."""
    needs: Base
    """What the stage would have to start from to end there."""
    slopes: Slopes
