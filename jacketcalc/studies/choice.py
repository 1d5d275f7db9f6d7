"""Which points of a study are best, and which of them the model cannot tell apart.

Points are compared in pairs under the same model member: ranges of two points may overlap
widely where one is better than the other under every member.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from jacketcalc.studies.axes import Axis
from jacketcalc.studies.study_table import StudyTable

ChoiceState = Literal["best", "still rising", "no difference", "none"]
AimValues = Sequence[Sequence[float | None]]
"""Values of an aim: for each member of the model range, for each point."""


@dataclass(frozen=True, kw_only=True)
class Aim:
    """What a designer may want most."""

    name: str
    """In words, such as `coldest charge, first`."""
    column: str
    """Column of the study that measures it."""
    lowest: bool
    """Whether less is better."""
    same: float
    """Difference from the best that counts as none, in SI or as a share of the best [-]."""
    relative: bool = False
    """Whether `same` is a share."""


@dataclass(frozen=True, kw_only=True)
class Choice:
    """The best points for an aim."""

    aim: Aim
    verdict: ChoiceState
    """`still rising`: the best stands at the end of the range compared."""
    best: int | None
    """Place of the best under the models of the case; None where no point delivers."""
    plateau: tuple[int, ...] = ()
    """Places that cannot be told from the best, the best among them."""
    rising: tuple[int, ...] = ()
    """Axes at whose end the best stands."""
    bounded: tuple[int, ...] = ()
    """Axes on which the best stands beside a point that cannot be."""


def list_aims(stages: Sequence[str]) -> tuple[Aim, ...]:
    """Return the aims of a machine with these stages."""
    charge = [
        Aim(
            name=f"coldest charge, {s}",
            column=f"compression_start_temperature.{s}",
            lowest=True,
            same=0.25,
        )
        for s in stages
    ]
    return (
        *charge,
        Aim(name="coolest discharge", column="hottest_discharge", lowest=True, same=0.25),
        Aim(
            name="most mass per hour", column="delivered_mass_flow", lowest=False,
            same=0.0025, relative=True,
        ),
        Aim(
            name="least drive air per kg", column="specific_air_consumption", lowest=True,
            same=0.0025, relative=True,
        ),
    )  # fmt: skip


def choose_all(table: StudyTable) -> tuple[Choice, ...]:
    """Choose for every aim of a study."""
    stages = [stage.name for stage in table.case.machine.stages]
    gaps = [row.state == "impossible" for row in table.rows]
    ends = [can_rise(axis) for axis in table.axes]
    choices = []
    for aim in list_aims(stages):
        values = [table.series(aim.column, member) for member in range(len(table.members))]
        # A machine that stalls or delivers nothing is never chosen.
        running = [
            [v if row.state == "solved" else None for v, row in zip(own, table.rows, strict=True)]
            for own in values
        ]
        choices.append(choose(aim, running, table.shape, gaps, ends))
    return tuple(choices)


def can_rise(axis: Axis) -> tuple[bool, bool]:
    """Return whether something better may lie before the first value, and behind the last.

    Words have no order, and there is nothing below a count of 1.
    """
    return tuple(not axis.words and not (axis.whole and axis.values[i] <= 1.0) for i in (0, -1))  # type: ignore[return-value]


def choose(
    aim: Aim,
    values: AimValues,
    shape: Sequence[int],
    gaps: Sequence[bool] = (),
    open_ends: Sequence[tuple[bool, bool]] = (),
) -> Choice:
    """Choose the best point and what cannot be told from it.

    Parameters
    ----------
    aim : what is wanted
    values : values by member and point, the stated member first
    shape : number of values of each axis; the last runs fastest
    gaps : which points cannot be
    open_ends : for each axis, whether something may lie before its first value and behind its
        last; every end is open when empty
    """
    stated = values[0]
    sign = -1.0 if aim.lowest else 1.0
    places = [i for i, value in enumerate(stated) if value is not None]
    if not places:
        return Choice(aim=aim, verdict="none", best=None)
    best = max(places, key=lambda i: sign * _number(stated[i]))
    plateau = tuple(i for i in places if i == best or _is_level(aim, values, best, i, sign))
    rising, bounded = _ends(
        best, shape, gaps or [False] * len(stated), open_ends or [(True, True)] * len(shape)
    )
    verdict: ChoiceState = "best"
    if len(plateau) == len(places):
        verdict = "no difference"
    elif rising:
        verdict = "still rising"
    return Choice(aim=aim, verdict=verdict, best=best, plateau=plateau, rising=rising,
                  bounded=bounded)  # fmt: skip


def losses(values: AimValues, best: int, other: int, sign: float) -> list[float]:
    """Return by how much a point falls short of the best under each member that has both."""
    pairs = ((own[best], own[other]) for own in values)
    return [sign * (b - o) for b, o in pairs if b is not None and o is not None]


def _is_level(aim: Aim, values: AimValues, best: int, other: int, sign: float) -> bool:
    found = losses(values, best, other, sign)
    same = aim.same * (abs(_number(values[0][best])) if aim.relative else 1.0)
    return found[0] <= same or min(found) <= 0.0


def _number(value: float | None) -> float:
    assert value is not None
    return value


def _ends(
    best: int, shape: Sequence[int], gaps: Sequence[bool], open_ends: Sequence[tuple[bool, bool]]
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return the axes at whose end a place stands, and those on which it is beside a gap."""
    ends, beside, step = [], [], 1
    for axis in reversed(range(len(shape))):
        place = best // step % shape[axis]
        first, last = open_ends[axis]
        at_end = (first and place == 0) or (last and place == shape[axis] - 1)
        if shape[axis] > 1 and at_end:
            ends.append(axis)
        near = [best + move * step for move in (-1, 1) if 0 <= place + move < shape[axis]]
        # Words have no neighbours.
        if any(open_ends[axis]) and any(gaps[i] for i in near):
            beside.append(axis)
        step *= shape[axis]
    return tuple(sorted(ends)), tuple(sorted(beside))


def span(choice: Choice, shape: Sequence[int], axis: int) -> tuple[int, int]:
    """Return the first and last place on an axis that can be reached from the best on its plateau.

    Along the axis, at the best's place on the others, without a break.
    """
    assert choice.best is not None
    step = 1
    for later in shape[axis + 1 :]:
        step *= later
    here = choice.best // step % shape[axis]
    low = high = here
    while low > 0 and choice.best + (low - 1 - here) * step in choice.plateau:
        low -= 1
    while high < shape[axis] - 1 and choice.best + (high + 1 - here) * step in choice.plateau:
        high += 1
    return low, high
