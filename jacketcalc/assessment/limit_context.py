"""What stands beside the limits and is not judged: gas at seals and tubes, oil, hoop stress.

A wall is what a seal or a tube feels most of the time, and it is judged; the gas that it meets
within a cycle is hotter and colder, and how far it follows that gas is not computed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from jacketcalc.assessment.result import Assessment
from jacketcalc.core.profiles import Detail
from jacketcalc.findings.water_path import WaterTracks
from jacketcalc.inputs import Case, Stage, Tube
from jacketcalc.materials import MATERIALS, service_source
from jacketcalc.wall_stress import Wall, list_walls

ZERO = 273.15
"""Zero of the Celsius scale [K]."""
CARBONISES = ZERO + 160.0
"""Discharge from which mineral oil bakes to deposits that can glow [K]."""
CARBONISES_SOURCE = (
    "oil carbonises: from here on mineral oil leaves deposits that can glow; usual practice of air "
    "compressors, from memory"
)
IGNITES = ZERO + 370.0 - 140.0
"""Self-ignition of mineral oil in air at ambient pressure, less what compression takes off it at
most (GAP.3.1.1: 250 degF) [K]."""
IGNITES_SOURCE = (
    "oil ignites: self-ignition of mineral oil in air at ambient pressure (from memory), less what "
    "compression takes off it at most (GAPS guideline GAP.3.1.1, read)"
)
OIL = "Where there is oil; a machine that runs without it has neither."
"""What the two figures of oil take for granted."""
COLD_SEAL = MATERIALS["NBR"]
"""What a drive's seals commonly are; the case does not state them (common practice, no source)."""
PRESSURE_CODE = (
    "Hoop stress is a plain figure of a plain cylinder at the highest pressure computed inside: no "
    "ports, threads, fatigue, ends or corrosion. The pressure code that applies (such as EN 13445, "
    "ASME VIII, or that of gas cylinders) and licensed practice decide."
)
"""What stands below the figures of stress."""
CAUTIONS = (
    "Gas richer in oxygen than air: oil, and most plastics and seals, ignite far below these "
    "temperatures. It asks for parts made and cleaned for oxygen, no oil, and codes of its own.",
    "Breathing air has standards of its own (such as EN 12021) and licensed practice; nothing here "
    "says whether air may be breathed.",
    "Relief valves and burst protection are not designed here: licensed people do that.",
)
"""What stands beside the limits."""

Kind = Literal["at most", "at least"]


SEALS = ("PTFE", "UHMWPE", "NBR", "HNBR", "FKM", "PU seal", "POM")
"""Materials that seals of stages are usually made of (common practice, no source)."""


@dataclass(frozen=True, kw_only=True)
class SealChoice:
    """A material that the seals of all stages could have, against what they meet with jackets."""

    material: str
    lowest: float
    """Lowest service temperature [K]."""
    highest: float
    """Highest service temperature [K]."""
    hot_wall: float
    """Highest service temperature above the hottest wall at a seal [K]."""
    hot_gas: float
    """The same above the hottest gas [K]."""
    cold_wall: float
    """Coldest wall at a seal above the lowest service temperature [K]."""
    cold_gas: float
    """The same of the coldest gas [K]."""
    source: str
    """Where the service temperatures come from."""


@dataclass(frozen=True, kw_only=True)
class LimitFigure:
    """A temperature beside a limit that is not judged."""

    what: str
    """Quantity and place, such as `coldest gas at the seal (PTFE), first`."""
    kind: Kind
    limit: float
    """What it is held against [K]."""
    bare: float | None
    """Without jackets [K]; None where that machine has no such part, or stalls."""
    jacketed: float
    """With jackets [K]."""
    source: str
    """Where the limit comes from."""

    @property
    def margin(self) -> float:
        """How far the machine with jackets keeps from it; negative beyond it [K]."""
        space = self.limit - self.jacketed
        return space if self.kind == "at most" else -space

    @property
    def beyond(self) -> bool:
        """Whether the machine with jackets passes it."""
        return self.margin < 0.0


def list_figures(found: Assessment) -> tuple[LimitFigure, ...]:
    """Return every figure beside the limits; none of a machine that stalls.

    Oil has figures where the stages compress air: no other gas of a case feeds a fire.
    """
    return () if found.jacketed.stalled else tuple(_figures(found))


