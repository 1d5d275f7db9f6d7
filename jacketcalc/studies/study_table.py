"""The frozen result of a study."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from jacketcalc.assessment.gas_range import GasRange, beyond_table
from jacketcalc.assessment.notes import IDLE
from jacketcalc.assessment.result import Standing
from jacketcalc.assessment.standing import read_standings
from jacketcalc.assessment.stop_words import say_stop
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Outputs
from jacketcalc.core.solved import Result
from jacketcalc.inputs import Case
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.columns import (
    FROM_DRAWN,
    NO_JACKETS_FROM_DRAWN,
    PARTS,
    Numbers,
    StudyColumn,
    list_columns,
    measure,
    measure_bare,
    measure_changes,
)
from jacketcalc.studies.grid import StudyPlan
from jacketcalc.studies.limits import Limits

State = Literal["solved", "stalled", "failed", "impossible", "idle"]
"""What became of a point; an idle machine runs and delivers nothing."""


@dataclass(frozen=True, kw_only=True)
class StudyRow:
    """One point of a study."""

    values: tuple[float, ...]
    """Values of the axes, in SI."""
    texts: tuple[str, ...]
    """The same as typed."""
    state: State
    reason: str = ""
    """Why there are no numbers, or what of the model range is missing."""
    members: tuple[Numbers, ...] = ()
    """Numbers of each member of the model range in SI, empty for one that did not settle."""
    gas: GasRange | None = None
    """Extremes of its gas, where that of a machine of it leaves the table of air."""

    @property
    def numbers(self) -> Numbers:
        """Numbers under the nominal models, those of the case, in SI."""
        return self.members[0] if self.members else {}

    def spread(self, column: str) -> tuple[float, float] | None:
        """Return the ends of a number's range, None where one member alone has it."""
        found = [numbers[column] for numbers in self.members if column in numbers]
        return (min(found), max(found)) if len(found) > 1 else None

    def band(self, columns: Sequence[StudyColumn]) -> dict[str, float]:
        """Return the ends of the ranges of these columns, by their names."""
        return {
            end.name: value
            for column in columns
            if column.banded and (ends := self.spread(column.name)) is not None
            for end, value in zip(column.band, ends, strict=True)
        }


@dataclass(frozen=True, kw_only=True)
class StudyTable:
    """A study: every point with its numbers, or the reason why it has none."""

    case: Case
    axes: tuple[Axis, ...]
    members: tuple[str, ...]
    """Names of the members of the model range, the nominal one first."""
    columns: tuple[StudyColumn, ...]
    rows: tuple[StudyRow, ...]
    """Points; the last axis runs fastest."""
    bare: tuple[Numbers, ...]
    """Numbers of the reference under each member, where all points share one; else empty."""
    drawn: StudyRow | None = None
    """The drawn design, without values: they may differ from stage to stage."""
    against: Case | None = None
    """Case of the drawn design, where that is not the case itself."""
    limits: Limits = field(default_factory=Limits)
    """What is asked beside the limits of the case and its materials."""
    held: tuple[tuple[str, str], ...] = ()
    """Entries that a search set, with their values as typed."""
    design: str = "As drawn"
    """Which design of the case `standings` speak of."""
    standings: tuple[Standing, ...] = ()
    """The case as drawn in every comparison that a verdict speaks of."""
    missing: tuple[str, ...] = ()
    """Comparisons of it that could not be made, each with its reason."""

    @property
    def drawn_case(self) -> Case:
        """The case of the drawn design."""
        return self.case if self.against is None else self.against

    @property
    def gas(self) -> GasRange | None:
        """Extremes of the gas of the drawn design, where that leaves the table of air."""
        return None if self.drawn is None else self.drawn.gas

    @property
    def shape(self) -> tuple[int, ...]:
        """Number of values of each axis."""
        return tuple(len(axis.values) for axis in self.axes)

    def column(self, name: str) -> StudyColumn:
        """Return a column by its name."""
        return next(column for column in self.columns if column.name == name)

    def series(self, column: str, member: int = 0) -> list[float | None]:
        """Return a column's numbers in the order of the rows, None where there is none."""
        return [
            row.members[member].get(column) if member < len(row.members) else None
            for row in self.rows
        ]


def make_table(
    plan: StudyPlan, results: Sequence[Result], outputs: Outputs = OUTPUTS
) -> StudyTable:
    """Read a study's rows out of the results of its designs."""
    rows = tuple(_row(plan, i, results, outputs) for i in range(len(plan.points)))
    drawn = {name: results[place] for name, place in plan.drawn.items()}
    standings, missing = read_standings(plan.case, drawn)
    return StudyTable(
        case=plan.case,
        axes=plan.axes,
        members=plan.members,
        columns=list_columns(plan.case.machine, split=any(plan.alone), outputs=outputs),
        rows=rows,
        bare=_shared_bare(plan, results, outputs),
        drawn=_drawn(plan, results, outputs),
        against=None if plan.drawn_case is plan.case else plan.drawn_case,
        limits=plan.limits,
        standings=standings,
        missing=missing,
    )


