"""Water along the whole path of the air: for each place the nearest state and the most that leaves.

Air passes a place; what of its water it cannot hold at the coldest there leaves at most. That is an
upper bound: it takes all of the air to the coldest state, and all water that leaves to stay.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.findings.water import (
    Nearest,
    Vapour,
    dew_point_of,
    humidity_ratio,
    saturated_share,
)

Part = Literal["drive", "exhaust air", "passage wall", "stage", "line", "receiver"]
"""Part of the path; walls that ice can block are apart from the air between them."""
ICE_DENSITY = 917.0
"""Density of solid ice at freezing, IAPWS R10-06 gives 916.7 [kg/m3]."""
LOOSE_FROST = 200.0
"""Density of loose frost, 50 to 500 in handbooks; common practice, no source [kg/m3]."""
LATENT_ICE, LATENT_WATER = 2.834e6, 2.501e6
"""Heat set free by frost and by dew at freezing (Murphy and Koop 2005; from memory) [J/kg]."""


@dataclass(frozen=True, kw_only=True)
class WaterTrack:
    """Temperatures and pressures that air meets at a place, and how much of it passes."""

    name: str
    """Such as `wall of the tube of port 1`."""
    part: Part
    temperature: Array
    """Of wall or air, shape (place, moment) [K]."""
    pressure: Array
    """Of the air there, shape (place, moment) [Pa]."""
    passed: Array
    """Air that passes at each moment, shape (moment,) [kg]."""
    moments: tuple[str, ...]
    """What each moment is, in words."""
    time: Array
    """When it ends, from the start of cycle or pulse, shape (moment,) [s]."""
    stays: bool = False
    """Whether all that passes in a cycle may meet the worst moment."""
    distance: Array = field(default_factory=lambda: np.zeros(0))
    """Where the places lie, from `origin`, shape (place,) or (place, moment); none for one [m]."""
    origin: str = ""
    """Where the distance counts from."""
    along: Array = field(default_factory=lambda: np.zeros(0))
    """Way of the air to each place from the valve, shape (place,); empty where it has none [m]."""
    area: float | None = None
    """Free cross-section that ice could block; None where there is none [m2]."""
    span: Array = field(default_factory=lambda: np.zeros(0))
    """Length along the flow that each place stands for, shape (place,) [m]."""


@dataclass(frozen=True, kw_only=True)
class WaterTracks:
    """Every track of a running machine."""

    tracks: tuple[WaterTrack, ...]
    period: float
    """Cycle time [s]."""
    drive_air: float
    """Air that the drive draws [kg/s]."""
    stage_air: float
    """Air that the stages draw from the supply [kg/s]."""


@dataclass(frozen=True, kw_only=True)
class WaterPlace:
    """A place of the path."""

    name: str
    """Such as `wall of the tube of port 1`."""
    part: Part
    nearest: Nearest
    """Where and when it comes nearest to water."""
    dew_point_needed: float
    """Dew point of the supply up to which no water leaves here [K]."""
    air: float
    """Air that passes [kg/s]."""
    most: float
    """Water that leaves here at most [kg/s]."""
    blocked_volume: float | None
    """Free volume over the length on which ice can form; None where no ice can block [m3]."""
    time: Array
    """When each moment ends, shape (moment,) [s]."""
    margin_in_time: Array
    """Least margin of the places at each moment, shape (moment,) [K]."""
    along: Array
    """Way of the air to each place from the valve, shape (place,) [m]."""
    margin_along: Array
    """Least margin of the moments at each place, shape (place,) [K]."""

    @property
    def wet(self) -> bool:
        """Whether water leaves the air here."""
        return self.nearest.margin < 0.0

    @property
    def latent(self) -> float:
        """Heat that the water sets free at most [W]."""
        return self.most * (LATENT_ICE if self.nearest.freezes else LATENT_WATER)

    def hours(self, share: float) -> float | None:
        """Return the hours until ice fills a share of the cross-section; None where none does.

        All water that leaves at most stays there, as solid ice spread evenly over the length on
        which it can form.

        Parameters
        ----------
        share : blocked share of the cross-section [-]
        """
        if self.blocked_volume is None or not self.wet or self.most <= 0.0:
            return None
        return share * self.blocked_volume * ICE_DENSITY / self.most / 3600.0


def follow_track(track: WaterTrack, vapour: Vapour, period: float) -> WaterPlace:
    """Return what of a place comes nearest to water, and how much of it could leave.

    Parameters
    ----------
    track : temperatures and pressures of the place
    vapour : water of the supply
    period : cycle time [s]
    """
    T, p = track.temperature, track.pressure
    margin = T - vapour.point(p)
    saturated = saturated_share(T, p)
    i, k = map(int, np.unravel_index(int(np.argmin(margin)), margin.shape))
    excess = np.maximum(humidity_ratio(vapour.share) - humidity_ratio(saturated.min(axis=0)), 0.0)
    total = float(track.passed.sum())
    left = total * float(excess.max()) if track.stays else float(track.passed @ excess)
    wet = margin.min(axis=1) < 0.0
    icy = wet & (T.min(axis=1) < 273.15) if track.area is not None else wet
    volume = track.area * float(track.span[icy].sum()) if track.area is not None else None
    return WaterPlace(
        name=track.name,
        part=track.part,
        nearest=Nearest(
            margin=float(margin[i, k]),
            temperature=float(T[i, k]),
            point=float(T[i, k] - margin[i, k]),
            pressure=float(p[i, k]),
            part=track.name,
            distance=_distance(track, i, k),
            origin=track.origin,
            moment=track.moments[k],
        ),
        dew_point_needed=dew_point_of(float(saturated.min()), vapour.pressure),
        air=total / period,
        most=left / period,
        blocked_volume=volume or None,
        time=track.time,
        margin_in_time=margin.min(axis=0),
        along=track.along,
        margin_along=margin.min(axis=1) if track.along.size else np.zeros(0),
    )


def _distance(track: WaterTrack, i: int, k: int) -> float | None:
    if not track.distance.size:
        return None
    return float(track.distance[i, k] if track.distance.ndim == 2 else track.distance[i])


@dataclass(frozen=True, kw_only=True)
class WaterPath:
    """Water along the whole path of a running machine."""

    places: tuple[WaterPlace, ...]
    """In the order in which the air passes them: drive, exhaust, then stages."""
    dew_point: float
    """Dew point of the supply at its pressure [K]."""
    pressure: float
    """Supply pressure [Pa]."""
    drive_water: float
    """Water that enters the drive [kg/s]."""
    stage_water: float
    """Water that enters the stages [kg/s]."""

    @property
    def entering(self) -> float:
        """Water that enters the machine [kg/s]."""
        return self.drive_water + self.stage_water

    def needed(self, *parts: Part) -> float | None:
        """Return the dew point of the supply that keeps parts dry; None where there are none [K].

        Parameters
        ----------
        parts : parts of the path
        """
        return min((p.dew_point_needed for p in self.places if p.part in parts), default=None)

    def most(self, *parts: Part) -> float:
        """Return the most water that leaves at one place of some parts [kg/s]."""
        return max((p.most for p in self.places if p.part in parts), default=0.0)


def follow_path(found: WaterTracks, vapour: Vapour) -> WaterPath:
    """Return water along the whole path.

    Parameters
    ----------
    found : every track of a machine
    vapour : water of the supply
    """
    ratio = float(humidity_ratio(vapour.share))
    return WaterPath(
        places=tuple(follow_track(track, vapour, found.period) for track in found.tracks),
        dew_point=vapour.dew_point,
        pressure=vapour.pressure,
        drive_water=found.drive_air * ratio,
        stage_water=found.stage_air * ratio,
    )
