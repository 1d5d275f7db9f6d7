"""Parts one size larger: which sizes come next, and how a case then reads.

What the case says can be made is kept to: steps, cutters, tubes on the shelf.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from jacketcalc.casefile.steps_between import ABSENT, Step, take_steps
from jacketcalc.designs import port_stages
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case, Given, Jacket, Stage
from jacketcalc.studies.made import list_choices, unmade_by
from jacketcalc.studies.variables import stated_step
from jacketcalc.unit_display import format_quantity, split_quantity
from jacketcalc.units import INCH

TUBES = {
    "SI": tuple(1e-3 * d for d in (3, 4, 6, 8, 10, 12, 14, 16, 20, 25, 32, 40, 50)),
    "inch-pound": tuple(
        INCH * d
        for d in (0.125, 0.1875, 0.25, 0.3125, 0.375, 0.5, 0.625, 0.75, 1.0, 1.25, 1.5, 2.0)
    ),
}
"""Outside diameters in which pneumatic tube is sold; common practice, no source [m]."""
VALVE_STEP = 1.6
"""One step of the preferred numbers R5 (ISO 3), about that of valve sizes [-]."""
LARGER = 1.25
"""Least ratio of a size of a jacket to the drawn one [-]."""
_EPSILON = 1e-9
"""Relative difference of sizes that are one size [-]."""
_WAYS = ("C", "Qn", "Kv", "Cv", "bore")
"""Entries that may state the flow of a valve."""


@dataclass(frozen=True, kw_only=True)
class Measure:
    """A change of a case in words and as steps."""

    name: str
    """Short name, such as `wider tubes`."""
    what: str
    """What is changed, with its sizes."""
    steps: tuple[Step, ...]

    @property
    def entries(self) -> tuple[tuple[str, str], ...]:
        """Keys with what is typed there, empty where the entry goes."""
        return tuple((s.path, "" if s.now == ABSENT else s.now) for s in self.steps)


def take_measure(case: Case, measure: Measure, before: Sequence[Step] = ()) -> Case | None:
    """Return a case with a change, on top of steps before it; None where that cannot be made.

    Parameters
    ----------
    case : the case as drawn
    measure : the change
    before : what was changed already
    """
    try:
        changed = take_steps(case, (*before, *measure.steps))
    except CaseError:
        return None
    paths = [step.path for step in measure.steps]
    drawn = {one.words for one in unmade_by(case, paths)}
    new = [one for one in unmade_by(changed, paths) if one.words not in drawn]
    return None if new else changed


def set_entry(case: Case, path: str, typed: Any) -> Step:
    """Return the step that types something at a key; None takes it away."""
    was = next((g.text for g in case.given if g.path == path and not g.assumed), ABSENT)
    place = tuple(path.split("."))
    now = ABSENT if typed is None else str(typed)
    return Step(path=path, was=was, now=now, edits=((place, typed),))


def list_single(case: Case) -> Iterator[Measure]:
    """Yield the changes of one size of the parts that an exhaust goes through."""
    makers = (wider_tubes, shorter_tubes, larger_gap, larger_pitch, more_starts, wider_outlets,
              no_silencer, larger_valve)  # fmt: skip
    for make in makers:
        measure = make(case)
        if measure is not None:
            yield measure


def wider_tubes(case: Case) -> Measure | None:
    """Return tubes of the next outside diameter, with their walls."""
    steps, told = [], []
    for port, exhaust in _ports(case):
        if exhaust.tube is None:
            continue
        wall = exhaust.tube.wall
        bores = case.make.tube_bores or [d - 2.0 * wall for d in TUBES[case.document.units]]
        wider = _next_above(bores, exhaust.tube.bore)
        if wider is None:
            continue
        text = format_quantity(wider, "length", case.document.units)
        steps.append(set_entry(case, f"exhaust.port_{port}.tube.bore", text))
        told.append((exhaust.tube.bore, wider))
    return _measure("wider tubes", "tube bore", case, steps, told)


def shorter_tubes(case: Case) -> Measure | None:
    """Return tubes of half their length."""
    steps, told = [], []
    for port, exhaust in _ports(case):
        if exhaust.tube is not None and exhaust.tube.length > 0.0:
            half = exhaust.tube.length / 2.0
            text = format_quantity(half, "length", case.document.units)
            steps.append(set_entry(case, f"exhaust.port_{port}.tube.length", text))
            told.append((exhaust.tube.length, half))
    return _measure("shorter tubes", "tube length", case, steps, told)


def larger_gap(case: Case) -> Measure | None:
    """Return jackets with a larger gap."""
    return _larger(case, "gap", "larger gap", "jacket gap")


def larger_pitch(case: Case) -> Measure | None:
    """Return jackets with a larger pitch."""
    return _larger(case, "pitch", "larger pitch", "jacket pitch")


def wider_outlets(case: Case) -> Measure | None:
    """Return jackets with larger outlet holes."""
    return _larger(case, "outlet_bore", "larger outlets", "jacket outlets")


def more_starts(case: Case) -> Measure | None:
    """Return jackets with one more start at the same pitch: wider and shorter passages."""
    steps, told = [], []
    for stage, jacket in _fed(case):
        more = jacket.starts + 1
        steps.append(set_entry(case, f"stage.{stage.name}.jacket.starts", more))
        told.append(f"{jacket.starts} to {more}")
    if not steps:
        return None
    what = f"jacket starts {_joined(told)}"
    return Measure(name="one more start", what=what, steps=tuple(steps))


def no_silencer(case: Case) -> Measure | None:
    """Return exhausts without their silencers."""
    steps = tuple(
        set_entry(case, f"exhaust.port_{port}.silencer", None)
        for port, exhaust in _ports(case)
        if exhaust.silencer is not None
    )
    return Measure(name="no silencer", what="no silencer", steps=steps) if steps else None


def larger_valve(case: Case) -> Measure | None:
    """Return a control valve one size larger, supply and exhaust path alike."""
    steps = []
    for path in ("valve.supply_path", "valve.exhaust_path"):
        typed = _typed(case, path)
        if typed is None:
            return None
        value = float(typed.value)
        key = typed.path.rpartition(".")[2]
        larger = value * (math.sqrt(VALVE_STEP) if key == "bore" else VALVE_STEP)
        unit = typed.unit
        text: Any = f"{larger:.6g} {unit}" if unit else larger
        steps.append(set_entry(case, typed.path, text))
    before = case.machine.valve.exhaust_path.sonic
    sizes = _sizes(case, [(before, before * VALVE_STEP)], "conductance")
    return Measure(name="larger valve", what=f"valve C {sizes}", steps=tuple(steps))


def _typed(case: Case, path: str) -> Given | None:
    """Return the entry by which a flow path was stated."""
    given = {g.path: g for g in case.given}
    found = (given.get(f"{path}.{key}") for key in _WAYS)
    return next((g for g in found if g is not None and not (g.derived or g.assumed)), None)


def _ports(case: Case) -> Iterator[tuple[int, Any]]:
    yield 1, case.machine.exhaust_1
    yield 2, case.machine.exhaust_2


def _fed(case: Case) -> Iterator[tuple[Stage, Jacket]]:
    """Yield the stages whose jackets an exhaust feeds."""
    fed = port_stages(case.machine)
    for i, stage in enumerate(case.machine.stages):
        if i in fed and stage.jacket is not None:
            yield stage, stage.jacket


def _larger(case: Case, key: str, name: str, words: str) -> Measure | None:
    """Return jackets one of whose sizes is larger, in steps that can be made."""
    steps, told = [], []
    made = stated_step(case)
    for stage, jacket in _fed(case):
        drawn, path = float(getattr(jacket, key)), f"stage.{stage.name}.jacket.{key}"
        choices = list_choices(case, path)
        larger: float | None = math.ceil(drawn * LARGER / made - 1e-6) * made
        if choices is not None:
            larger = _next_above(choices, drawn)
        if larger is None:
            continue
        text = format_quantity(larger, "length", case.document.units)
        steps.append(set_entry(case, path, text))
        told.append((drawn, larger))
    return _measure(name, words, case, steps, told)


def _next_above(sizes: Sequence[float], size: float) -> float | None:
    """Return the next larger of some sizes [m], None where there is none."""
    return min((s for s in sizes if s > size * (1.0 + _EPSILON)), default=None)


def _measure(
    name: str, words: str, case: Case, steps: list[Step], sizes: list[tuple[float, float]]
) -> Measure | None:
    if not steps:
        return None
    what = f"{words} {_sizes(case, sizes, 'length')}"
    return Measure(name=name, what=what, steps=tuple(steps))


def _sizes(case: Case, sizes: list[tuple[float, float]], dimension: str) -> str:
    """Say from what to what sizes go, each pair once, with the unit at the end."""
    system = case.document.units
    told = [" to ".join(split_quantity(v, dimension, system, 4)[0] for v in pair) for pair in sizes]
    unit = split_quantity(sizes[-1][1], dimension, system, 4)[1]
    return f"{_joined(told)} {unit}"


def _joined(told: list[str]) -> str:
    return " and ".join(dict.fromkeys(told))
