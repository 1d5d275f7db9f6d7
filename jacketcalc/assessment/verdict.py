"""The verdict: a rule fixed beforehand, and a sentence made from what decided it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from jacketcalc.assessment.notes import IDLE, say_limit
from jacketcalc.assessment.result import (
    Answer,
    Assessment,
    Band,
    Change,
    Interval,
    LimitCheck,
    Split,
    Verdict,
)
from jacketcalc.coupling.outcome import Outcome
from jacketcalc.inputs import Case, Currency
from jacketcalc.unit_display import System, find_display, say_quantity

MASSES: dict[System, str] = {"SI": "kilogram", "inch-pound": "pound"}
"""A unit of mass in words."""
UNCHANGED = 0.005
"""Relative change of cycle rate that the sentence calls none [-]."""
RULES: dict[Currency, str] = {
    "delivered flow": (
        "The jackets pay when delivered flow rises over the whole band of the model and no "
        "limit that the bare machine keeps is broken; they cost when it falls over the whole "
        "band or such a limit is broken; otherwise the model cannot tell."
    ),
    "drive air": (
        "The jackets pay when drive air per delivered mass falls over the whole band of "
        "the model and no limit that the bare machine keeps is broken; they cost when it rises "
        "over the whole band or such a limit is broken; otherwise the model cannot tell."
    ),
    "temperature": (
        "The jackets pay when the hottest stage's mean discharge temperature falls over the "
        "whole band of the model; they cost when it rises over the whole band; otherwise the "
        "model cannot tell."
    ),
}


@dataclass(frozen=True, kw_only=True)
class _Facts:
    """What the sentences are made from."""

    bare: Outcome
    jacketed: Outcome
    change: Change
    split: Split
    band: Band
    system: System


def judge(
    case: Case,
    bare: Outcome,
    jacketed: Outcome,
    change: Change,
    split: Split,
    band: Band,
    limits: tuple[LimitCheck, ...],
) -> Verdict:
    """Apply the rule of the case's currency; the sentence speaks the case's units."""
    by, system = case.judgement.by, case.document.units
    rule = RULES[by]
    nothing = _stalled(case, bare, jacketed) or _idle(bare, jacketed)
    if nothing is not None:
        return Verdict(answer=nothing[0], sentence=nothing[1], judged_by=by, rule=rule)
    gain = {
        "delivered flow": band.delivered_mass_flow,
        "drive air": _mirrored(band.drive_air_per_kg),
        "temperature": _mirrored(band.discharge_temperature),
    }[by]
    answer: Answer = "pays" if gain.low > 0 else "costs" if gain.high < 0 else "cannot tell"
    broken = [c for c in limits if c.kept_bare and not c.kept]
    words = ""
    if by != "temperature" and broken and answer != "costs":
        answer = "costs"
        words = _breach(broken[0], system)
    facts = _Facts(
        bare=bare, jacketed=jacketed, change=change, split=split, band=band, system=system
    )
    sentence = {
        "delivered flow": _flow_sentence,
        "drive air": _air_sentence,
        "temperature": _temperature_sentence,
    }[by](answer, facts)
    return Verdict(answer=answer, sentence=words + sentence, judged_by=by, rule=rule)


def _breach(check: LimitCheck, system: System) -> str:
    """Say which limit decides."""
    found, limit, _, side = say_limit(check, system)
    return (
        f"The jackets break a limit that the bare machine keeps: {check.what}, is at {found}, "
        f"{side} {limit}. "
    )


def _stalled(case: Case, bare: Outcome, jacketed: Outcome) -> tuple[Answer, str] | None:
    """Say what a stall means; None when both run."""
    if not (bare.stalled or jacketed.stalled):
        return None
    limit, asked = (
        say_quantity(p, "pressure", case.document.units)
        for p in (jacketed.stall_pressure, case.machine.tank_pressure)
    )
    at = f"by forces alone its final stage reaches {limit} in the receiver, where {asked} is asked"
    if bare.stalled and jacketed.stalled:
        stage = jacketed.stalls_in
        return "cannot tell", f"The machine stalls in stage {stage}, bare and jacketed: {at}."
    if jacketed.stalled:
        where = f"the machine stalls in stage {jacketed.stalls_in}"
        return "costs", f"{_with_jackets(jacketed)} {where}; {at}."
    words = f"The bare machine stalls in stage {bare.stalls_in} where the jacketed one still runs"
    return "pays", f"{words}; {at}."


def _idle(bare: Outcome, jacketed: Outcome) -> tuple[Answer, str] | None:
    """Say what it means that a running machine delivers nothing; None when both deliver."""
    if bare.delivers and jacketed.delivers:
        return None
    if jacketed.delivers:
        return "pays", f"The bare machine delivers nothing where the jacketed one does: {IDLE}."
    if bare.delivers:
        return "costs", f"{_with_jackets(jacketed)} the machine delivers nothing: {IDLE}."
    return "cannot tell", f"The machine delivers nothing, bare and jacketed: {IDLE}."


def _mirrored(interval: Interval) -> Interval:
    return Interval(low=-interval.high, value=-interval.value, high=-interval.low)


def _with_jackets(jacketed: Outcome) -> str:
    count = sum(stage.jacket is not None for stage in jacketed.stages)
    return "With the jacket" if count == 1 else "With the jackets"


def _percent(value: float) -> str:
    return f"{abs(100 * value):.1f} %"


def _more(value: float) -> str:
    """Return a relative change in words, such as `6.9 % more`."""
    if _percent(value) == _percent(0.0):
        return "the same"
    return f"{_percent(value)} {'more' if value > 0 else 'less'}"


def _signed(value: float) -> str:
    return "0.0 %" if _percent(value) == _percent(0.0) else f"{100 * value:+.1f} %"


def _doubt(answer: Answer, low: str, high: str) -> str:
    """Say why the model cannot tell, where it cannot."""
    if answer != "cannot tell":
        return ""
    return f", though the model's own band runs from {low} to {high}"


def _flow_sentence(answer: Answer, facts: _Facts) -> str:
    flow, band = _more(facts.change.delivered_mass_flow), facts.band.delivered_mass_flow
    head = f"{_with_jackets(facts.jacketed)} the machine delivers {flow}"
    return f"{head}{_doubt(answer, _signed(band.low), _signed(band.high))}: {_why(facts)}."


def _why(facts: _Facts) -> str:
    bare, jacketed, change = facts.bare, facts.jacketed, facts.change
    mass = change.mass_per_cycle
    carries = f"each cycle carries {_more(mass)}"
    decimals = max(0, 3 - math.floor(math.log10(max(bare.cycle_rate, jacketed.cycle_rate))))
    rates = f"from {bare.cycle_rate:.{decimals}f} to {jacketed.cycle_rate:.{decimals}f} cycles a "
    rates += "second"
    if bare.wait > 0 and jacketed.wait > 0:
        return f"{carries}, at the imposed {jacketed.cycle_rate:.3g} cycles a second"
    if abs(change.cycle_rate) < UNCHANGED:
        return f"{carries}, at an unchanged {jacketed.cycle_rate:.3g} cycles a second"
    if change.cycle_rate > 0:
        lighter = "with less work to do " if jacketed.drive_work < bare.drive_work else ""
        return f"{carries}, and {lighter}it quickens {rates}"
    joint = "but" if mass >= 0 else "and"
    resisted = facts.split.resistance_alone.cycle_rate <= facts.split.cooling_alone.cycle_rate
    cause = "the exhaust passage" if resisted else "the heavier charge"
    return f"{carries}, {joint} {cause} slows it {rates}"


def _air_sentence(answer: Answer, facts: _Facts) -> str:
    bare, jacketed = facts.bare.drive_air_per_kg, facts.jacketed.drive_air_per_kg
    mass = find_display("mass", facts.system).symbol
    head = f"{_with_jackets(facts.jacketed)} a delivered {MASSES[facts.system]} takes "
    head += _air(facts.change)
    amounts = f"{jacketed:.1f} {mass} against {bare:.1f} {mass}"
    band = facts.band.drive_air_per_kg
    doubt = _doubt(answer, _signed(band.low), _signed(band.high))
    flow = _signed(facts.change.delivered_mass_flow)
    return f"{head}, {amounts}{doubt}; delivered flow changes by {flow}."


def _air(change: Change) -> str:
    words = _more(change.drive_air_per_kg)
    return f"{words} drive air" if words != "the same" else "the same drive air"


def _temperature_sentence(answer: Answer, facts: _Facts) -> str:
    head = f"{_with_jackets(facts.jacketed)} the hottest discharge is {_cooler(facts)}"
    low, high = (
        say_quantity(end, "temperature difference", facts.system, 1, sign=True)
        for end in (facts.band.discharge_temperature.low, facts.band.discharge_temperature.high)
    )
    flow = _signed(facts.change.delivered_mass_flow)
    return f"{head}{_doubt(answer, low, high)}; delivered flow changes by {flow}."


def _cooler(facts: _Facts) -> str:
    """Say how much cooler the hottest discharge is, and what it is."""
    value = facts.band.discharge_temperature.value
    apart = say_quantity(abs(value), "temperature difference", facts.system)
    hot = max(facts.jacketed.stages, key=lambda s: s.discharge_temperature)
    at = say_quantity(hot.discharge_temperature, "temperature", facts.system)
    return f"{apart} {'cooler' if value <= 0 else 'hotter'}, {at} in stage {hot.name}"


def summarise(found: Assessment) -> str:
    """Return what the verdict's sentence leaves out: other currencies, limits, other bare machine.

    Empty where a machine delivers nothing.
    """
    if not found.delivers:
        return ""
    facts = _Facts(
        bare=found.bare,
        jacketed=found.jacketed,
        change=found.change,
        split=found.split,
        band=found.band,
        system=found.case.document.units,
    )
    air = f"a delivered {MASSES[facts.system]} takes {_air(found.change)}"
    heat = f"the hottest discharge is {_cooler(facts)}"
    told = {"delivered flow": [air, heat], "drive air": [heat], "temperature": [air]}
    first = ", and ".join(told[found.verdict.judged_by])
    return " ".join([f"{first[0].upper()}{first[1:]}.", _limits(found.limits), *_other(found)])


def _limits(limits: tuple[LimitCheck, ...]) -> str:
    """Say how many limits are broken, and whether the jackets are to blame."""
    broken = [c for c in limits if not c.kept]
    if not broken:
        return "Every limit is kept."
    mine = sum(c.kept_bare for c in broken)
    blame = f"{mine} of them only with the jackets" if mine else "by the bare machine too"
    are = "is" if len(broken) == 1 else "are"
    return f"{len(broken)} of {len(limits)} limits {are} broken, {blame}."


def _other(found: Assessment) -> list[str]:
    """Compare with the bare machine that the verdict does not judge against."""
    if found.other is None or not found.other.bare.delivers:
        return []
    exhausts = (found.case.machine.exhaust_1, found.case.machine.exhaust_2)
    parts = ["tube"] if any(e.tube is not None for e in exhausts) else []
    parts += ["silencer"] if any(e.silencer is not None for e in exhausts) else []
    kept = "straight from the valve"
    if found.other.reference == "through tube":
        kept = f"through its {' and '.join(parts)}"
    flow = _signed(found.other.change.delivered_mass_flow)
    return [f"Against a bare machine that vents {kept}, delivered flow changes by {flow}."]
