"""Comparisons of outcomes: changes, bands, limits."""

from __future__ import annotations

from collections.abc import Iterable

from jacketcalc.assessment.result import (
    Band,
    BandMember,
    Change,
    Interval,
    LimitCheck,
    StageChange,
)
from jacketcalc.coupling.outcome import Outcome
from jacketcalc.inputs import Case


def relative(new: float, old: float) -> float:
    """Return the relative change; -1 when the new machine stalls, 0 when both do."""
    if old == 0.0:
        return 0.0 if new == 0.0 else float("inf")
    return new / old - 1.0


def compare(jacketed: Outcome, bare: Outcome) -> Change:
    """Return what changes from bare to jacketed."""
    per_cycle = [o.stages[-1].mass_per_stroke for o in (jacketed, bare)]
    return Change(
        delivered_mass_flow=relative(jacketed.delivered_mass_flow, bare.delivered_mass_flow),
        mass_per_cycle=relative(*per_cycle),
        cycle_rate=relative(jacketed.cycle_rate, bare.cycle_rate),
        drive_air_per_kg=relative(jacketed.drive_air_per_kg, bare.drive_air_per_kg),
        stages=tuple(
            StageChange(
                name=a.name,
                charge_temperature=a.charge_temperature - b.charge_temperature,
                discharge_temperature=a.discharge_temperature - b.discharge_temperature,
                wall_temperature=a.wall_temperature.mean - b.wall_temperature.mean,
            )
            for a, b in zip(jacketed.stages, bare.stages, strict=True)
        ),
    )


def hottest_discharge(outcome: Outcome) -> float:
    """Highest mean discharge temperature of the stages [K]."""
    return max(s.discharge_temperature for s in outcome.stages)


def make_band(members: Iterable[BandMember], nominal: BandMember) -> Band:
    """Span the changes of all members; differences are taken pair by pair."""
    members = tuple(members)

    def span(values: list[float], value: float) -> Interval:
        return Interval(low=min(values), value=value, high=max(values))

    def fall(m: BandMember) -> float:
        return hottest_discharge(m.jacketed) - hottest_discharge(m.bare)

    return Band(
        delivered_mass_flow=span(
            [m.change.delivered_mass_flow for m in members], nominal.change.delivered_mass_flow
        ),
        drive_air_per_kg=span(
            [m.change.drive_air_per_kg for m in members], nominal.change.drive_air_per_kg
        ),
        discharge_temperature=span([fall(m) for m in members], fall(nominal)),
        members=members,
    )


def check_limits(
    case: Case, bare: Outcome, band: Band, jacketed: Outcome
) -> tuple[LimitCheck, ...]:
    """Hold temperatures against the case's and the materials' limits."""
    checks = []
    every = [m.jacketed for m in band.members]
    for i, stage in enumerate(case.machine.stages):
        checks.append(
            _check(
                f"discharge temperature, {stage.name}",
                "at most",
                case.judgement.discharge_limit,
                [o.stages[i].discharge_temperature for o in (bare, jacketed)],
                [o.stages[i].discharge_temperature for o in every],
            )
        )
        checks.append(
            _check(
                f"seal ({stage.seal.name}), {stage.name}",
                "at most",
                stage.seal.highest,
                [o.stages[i].seal_temperature for o in (bare, jacketed)],
                [o.stages[i].seal_temperature for o in every],
            )
        )
    for number, exhaust in ((0, case.machine.exhaust_1), (1, case.machine.exhaust_2)):
        jackets = {s.name: i for i, s in enumerate(case.machine.stages) if s.jacket is not None}
        if exhaust.tube is None or exhaust.to not in jackets:
            continue
        stage_index = jackets[exhaust.to]

        def coldest(outcome: Outcome, i: int = stage_index) -> float:
            jacket = outcome.stages[i].jacket
            return jacket.coldest_wall if jacket is not None else case.machine.room.temperature

        checks.append(
            _check(
                f"tube ({exhaust.tube.material.name}), port {number + 1}",
                "at least",
                exhaust.tube.material.lowest,
                [coldest(jacketed), coldest(jacketed)],
                [coldest(o) for o in every],
            )
        )
    return tuple(checks)


def _check(what, kind, limit, both, every) -> LimitCheck:  # type: ignore[no-untyped-def]
    return LimitCheck(
        what=what, kind=kind, limit=limit, bare=both[0], jacketed=both[1],
        low=min(every), high=max(every),
    )  # fmt: skip
