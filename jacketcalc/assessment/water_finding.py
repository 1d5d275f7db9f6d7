"""Water along the path of both machines, and how dry the supply must be."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.air_quality import sufficient_class, sufficient_dryer
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.summary import count_inputs
from jacketcalc.findings.cold import LEAST_BOUND, Cold
from jacketcalc.findings.supply_water import supply_vapour
from jacketcalc.findings.water_path import Part, WaterPath, WaterPlace, WaterTracks, follow_path
from jacketcalc.inputs import Case

TOLD = 0.01
"""Share of the cold from which the heat that water sets free is told [-]."""
BLOCKED = 0.25
"""Share of a cross-section to whose blocking hours are counted, where none is asked for [-]."""
GOALS: tuple[tuple[str, str, tuple[Part, ...]], ...] = (
    ("passage", "frost-free passage", ("passage wall",)),
    ("exhaust_air", "no ice in the exhaust air", ("exhaust air",)),
    ("drive", "dry drive chambers", ("drive",)),
    ("stages", "dry stages", ("stage", "line")),
    ("receiver", "dry receiver", ("receiver",)),
)
"""What a supply can be dry enough for: key, name, and the parts of the path that then stay dry."""


@dataclass(frozen=True, kw_only=True)
class Need:
    """How dry the supply must be to keep a part of the path dry."""

    key: str
    name: str
    """Such as `dry stages`."""
    dew_point: float
    """Highest dew point at supply pressure [K]."""
    any_will_do: bool
    """Whether air saturated at supply temperature does."""
    humidity_class: int | None
    """Wettest class of ISO 8573-1 that does; None where class 1 does not [-]."""
    dryer: str
    """Simplest kind of dryer that does."""


@dataclass(frozen=True, kw_only=True)
class WaterFinding:
    """Water in both machines."""

    case: Case
    assumed: bool
    """Whether the humidity of the supply is assumed."""
    jacketed: WaterPath | None
    """With jackets, or the machine as it is where none is fed; None where it stalls."""
    bare: WaterPath | None
    """Without jackets; None where it stalls, and where there are no jackets."""
    cold: Cold | None
    """Cold of the exhaust of the machine with jackets."""

    @property
    def needs(self) -> tuple[Need, ...]:
        """How dry the supply must be, for both machines whichever asks more; empty at rest."""
        return needs_of(self.jacketed, self.case.machine.supply.temperature)

    @property
    def needs_bare(self) -> tuple[Need, ...]:
        """The same without jackets."""
        return needs_of(self.bare, self.case.machine.supply.temperature)

    @property
    def latent(self) -> float:
        """Heat that water sets free in the exhaust at most [W]."""
        found = self.jacketed.places if self.jacketed is not None else ()
        return max((p.latent for p in found if p.part in ("exhaust air", "passage wall")),
                   default=0.0)  # fmt: skip

    @property
    def latent_share(self) -> float | None:
        """That heat over the cold of the exhaust [-]; None where there is no cold to speak of."""
        if self.cold is None or self.cold.bound < LEAST_BOUND:
            return None
        return self.latent / self.cold.bound

    def twin(self, place: WaterPlace) -> WaterPlace | None:
        """Return the same place without jackets, None where there is none."""
        found = self.bare.places if self.bare is not None else ()
        return next((one for one in found if one.name == place.name), None)


def needs_of(path: WaterPath | None, supply_temperature: float) -> tuple[Need, ...]:
    """Return how dry the supply must be for each goal that a machine has.

    Parameters
    ----------
    path : water along the path; None of a machine at rest
    supply_temperature : temperature of the supply, above which no dew point can lie [K]
    """
    found = []
    for key, name, parts in GOALS:
        point = None if path is None else path.needed(*parts)
        if point is not None:
            found.append(
                Need(
                    key=key,
                    name=name,
                    dew_point=point,
                    any_will_do=point >= supply_temperature,
                    humidity_class=sufficient_class(point),
                    dryer=sufficient_dryer(point),
                )
            )
    return tuple(found)


def find_water(
    case: Case, bare: WaterTracks | None, jacketed: WaterTracks | None, cold: Cold | None
) -> WaterFinding:
    """Return water along the path of two machines that are solved.

    Parameters
    ----------
    case : the case
    bare, jacketed : what their air meets; None where one does not run, or is not there
    cold : cold of the exhaust of the machine with jackets
    """
    vapour = supply_vapour(case.machine.supply)
    return WaterFinding(
        case=case,
        assumed=count_inputs(case).dew_point_assumed,
        jacketed=follow_path(jacketed, vapour) if jacketed is not None else None,
        bare=follow_path(bare, vapour) if bare is not None else None,
        cold=cold,
    )


def water_of(found: Assessment) -> WaterFinding:
    """Return water along the path of the machines of an assessment."""
    return find_water(found.case, found.bare_tracks, found.jacketed_tracks, found.jacketed.cold)