def _gas(results: Sequence[Result], *places: int) -> GasRange | None:
    """Return the extremes of the gas of those machines that leave the table of air."""
    found = (results[place] for place in dict.fromkeys(places))
    return beyond_table(result.outcome for result in found if not result.failure)


def _row(plan: StudyPlan, index: int, results: Sequence[Result], outputs: Outputs) -> StudyRow:
    point = plan.points[index]
    if point.machine is None:
        return StudyRow(
            values=point.values, texts=point.texts, state="impossible", reason=point.gap
        )
    row = _read(plan, plan.jacketed[index], plan.bare[index], results, outputs)
    alone, lost = _alone(plan, index, results)
    first, *others = row.members
    members = ({**first, **alone} if first else first, *others)
    reason = "; ".join(filter(None, (row.reason, *lost)))
    gas = _gas(results, *plan.jacketed[index], *plan.bare[index], *plan.alone[index])
    return replace(row, values=point.values, texts=point.texts, members=members, reason=reason,
                   gas=gas)  # fmt: skip


def _read(
    plan: StudyPlan,
    jacketed: Sequence[int],
    bare: Sequence[int],
    results: Sequence[Result],
    outputs: Outputs,
) -> StudyRow:
    """Return a machine under every member, with its state, as a row without values."""
    members, missing = [], []
    for member, (own, without) in enumerate(zip(jacketed, bare, strict=True)):
        words = results[own].failure or _of_bare(results[without].failure)
        missing += [f"{plan.members[member]}: {words}"] if words else []
        members.append({} if words else _numbers(plan, member, (own, without), results, outputs))
    stated = results[jacketed[0]]
    state: State = "solved"
    if not members[0]:
        state = "failed"
    elif stated.outcome.stalled:
        state = "stalled"
        at = f"{stated.outcome.stall_pressure / 1e5:.0f} bar(a)"
        reach = f"by forces alone its final stage reaches {at} in the receiver"
        missing.insert(0, f"the machine {say_stop(stated.outcome)}; {reach}")
    elif not stated.outcome.delivers:
        state = "idle"
        missing.insert(0, f"the machine delivers nothing: {IDLE}")
    return StudyRow(values=(), texts=(), state=state, reason="; ".join(missing),
                    members=tuple(members))  # fmt: skip


def _of_bare(failure: str) -> str:
    return f"the machine without jackets: {failure}" if failure else ""


def _numbers(
    plan: StudyPlan,
    member: int,
    places: tuple[int, int],
    results: Sequence[Result],
    outputs: Outputs,
) -> dict[str, float]:
    """Return the numbers of both machines, and what changes from the drawn design's."""
    own, bare = places
    jacketed, without = results[own].outcome, results[bare].outcome
    numbers = {
        **measure(plan.designs[own].machine, jacketed, outputs),
        **measure_bare(plan.designs[bare].machine, without, outputs),
        **measure_changes(jacketed, without, outputs=outputs),
    }
    for outcome, stands, group in (
        (jacketed, plan.case_jacketed, FROM_DRAWN),
        (without, plan.case_bare, NO_JACKETS_FROM_DRAWN),
    ):  # fmt: skip
        base = results[stands[member]]
        if not base.failure:
            numbers.update(measure_changes(outcome, base.outcome, group, outputs))
    return numbers


def _alone(plan: StudyPlan, index: int, results: Sequence[Result]) -> tuple[Numbers, list[str]]:
    """Return what cooling alone and resistance alone change, and what of it is missing."""
    found: dict[str, float] = {}
    missing: list[str] = []
    if not plan.alone[index]:
        return found, missing
    bare = results[plan.bare[index][0]]
    for column, place in zip(PARTS, plan.alone[index], strict=True):
        words = results[place].failure
        if words:
            missing.append(f"{PARTS[column].removeprefix('delivered air by ')}: {words}")
        elif not bare.failure:
            changes = measure_changes(results[place].outcome, bare.outcome)
            if "change.delivered_mass_flow" in changes:
                found[column] = changes["change.delivered_mass_flow"]
    return found, missing


def _drawn(plan: StudyPlan, results: Sequence[Result], outputs: Outputs) -> StudyRow:
    """Return the drawn design under every member."""
    row = _read(plan, plan.case_jacketed, plan.case_bare, results, outputs)
    compared = plan.drawn.values() if plan.drawn_case is plan.case else ()
    gas = _gas(results, *plan.case_jacketed, *plan.case_bare, *compared)
    return replace(row, gas=gas)


def _shared_bare(
    plan: StudyPlan, results: Sequence[Result], outputs: Outputs
) -> tuple[Numbers, ...]:
    every = {places for places in plan.bare if places}
    if len(every) != 1:
        return ()
    return tuple(
        {} if results[i].failure else measure(plan.designs[i].machine, results[i].outcome, outputs)
        for i in every.pop()
    )
