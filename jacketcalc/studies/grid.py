"""The designs of a study: every point under every member of the model range, each once."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from jacketcalc.assessment.model_range import NOMINAL, Member, list_members
from jacketcalc.assessment.variants import (
    bare_machine,
    list_compared,
    require_jacket,
)
from jacketcalc.designs import Design, Resistance
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case, Machine, Reference
from jacketcalc.makeable import say_unmade
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.limits import Limits
from jacketcalc.studies.made import unmade_by
from jacketcalc.studies.variation import Variation, describe_gap

MOST_POINTS = 20_000
"""Points from which a study is refused [-]."""


@dataclass(frozen=True, kw_only=True)
class Point:
    """One combination of values."""

    values: tuple[float, ...]
    """Values of the axes, in SI."""
    texts: tuple[str, ...]
    """The same as typed."""
    gap: str = ""
    """Why there is no such machine; empty when there is."""
    machine: Machine | None = None
    """The machine, None where there is a gap."""


@dataclass(frozen=True, kw_only=True)
class StudyPlan:
    """Everything a study solves."""

    case: Case
    axes: tuple[Axis, ...]
    members: tuple[str, ...]
    """Names of the members of the model range, the nominal one first."""
    points: tuple[Point, ...]
    """All points; the last axis runs fastest."""
    designs: tuple[Design, ...]
    """Designs to solve, each once."""
    jacketed: tuple[tuple[int, ...], ...]
    """For each point, the place in `designs` of each member; empty for a gap."""
    bare: tuple[tuple[int, ...], ...]
    """The same for the machine without jackets of the point."""
    alone: tuple[tuple[int, ...], ...]
    """For each point, the places of its cooling and of its resistance alone under the stated
    models; empty for a gap, and where they are not asked for."""
    case_jacketed: tuple[int, ...]
    """The place of each member of the drawn design."""
    case_bare: tuple[int, ...]
    """The same for its machine without jackets."""
    drawn_case: Case
    """The case of the drawn design, which changes are set against."""
    limits: Limits
    """What is asked beside the limits of the case and its materials."""
    drawn: Mapping[str, int] = field(default_factory=dict)
    """Places of the case as drawn in every comparison, by the names of `list_compared`."""


def make_plan(
    case: Case,
    axes: Sequence[Axis],
    *,
    band: bool = True,
    split: bool | None = None,
    limits: Limits | None = None,
    drawn: bool = True,
    against: Case | None = None,
) -> StudyPlan:
    """List the designs of a study.

    Parameters
    ----------
    case : the case
    axes : what is varied
    band : solve the whole model range
    split : solve the jackets' cooling alone and their resistance alone too; as `band` when None
    limits : what is asked beside the limits of the case and its materials
    drawn : solve the case as drawn in every comparison that a verdict speaks of
    against : the case whose drawn design changes are set against; this one when None

    Raises
    ------
    CaseError
        When the case feeds no jacket.
    """
    require_jacket(case)
    points = make_points(case, axes)
    models = members_of(case.machine, axes, band)
    place: dict[Design, int] = {}

    def note(design: Design) -> int:
        return place.setdefault(design, len(place))

    reference = case.judgement.no_jackets
    jacketed: list[tuple[int, ...]] = []
    bare: list[tuple[int, ...]] = []
    alone: list[tuple[int, ...]] = []
    for point in points:
        every = [m.apply(point.machine) for m in models] if point.machine else []
        jacketed.append(tuple(note(Design(machine=m)) for m in every))
        bare.append(tuple(note(_bare(m, every[0], reference)) for m in every))
        wanted = every[:1] if (band if split is None else split) else []
        alone.append(tuple(note(part) for m in wanted for part in _parts(m, reference)))
    drawn_case = case if against is None else against
    stands = [m.apply(drawn_case.machine) for m in models]
    case_jacketed = tuple(note(Design(machine=m)) for m in stands)
    case_bare = tuple(note(_bare(m, stands[0], reference)) for m in stands)
    compared = list_compared(case.machine, reference, band=band) if drawn else {}
    heads = {name: note(design) for name, design in compared.items()}
    return StudyPlan(
        case=case,
        axes=tuple(axes),
        members=tuple(m.label for m in models),
        points=points,
        jacketed=tuple(jacketed),
        bare=tuple(bare),
        alone=tuple(alone),
        case_jacketed=case_jacketed,
        case_bare=case_bare,
        drawn_case=drawn_case,
        designs=tuple(place),
        limits=limits or Limits(),
        drawn=heads,
    )


def make_points(case: Case, axes: Sequence[Axis]) -> tuple[Point, ...]:
    """Return every combination of values; one that cannot be is a gap with its reason."""
    _check_axes(axes)
    variation = Variation(case, [a.path for a in axes], [a.texts[0] for a in axes])
    points = []
    for places in itertools.product(*(range(len(a.values)) for a in axes)):
        texts = tuple(a.texts[i] for a, i in zip(axes, places, strict=True))
        values = tuple(a.values[i] for a, i in zip(axes, places, strict=True))
        try:
            made = variation.make(texts)
        except CaseError as error:
            points.append(Point(values=values, texts=texts, gap=describe_gap(error)))
            continue
        unmade = say_unmade(unmade_by(made, [axis.path for axis in axes]))
        machine = None if unmade else made.machine
        gap = f"cannot be made: {unmade}" if unmade else ""
        points.append(Point(values=values, texts=texts, gap=gap, machine=machine))
    return tuple(points)


def members_of(machine: Machine, axes: Sequence[Axis], band: bool) -> tuple[Member, ...]:
    """Return the members of the model range; a varied entry stays varied in all of them."""
    varied = {axis.path for axis in axes}

    def left(of: str, changes: Mapping[str, Any]) -> dict[str, Any]:
        return {key: value for key, value in changes.items() if f"{of}.{key}" not in varied}

    found = [
        replace(m, models=left("models", m.models), ambient=left("ambient", m.ambient))
        for m in list_members(machine, ranged=band)
    ]
    return tuple(m for m in found if m.label == NOMINAL or m.models or m.ambient)


def _bare(machine: Machine, stated: Machine, reference: Reference) -> Design:
    """Return the reference under the same member; the jackets' heat transfer does not matter."""
    models = replace(machine.models, jacket=stated.models.jacket)
    return Design(machine=bare_machine(replace(machine, models=models), reference))


def _parts(machine: Machine, reference: Reference) -> tuple[Design, Design]:
    """Return the machine without what its jackets resist, and without what they cool."""
    free: Resistance = "none" if reference == "exhaust direct" else "tube"
    return Design(machine=machine, resistance=free), Design(machine=machine, heat=False)


def _check_axes(axes: Sequence[Axis]) -> None:
    count, paths = 1, [axis.path for axis in axes]
    for axis in axes:
        count *= len(axis.values)
    if not axes or len(set(paths)) < len(paths):
        message = "an entry is varied twice" if axes else "nothing is varied"
        raise CaseError([Problem(name="study-range", message=message, file="study")])
    if count > MOST_POINTS:
        message = f"the study has {count} points, more than {MOST_POINTS}"
        raise CaseError([Problem(name="study-range", message=message, file="study")])