def _figures(found: Assessment) -> Iterator[LimitFigure]:
    for i, stage in enumerate(found.case.machine.stages):
        yield from _seal(found, i, stage)
    for port, tube in _tubes(found.case):
        air = _coldest(found.jacketed_tracks, "air in the tube of ", port)
        if air is not None:
            yield LimitFigure(
                what=f"coldest air of the pulse in the tube ({tube.material.name}), {port}",
                kind="at least", limit=tube.material.lowest, jacketed=air,
                bare=_coldest(found.bare_tracks, "air in the tube of ", port),
                source=service_source(tube.material),
            )  # fmt: skip
    drive = _coldest(found.jacketed_tracks, "air of drive chamber ")
    if drive is not None:
        yield LimitFigure(
            what=f"coldest air at the drive's seals ({COLD_SEAL.solid.name} taken)",
            kind="at least", limit=COLD_SEAL.solid.lowest, jacketed=drive,
            bare=_coldest(found.bare_tracks, "air of drive chamber "),
            source=f"drive's seals: not stated in the case; {service_source(COLD_SEAL.solid)}",
        )  # fmt: skip
    if found.case.machine.gas.name != "air":
        return
    hottest = None if found.bare.stalled else found.bare.hottest_discharge
    for what, limit, source in (
        ("oil carbonises: hottest discharge", CARBONISES, CARBONISES_SOURCE),
        ("oil ignites by itself: hottest discharge", IGNITES, IGNITES_SOURCE),
    ):
        yield LimitFigure(what=what, kind="at most", limit=limit, bare=hottest,
                          jacketed=found.jacketed.hottest_discharge, source=source)  # fmt: skip


def oil_figures(figures: Sequence[LimitFigure]) -> list[LimitFigure]:
    """Return those of oil."""
    return [one for one in figures if one.source in (CARBONISES_SOURCE, IGNITES_SOURCE)]


def _seal(found: Assessment, i: int, stage: Stage) -> Iterator[LimitFigure]:
    """Yield the coldest gas and wall that meet a stage's seal; the hottest stand by its limit."""
    bare = None if found.bare.stalled else found.bare_detail
    for what, read in (("gas", _coldest_gas), ("wall", _coldest_wall)):
        yield LimitFigure(
            what=f"coldest {what} at the seal ({stage.seal.name}), {stage.name}",
            kind="at least", limit=stage.seal.lowest, source=service_source(stage.seal),
            bare=read(bare, i) if bare is not None else None,
            jacketed=read(found.jacketed_detail, i),
        )  # fmt: skip


def _coldest_gas(detail: Detail, i: int) -> float:
    return float(detail.stages[i].temperature.min())


def _coldest_wall(detail: Detail, i: int) -> float:
    stage = detail.stages[i]
    return min(float(stage.wall_inside.min()), stage.crown_temperature)


def _tubes(case: Case) -> Iterator[tuple[str, Tube]]:
    machine = case.machine
    same = machine.exhaust_1.to == machine.exhaust_2.to != "atmosphere"
    for port, exhaust in enumerate((machine.exhaust_1, machine.exhaust_2), start=1):
        if exhaust.tube is not None and not (same and port == 2):
            yield "both ports" if same else f"port {port}", exhaust.tube


def _coldest(found: WaterTracks | None, begins: str, ends: str = "") -> float | None:
    """Return the lowest temperature of the tracks of a name [K]; None where there is none."""
    tracks = found.tracks if found is not None else ()
    return min(
        (float(track.temperature.min()) for track in tracks
         if track.name.startswith(begins) and track.name.endswith(ends)),
        default=None,
    )  # fmt: skip


def list_seals(found: Assessment) -> tuple[SealChoice, ...]:
    """Return the usual materials of seals with their margins; none of a machine that stalls."""
    if found.jacketed.stalled:
        return ()
    detail, places = found.jacketed_detail, range(len(found.jacketed.stages))
    hot_wall = max(stage.seal_temperature for stage in found.jacketed.stages)
    hot_gas = max(stage.peak_temperature for stage in found.jacketed.stages)
    cold_wall = min(_coldest_wall(detail, i) for i in places)
    cold_gas = min(_coldest_gas(detail, i) for i in places)
    solids = (MATERIALS[name].solid for name in SEALS)
    return tuple(
        SealChoice(
            material=solid.name,
            lowest=solid.lowest,
            highest=solid.highest,
            hot_wall=solid.highest - hot_wall,
            hot_gas=solid.highest - hot_gas,
            cold_wall=cold_wall - solid.lowest,
            cold_gas=cold_gas - solid.lowest,
            source=service_source(solid),
        )
        for solid in solids
    )


def list_stresses(found: Assessment) -> tuple[Wall, ...]:
    """Return every round wall at the highest pressure estimated or computed inside."""
    machine, walls = found.case.machine, []
    peaks = {
        f"stage.{stage.name}.wall_thickness": max(
            float(detail.stages[i].pressure.max(initial=0.0))
            for detail in (found.bare_detail, found.jacketed_detail)
        )
        for i, stage in enumerate(machine.stages)
    }
    for wall in list_walls(machine):
        peak = peaks.get(wall.key, 0.0) - machine.ambient.pressure
        walls.append(replace(wall, pressure=max(wall.pressure, peak)))
    return tuple(walls)
