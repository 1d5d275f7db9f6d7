"""Ways to change a machine that rival the jackets: what each needs, assumes, and goes with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.steps_between import Step, take_steps
from jacketcalc.core.outcome import Outcome
from jacketcalc.designs import without_jackets
from jacketcalc.inputs import Case, Machine
from jacketcalc.studies.one_size import (
    VALVE_STEP,
    Measure,
    larger_valve,
    no_silencer,
    wider_tubes,
)
from jacketcalc.studies.rival_physics import (
    first_line,
    with_cooler,
    with_exhaust_cooler,
    with_fan,
    with_water,
)
from jacketcalc.studies.rival_table import RivalTerms, Way
from jacketcalc.unit_display import format_quantity, say_quantity

LEAST_COOLER = 20.0
"""Least conductance of a cooler between the stages that is worth a row [W/K]."""
APART: tuple[frozenset[Way], ...] = (
    frozenset({"jackets", "fan"}),
    frozenset({"jackets", "water"}),
    frozenset({"jackets", "exhaust cooler"}),
    frozenset({"fan", "water"}),
)
"""Ways that take one another's place."""
ITERATED: frozenset[Way] = frozenset({"exhaust cooler", "water"})
"""Ways whose temperatures follow from what the machine does with them."""
_MEASURES: dict[Way, Callable[[Case], Measure | None]] = {
    "wider tubes": wider_tubes,
    "larger valve": larger_valve,
    "no silencer": no_silencer,
}
"""Ways that are entries of the case, in the order in which they are made."""
_TUBED: frozenset[Way] = frozenset({"wider tubes", "no silencer"})
"""Ways that need an exhaust through its tubes."""


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A machine that is to be solved: ways and entries on a case."""

    case: Case
    ways: frozenset[Way]
    entries: tuple[Step, ...] = ()

    def build(self, terms: RivalTerms, solved: Outcome | None) -> Machine:
        """Return the machine; `solved` is what it did in the round before, None at first.

        Raises
        ------
        CaseError
            When its case cannot be.
        """
        case = self.changed
        machine = self._bare(case)
        if "cooler" in self.ways:
            machine = with_cooler(machine, cooler_of(case, terms))
        if "fan" in self.ways:
            machine = with_fan(machine, terms)
        if "water" in self.ways:
            machine = with_water(machine, terms, solved)
        if "exhaust cooler" in self.ways:
            machine = with_exhaust_cooler(machine, terms, solved)
        return machine

    @property
    def changed(self) -> Case:
        """The case with its entries and those of its ways, which count from them.

        Raises
        ------
        CaseError
            When there can be no such case.
        """
        case, steps = self.case, list(self.entries)
        case = take_steps(case, steps) if steps else case
        for way, make in _MEASURES.items():
            measure = make(case) if way in self.ways else None
            steps += measure.steps if measure is not None else ()
        return take_steps(self.case, steps) if steps else case

    def _bare(self, case: Case) -> Machine:
        """Return the machine with or without jackets; led to a cooler the exhaust has its tubes."""
        if "jackets" in self.ways:
            return case.machine
        if "exhaust cooler" in self.ways:
            return without_jackets(case.machine)
        return bare_machine(case.machine, case.judgement.no_jackets)

    @property
    def iterated(self) -> bool:
        """Whether it takes several rounds."""
        return bool(self.ways & ITERATED)


def cooler_of(case: Case, terms: RivalTerms) -> float:
    """Return the conductance of the cooler between the stages [W/K]."""
    if terms.cooler is not None:
        return terms.cooler
    place = first_line(case.machine)
    line = None if place is None else case.machine.stages[place].line
    return max(LEAST_COOLER, 2.0 * line.heat_loss) if line is not None else LEAST_COOLER


def list_ways(case: Case, terms: RivalTerms) -> tuple[list[frozenset[Way]], list[str]]:
    """Return the single ways that a machine has a place for, and why others have none."""
    machine, ways, left_out = case.machine, list[frozenset[Way]](), list[str]()
    jacketed = any(s.jacket is not None and s.name in _fed(machine) for s in machine.stages)
    through_tube = case.judgement.no_jackets == "exhaust through tube"
    base: frozenset[Way] = frozenset() if through_tube or not jacketed else frozenset({"jackets"})
    if jacketed:
        ways.append(frozenset({"jackets"}))
    else:
        left_out.append("jackets as drawn: no exhaust feeds one")
    for way, make in _MEASURES.items():
        measure = make(case)
        if measure is None or (way in _TUBED and not base and not through_tube):
            left_out.append(f"{way}: {_LACKING[way]}")
        else:
            ways.append(base | {way} if way in _TUBED else frozenset({way}))
    place = first_line(machine)
    if place is None:
        for way in ("cooler", "exhaust cooler"):
            left_out.append(f"{way}: there is no line between stages")
    else:
        line = machine.stages[place].line
        assert line is not None
        if cooler_of(case, terms) > line.heat_loss:
            ways.append(frozenset({"cooler"}))
        else:
            left_out.append(
                f"cooler: the line loses {line.heat_loss:g} W/K already; name more (--cooler)"
            )
        ways.append(frozenset({"exhaust cooler"}))
    return [*ways, frozenset({"fan"}), frozenset({"water"})], left_out


_LACKING: dict[Way, str] = {
    "wider tubes": "the exhaust has no tube, or none wider is sold",
    "larger valve": "the flow of the valve is not typed",
    "no silencer": "there is none",
}


def _fed(machine: Machine) -> tuple[str, str]:
    return machine.exhaust_1.to, machine.exhaust_2.to


def fits(ways: frozenset[Way]) -> bool:
    """Whether ways can be taken together."""
    return not any(pair <= ways for pair in APART)


_ORDER: tuple[Way, ...] = (
    "jackets", "wider tubes", "larger valve", "no silencer", "cooler", "exhaust cooler", "fan",
    "water",
)  # fmt: skip


def ordered(ways: frozenset[Way]) -> tuple[Way, ...]:
    """Return ways in the order in which tables name them."""
    return tuple(way for way in _ORDER if way in ways)


def name_ways(ways: frozenset[Way]) -> str:
    """Return the name of a row."""
    if ways == {"jackets"}:
        return "jackets as drawn"
    names: dict[Way, str] = {
        "cooler": "cooler between stages",
        "fan": "fan on bare barrels",
        "exhaust cooler": "exhaust to the line's cooler",
        "water": "water jacket",
    }
    return " + ".join(names.get(way, way) for way in ordered(ways))


def say_assumed(case: Case, ways: frozenset[Way], terms: RivalTerms) -> str:
    """Return in a phrase what was assumed for a row."""
    told = [_assumed(case, way, terms) for way in ordered(ways)]
    return "; ".join(text for text in told if text)


def _assumed(case: Case, way: Way, terms: RivalTerms) -> str:
    system = case.document.units
    if way in _MEASURES:
        measure = _MEASURES[way](case)
        if measure is None:
            return ""
        if way == "larger valve":
            return f"C of both paths times {VALVE_STEP:g} (R5)"
        return measure.what
    conductance = format_quantity(terms.exchanger, "heat conductance", system, 4)
    cooler = format_quantity(cooler_of(case, terms), "heat conductance", system, 4)
    speed = format_quantity(terms.fan_speed, "velocity", system, 3)
    flow = format_quantity(terms.water_flow, "volume flow", system, 3)
    gap = format_quantity(terms.water_gap, "length", system, 3)
    cold = say_quantity(terms.water_temperature, "temperature", system)
    return {
        "cooler": f"the line loses {cooler}",
        "fan": f"air across barrels and heads at {speed}",
        "exhaust cooler": f"all exhaust through {conductance}, counterflow, its tubes kept",
        "water": f"water {flow} at {cold}, {gap} round each barrel; exhaust direct"
        if case.judgement.no_jackets == "exhaust direct"
        else f"water {flow} at {cold}, {gap} round each barrel",
    }.get(way, "")
