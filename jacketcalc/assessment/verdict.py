"""The verdict: one rule, and a sentence made from what decided it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from jacketcalc.assessment.notes import IDLE
from jacketcalc.assessment.result import (
    Answer,
    Assessment,
    Change,
    LimitCheck,
    Split,
    Standing,
    Verdict,
)
from jacketcalc.assessment.standing import name_bare
from jacketcalc.assessment.standing_words import (
    judged_interval,
    make_headline,
    say_both,
    say_change,
    say_count,
    say_free,
    say_limits,
)
from jacketcalc.assessment.stop_words import say_reach, say_stop
from jacketcalc.core.outcome import Outcome
from jacketcalc.inputs import Case, Currency
from jacketcalc.number_text import percent
from jacketcalc.unit_display import System, find_display, say_quantity

MASSES: dict[System, str] = {"SI": "kilogram", "inch-pound": "pound"}
"""A unit of mass in words."""
UNCHANGED = 0.005
"""Relative change of cycle rate that the sentence calls none [-]."""
_LIMITS = (
    "Limits do not decide the answer. Those that the jackets mend and those that they newly break "
    "are named on a line of their own."
)
RULES: dict[Currency, str] = {
    "delivery": (
        "The jackets pay when the delivery rises over the whole model range, and do not pay when "
        f"it falls over the whole range; otherwise the model cannot tell. {_LIMITS}"
    ),
    "specific air consumption": (
        "The jackets pay when the specific air consumption falls over the whole model range, and "
        "do not pay when it rises over the whole range; otherwise the model cannot tell. "
        f"{_LIMITS}"
    ),
    "discharge temperature": (
        "The jackets pay when the hottest stage's mean discharge temperature falls over the "
        "whole model range, and do not pay when it rises over the whole range; otherwise the "
        f"model cannot tell. {_LIMITS}"
    ),
}


@dataclass(frozen=True, kw_only=True)
class _Facts:
    """What the sentences are made from."""

    bare: Outcome
    jacketed: Outcome
    change: Change
    split: Split
    standings: tuple[Standing, ...]
    system: System
    names: tuple[str, ...]
    """The machine without jackets of each comparison, in words."""

    @property
    def stated(self) -> Standing:
        """The comparison that the case asks for."""
        return self.standings[0]


def judge(
    case: Case,
    bare: Outcome,
    jacketed: Outcome,
    change: Change,
    split: Split,
    limits: tuple[LimitCheck, ...],
    standings: tuple[Standing, ...],
    missing: tuple[str, ...] = (),
) -> Verdict:
    """Apply the rule of the case's currency; the sentence speaks the case's units.

    Parameters
    ----------
    case : the case
    bare, jacketed, change, split, limits : the comparison that the case asks for
    standings, missing : from `read_standings`
    """
    by, system = case.judgement.by, case.document.units
    answer = standings[0].answer or "cannot tell"  # no member of the band settled
    nothing = _stalled(case, bare, jacketed) or _idle(bare, jacketed)
    if nothing:
        sentence = nothing
    else:
        facts = _Facts(
            bare=bare, jacketed=jacketed, change=change, split=split, standings=standings,
            system=system, names=tuple(name_bare(case.machine, s.reference) for s in standings),
        )  # fmt: skip
        sentence = " ".join(filter(None, (_told(by, answer, facts), say_limits(limits, system))))
    sentence = say_both(case, standings) + sentence + say_free(case, standings)
    return Verdict(
        answer=answer,
        headline=make_headline(case, standings),
        sentence=" ".join((sentence, *missing)),
        judged_by=by,
        rule=RULES[by],
        limits=standings[0].limits,
        standings=standings,
        missing=missing,
    )


def _told(by: Currency, answer: Answer, facts: _Facts) -> str:
    return {
        "delivery": _flow_sentence,
        "specific air consumption": _air_sentence,
        "discharge temperature": _temperature_sentence,
    }[by](answer, facts)


def _stalled(case: Case, bare: Outcome, jacketed: Outcome) -> str:
    """Say what a stall means; empty when both run."""
    if not (bare.stalled or jacketed.stalled):
        return ""
    at = say_reach(case.machine, jacketed if jacketed.stalled else bare, case.document.units)
    if bare.stalled and jacketed.stalled:
        if say_stop(bare) == say_stop(jacketed):
            return f"The machine {say_stop(jacketed)}, with and without jackets: {at}."
        with_them = f"{_with_jackets(jacketed)} the machine {say_stop(jacketed)}"
        return f"The machine without jackets {say_stop(bare)}. {with_them}; {at}."
    if jacketed.stalled:
        return f"{_with_jackets(jacketed)} the machine {say_stop(jacketed)}; {at}."
    return (
        f"The machine without jackets {say_stop(bare)} where the one with jackets still runs; {at}."
    )


def _idle(bare: Outcome, jacketed: Outcome) -> str:
    """Say what it means that a running machine delivers nothing; empty when both deliver."""
    if bare.delivers and jacketed.delivers:
        return ""
    if jacketed.delivers:
        return (
            f"The machine without jackets delivers nothing where the one with jackets does: {IDLE}."
        )
    if bare.delivers:
        return f"{_with_jackets(jacketed)} the machine delivers nothing: {IDLE}."
    return f"The machine delivers nothing, with and without jackets: {IDLE}."


def _with_jackets(jacketed: Outcome) -> str:
    count = sum(stage.jacket is not None for stage in jacketed.stages)
    return "With the jacket" if count == 1 else "With the jackets"


def _more(value: float) -> str:
    """Return a relative change in words, such as `6.9 % more`."""
    size = percent(abs(value), sign=False)
    if size == percent(0.0):
        return "the same"
    return f"{size} {'more' if value > 0 else 'less'}"


def _agreeing(by: Currency, facts: _Facts) -> list[tuple[Standing, str]]:
    """Return the comparisons that the first sentence speaks of, each with its reference.

    Both where they give one answer by two numbers; two answers have a sentence of their own.
    """
    pairs = [
        (s, name)
        for s, name in zip(facts.standings, facts.names, strict=True)
        if s.rate == "as stated" and s.delivers
    ]
    numbers = {say_change(by, judged_interval(by, s).value, facts.system) for s, _ in pairs}
    same = len({s.answer for s, _ in pairs}) == 1
    return pairs if same and len(numbers) > 1 else pairs[:1]


def _compared(by: Currency, facts: _Facts, say: Callable[[float], str]) -> str:
    """Return how much more or less, against each machine without jackets where two readings differ.

    Parameters
    ----------
    by : the currency
    facts : what the sentence is made from
    say : a change in words, such as `6.9 % more`
    """
    pairs = _agreeing(by, facts)
    found = [(say(judged_interval(by, s).value), name) for s, name in pairs]
    stated = [s for s in facts.standings if s.rate == "as stated"]
    if len(stated) == 1 or (len(pairs) == 1 and len({s.answer for s in stated}) == 1):
        return found[0][0]
    return " and ".join(f"{_than(words)} with {name}" for words, name in found)


def _than(words: str) -> str:
    """Return a comparative with the word that follows it."""
    return f"{words} {'as' if words.startswith('the same') else 'than'}"


def _doubt(by: Currency, answer: Answer, facts: _Facts) -> str:
    """Say why the model cannot tell, where it cannot."""
    if answer != "cannot tell":
        return ""
    ranges = [
        " to ".join(say_change(by, end, facts.system) for end in (band.low, band.high))
        for band in (judged_interval(by, s) for s, _ in _agreeing(by, facts))
    ]
    return f", but the model range is {' and '.join(ranges)}"


def _flow_sentence(answer: Answer, facts: _Facts) -> str:
    by: Currency = "delivery"
    head = f"{_with_jackets(facts.jacketed)} the machine delivers {_compared(by, facts, _more)}"
    return f"{head}{_doubt(by, answer, facts)}: {_why(facts)}."


def _why(facts: _Facts) -> str:
    bare, jacketed, change = facts.bare, facts.jacketed, facts.change
    mass = change.mass_per_cycle
    carries = f"each cycle carries {_more(mass)}"
    decimals = max(0, 3 - math.floor(math.log10(max(bare.cycle_rate, jacketed.cycle_rate))))
    rates = f"from {bare.cycle_rate:.{decimals}f} to {jacketed.cycle_rate:.{decimals}f} cycles a "
    rates += "second"
    if bare.wait > 0 and jacketed.wait > 0:
        return f"{carries}, at the imposed cycle rate"
    if abs(change.cycle_rate) < UNCHANGED:
        return f"{carries}, at an unchanged {jacketed.cycle_rate:.3g} cycles a second"
    if change.cycle_rate > 0:
        lighter = (
            ", because a cycle needs less work" if jacketed.drive_work < bare.drive_work else ""
        )
        return f"{carries}, and the cycle rate rises {rates}{lighter}"
    joint = "but" if mass >= 0 else "and"
    return f"{carries}, {joint} {_slows(facts.split)} {rates}"


def _slows(split: Split) -> str:
    """Say what slows the cycle, as far as the split tells."""
    if split.resistance_alone is None or split.cooling_alone is None:
        return "the cycle slows"
    resisted = split.resistance_alone.cycle_rate <= split.cooling_alone.cycle_rate
    return f"{'the exhaust passage' if resisted else 'the greater mass per cycle'} slows the cycle"


def _air_sentence(answer: Answer, facts: _Facts) -> str:
    by: Currency = "specific air consumption"
    bare, jacketed = facts.bare.specific_air_consumption, facts.jacketed.specific_air_consumption
    mass = find_display("mass", facts.system).symbol
    head = f"{_with_jackets(facts.jacketed)} a delivered {MASSES[facts.system]} takes "
    head += _compared(by, facts, _air)
    amounts = f"{jacketed:.1f} {mass} against {bare:.1f} {mass}"
    return f"{head}, {amounts}{_doubt(by, answer, facts)}; {_flow(facts)}."


def _flow(facts: _Facts) -> str:
    """Say how delivered flow changes, against both machines without jackets where that differs."""
    found = {
        percent(s.delivered_mass_flow.value): name
        for s, name in reversed(list(zip(facts.standings, facts.names, strict=True)))
        if s.rate == "as stated" and s.delivers
    }
    if len(found) == 1:
        return f"the delivery changes by {next(iter(found))}"
    told = [f"{change} against {name}" for change, name in reversed(found.items())]
    return f"the delivery changes by {' and by '.join(told)}"


def _air(change: float) -> str:
    words = _more(change)
    return f"{words} drive air" if words != "the same" else "the same drive air"


def _temperature_sentence(answer: Answer, facts: _Facts) -> str:
    by: Currency = "discharge temperature"
    told = _compared(by, facts, lambda value: _cooler(value, facts.system))
    at = _hottest(facts.jacketed, facts.system)
    head = f"{_with_jackets(facts.jacketed)} the hottest discharge is {told}, {at}"
    return f"{head}{_doubt(by, answer, facts)}; {_flow(facts)}."


def _cooler(value: float, system: System) -> str:
    """Say how much cooler the hottest discharge is."""
    apart = say_quantity(abs(value), "temperature difference", system)
    return f"{apart} {'cooler' if value <= 0 else 'hotter'}"


def _hottest(jacketed: Outcome, system: System) -> str:
    """Say what the hottest discharge is, and in which stage."""
    delivering = [stage for stage in jacketed.stages if stage.delivers] or jacketed.stages
    hot = max(delivering, key=lambda s: s.discharge_temperature)
    at = say_quantity(hot.discharge_temperature, "temperature", system)
    return f"{at} in stage {hot.name}"


def summarise(found: Assessment) -> str:
    """Return what the verdict's sentence leaves out: other currencies, and limits counted.

    Empty where a machine delivers nothing.
    """
    if not found.delivers:
        return ""
    system = found.case.document.units
    stated = found.verdict.standings[0]
    air = f"a delivered {MASSES[system]} takes {_air(stated.specific_air_consumption.value)}"
    cooler = _cooler(stated.discharge_temperature.value, system)
    heat = f"the hottest discharge is {cooler}, {_hottest(found.jacketed, system)}"
    told = {
        "delivery": [air, heat],
        "specific air consumption": [heat],
        "discharge temperature": [air],
    }
    first = ", and ".join(told[found.verdict.judged_by])
    return f"{first[0].upper()}{first[1:]}. {say_count(found.verdict.limits)}"
