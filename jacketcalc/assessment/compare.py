"""Comparisons of outcomes: changes, bands, limits."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Literal

from jacketcalc.assessment.result import (
    Band,
    BandMember,
    Change,
    Interval,
    LimitCheck,
    StageChange,
)
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import relative
from jacketcalc.inputs import Case
from jacketcalc.materials import service_source
from jacketcalc.references import SOURCES

_Read = Callable[[Outcome], float]
_Limit = tuple[str, Literal["at most", "at least"], float, _Read, _Read | None, str]


def compare(jacketed: Outcome, bare: Outcome) -> Change:
    """Return what changes from bare to jacketed; drive air for no delivered mass is endless."""
    return Change(
        delivered_mass_flow=relative(jacketed.delivered_mass_flow, bare.delivered_mass_flow),
        mass_per_cycle=relative(jacketed.mass_per_cycle, bare.mass_per_cycle),
        cycle_rate=relative(jacketed.cycle_rate, bare.cycle_rate),
        specific_air_consumption=relative(
            jacketed.specific_air_consumption, bare.specific_air_consumption
        )
        if jacketed.delivers
        else float("inf"),
        stages=tuple(
            StageChange(
                name=a.name,
                compression_start_temperature=a.compression_start_temperature
                - b.compression_start_temperature,
                discharge_temperature=a.discharge_temperature - b.discharge_temperature,
                wall_temperature=a.wall_temperature.mean - b.wall_temperature.mean,
            )
            for a, b in zip(jacketed.stages, bare.stages, strict=True)
        ),
    )


def make_band(members: Iterable[BandMember], nominal: BandMember) -> Band:
    """Span the changes of all members; differences are taken pair by pair."""
    members = tuple(members)

    def span(values: list[float], value: float) -> Interval:
        found = [v for v in values if v == v] or [value]
        return Interval(low=min(found), value=value, high=max(found))

    def fall(m: BandMember) -> float:
        if not (m.jacketed.delivers and m.bare.delivers):
            return float("nan")
        return m.jacketed.hottest_discharge - m.bare.hottest_discharge

    return Band(
        delivered_mass_flow=span(
            [m.change.delivered_mass_flow for m in members], nominal.change.delivered_mass_flow
        ),
        specific_air_consumption=span(
            [m.change.specific_air_consumption for m in members],
            nominal.change.specific_air_consumption,
        ),
        discharge_temperature=span([fall(m) for m in members], fall(nominal)),
        members=members,
    )


def check_limits(
    case: Case, bare: Outcome, band: Band, jacketed: Outcome
) -> tuple[LimitCheck, ...]:
    """Hold temperatures against the case's and the materials' limits."""
    every = [m.jacketed for m in band.members]
    return tuple(
        LimitCheck(
            what=what,
            kind=kind,
            limit=limit,
            bare=read(bare),
            jacketed=read(jacketed),
            low=min(map(read, every)),
            high=max(map(read, every)),
            gas_bare=gas(bare) if gas else None,
            gas_jacketed=gas(jacketed) if gas else None,
            source=source,
        )
        for what, kind, limit, read, gas, source in _limits(case, jacketed)
    )


def broken_limits(case: Case, outcome: Outcome) -> tuple[tuple[str, ...], int]:
    """Return the limits that one machine breaks, and how many there are."""
    every = [(what, read(outcome), kind, limit) for what, kind, limit, read, *_
             in _limits(case, outcome)]  # fmt: skip
    broken = tuple(
        what
        for what, value, kind, limit in every
        if (value > limit if kind == "at most" else value < limit)
    )
    return broken, len(every)


SERVICE = (
    "A wall at a seal is the hottest of the piston crown and of the barrel that the seal rubs on; "
    "the gas that meets the seal is shown and not judged. Service temperatures are those a "
    "material is used at: these rows say nothing of strength."
)
"""What the rows of limits compare, in words."""


def _limits(case: Case, jacketed: Outcome) -> Iterator[_Limit]:
    """Every limit of a case with the way to read its quantity; what is not discharged has none."""
    for i, stage in enumerate(case.machine.stages):
        if jacketed.stalled or jacketed.stages[i].delivers:
            limit = case.judgement.discharge_limit
            what = f"discharge temperature, {stage.name}"
            yield what, "at most", limit, _discharge(i), None, _asked(case)
        seal = f"wall at the seal ({stage.seal.name}), {stage.name}"
        yield seal, "at most", stage.seal.highest, _seal(i), _gas(i), service_source(stage.seal)
        barrel = f"barrel service temperature ({stage.material.name}), {stage.name}"
        source = service_source(stage.material)
        yield barrel, "at most", stage.material.highest, _hottest(i), None, source
        if stage.jacket is not None and _feeds(case, stage.name):
            shell = stage.jacket.shell
            coldest = _coldest(i, case.machine.ambient.temperature)
            what = f"shell service temperature ({shell.name}), {stage.name}"
            yield what, "at least", shell.lowest, coldest, None, service_source(shell)
    jackets = {s.name: i for i, s in enumerate(case.machine.stages) if s.jacket is not None}
    for port, exhaust in enumerate((case.machine.exhaust_1, case.machine.exhaust_2), start=1):
        if exhaust.tube is not None and exhaust.to in jackets:
            coldest = _coldest(jackets[exhaust.to], case.machine.ambient.temperature)
            tube = exhaust.tube.material
            what = f"tube service temperature ({tube.name}), port {port}"
            yield what, "at least", tube.lowest, coldest, None, service_source(tube)


def _asked(case: Case) -> str:
    """Return where the limit of discharge comes from."""
    given = next((g for g in case.given if g.path == "judge.discharge_limit"), None)
    own = given is not None and not given.assumed
    stated = f"stated in the case ({given.source}); " if own and given is not None else ""
    return (
        f"discharge: {stated}the usual limit is practice of process compressors, "
        f"{SOURCES['api-618'].citation}, from memory"
    )


def _feeds(case: Case, name: str) -> bool:
    return name in (case.machine.exhaust_1.to, case.machine.exhaust_2.to)


def _discharge(i: int) -> _Read:
    return lambda outcome: outcome.stages[i].discharge_temperature


def _seal(i: int) -> _Read:
    return lambda outcome: outcome.stages[i].seal_temperature


def _gas(i: int) -> _Read:
    """Hottest gas of a stage, which meets its seal."""
    return lambda outcome: outcome.stages[i].peak_temperature


def _hottest(i: int) -> _Read:
    return lambda outcome: outcome.stages[i].wall_temperature.max


def _coldest(i: int, ambient: float) -> _Read:
    """Coldest wall of a jacket's passage; without jackets, a tube has that of the air outside."""

    def read(outcome: Outcome) -> float:
        jacket = outcome.stages[i].jacket
        return jacket.coldest_wall if jacket is not None else ambient

    return read
