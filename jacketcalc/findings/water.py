"""Water in the air: where it leaves, and the surface or air that comes nearest to it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.correlations.moisture import (
    FREEZING,
    enhancement_factor,
    saturation_temperature,
    vapour_pressure_ice,
    vapour_pressure_water,
)
from jacketcalc.gas.table import air

MOLAR_MASS = 28.96546e-3
"""Of dry air (Lemmon et al. 2000) [kg/mol]."""
WATER_MOLAR_MASS = 18.015268e-3
"""Of water (IAPWS-95) [kg/mol]."""
MOST_SHARE = 0.9
"""Share of vapour from which on air counts as steam: it is never met, and bounds a ratio [-]."""
PRESSURES = (1e3, 1e8)
"""Between these points are found [Pa]."""
POINTS = 400
"""Points between them: straight lines in ln p and 1 / T are then within 0.02 K [-]."""
COLDEST, WARMEST = 150.0, 450.0
"""Dew points between which a share of vapour is read back [K]."""
PASSES = 12
"""Passes over point and enhancement: each leaves an eighth of the change, or less [-]."""


@dataclass(frozen=True, kw_only=True)
class Vapour:
    """The vapour that comes with the supply and keeps its share of the air."""

    dew_point: float
    """Dew point of the supply, frost point below freezing [K]."""
    pressure: float
    """Pressure at which it is stated [Pa]."""

    def point(self, p: float | Array) -> Array:
        """Temperature at which water leaves the air at pressure p: frost point, or dew point [K].

        Read between points that were found beforehand, within 0.02 K.
        """
        ln_p, inverse = _points(self)
        return np.asarray(1.0 / np.interp(np.log(p), ln_p, inverse))

    @property
    def share(self) -> float:
        """Molecules of water over all of the air [-]."""
        return float(saturated_share(self.dew_point, self.pressure))


@cache
def _points(vapour: Vapour) -> tuple[Array, Array]:
    """Return ln p [ln Pa] and one over the point there [1/K]."""
    p = np.geomspace(*PRESSURES, POINTS)
    return np.log(p), 1.0 / dew_point(vapour.share, p)


def dew_point(share: float, p: Array) -> Array:
    """Return where air of some share of vapour gives off water: ice below freezing [K].

    Parameters
    ----------
    share : molecules of water over all of the air [-]
    p : pressure [Pa]
    """
    ice, water = (_point(share, p, frost=frost) for frost in (True, False))
    return np.where(ice < FREEZING, ice, np.maximum(water, FREEZING))


def dew_point_of(share: float, pressure: float) -> float:
    """Return the dew point of air with a share of vapour, within 0.01 K, from 150 to 450 K [K].

    Parameters
    ----------
    share : molecules of water over all of the air [-]
    pressure : pressure of the air [Pa]
    """
    ln_share, inverse = _shares(pressure)
    return float(1.0 / np.interp(np.log(share), ln_share, inverse))


@cache
def _shares(pressure: float) -> tuple[Array, Array]:
    """Return ln of the saturated share, rising, and one over its temperature [1/K]."""
    inverse = np.linspace(1.0 / COLDEST, 1.0 / WARMEST, POINTS)
    ln_share = np.log(saturated_share(1.0 / inverse, pressure))
    # Ice and water meet a little below the freezing point that parts the two laws.
    return np.maximum.accumulate(ln_share), inverse


def saturated_share(T: float | Array, p: float | Array) -> Array:
    """Return the share of vapour that air holds at most, over ice below freezing [-].

    Parameters
    ----------
    T : temperature [K]
    p : pressure [Pa]
    """
    T, p = np.broadcast_arrays(np.asarray(T, dtype=float), np.asarray(p, dtype=float))
    over_ice, over_water = (_saturated(T, p, frost=frost) for frost in (True, False))
    return np.where(T < FREEZING, over_ice, over_water)


def _saturated(T: Array, p: Array, *, frost: bool) -> Array:
    law = vapour_pressure_ice if frost else vapour_pressure_water
    return enhancement(T, p, frost=frost) * law(T) / p


def humidity_ratio(share: float | Array) -> Array:
    """Return mass of water over mass of dry air [-], of a share of vapour [-]."""
    held = np.minimum(share, MOST_SHARE)
    return np.asarray(WATER_MOLAR_MASS / MOLAR_MASS * held / (1.0 - held))


def enhancement(T: float | Array, p: float | Array, *, frost: bool) -> Array:
    """Return by how much air raises the vapour that it holds, with its real density [-].

    Parameters
    ----------
    T : temperature [K]
    p : pressure of the air [Pa]
    frost : over ice rather than over water
    """
    density = air().thermo(T, p).rho / MOLAR_MASS
    return enhancement_factor(T, p, density, frost=frost)


def _point(share: float, p: Array, *, frost: bool) -> Array:
    """Return the temperature at which air with a share of vapour is saturated [K]."""
    T = np.full_like(p, FREEZING)
    for _ in range(PASSES):
        T = saturation_temperature(share * p / enhancement(T, p, frost=frost), frost=frost)
    return T


@dataclass(frozen=True, kw_only=True)
class Nearest:
    """The surface, or the air, that comes nearest to water: where, when and by how much."""

    margin: float
    """Temperature less the frost or dew point there and then; negative where water leaves [K]."""
    temperature: float
    """Temperature there [K]."""
    point: float
    """Frost or dew point there and then [K]."""
    pressure: float
    """Pressure there and then [Pa]."""
    part: str
    """What it is, such as `tube of port 1`."""
    distance: float | None
    """How far from `origin` it is; None where that says nothing [m]."""
    origin: str
    """Where the distance counts from, such as `its port`."""
    moment: str
    """When, such as `in phase 2 of 10 of the pulse`."""

    @property
    def freezes(self) -> bool:
        """Whether what would form there is ice."""
        return self.temperature < FREEZING

    @property
    def point_name(self) -> str:
        """What the point is called: water leaves as ice below freezing."""
        return "frost point" if self.point < FREEZING else "dew point"


@dataclass(frozen=True, kw_only=True)
class Water:
    """The nearest to water in a running machine."""

    passage_wall: Nearest | None
    """Walls of tubes and jackets; None where the exhaust meets none."""
    exhaust: Nearest
    """Exhaust air, at the ports and along the passages."""
    stages: tuple[Nearest | None, ...]
    """Barrel, head and crown of each stage; None where it draws from a source, taken dry."""


def nearest(found: list[Nearest]) -> Nearest:
    """Return the one of the least margin."""
    return min(found, key=lambda one: one.margin)
