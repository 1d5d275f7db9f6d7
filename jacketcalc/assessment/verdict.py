"""The verdict: a rule fixed beforehand, and a sentence made from what decided it."""

from __future__ import annotations

from jacketcalc.assessment.result import (
    Answer,
    Band,
    Change,
    Interval,
    LimitCheck,
    Split,
    Verdict,
)
from jacketcalc.coupling.outcome import Outcome
from jacketcalc.inputs import Currency

UNCHANGED = 0.005
"""Relative change of cycle rate that the sentence calls none [-]."""
RULES: dict[Currency, str] = {
    "delivered flow": (
        "The jackets pay when delivered flow rises over the whole band of the model and no "
        "limit that the bare machine keeps is passed; they cost when it falls over the whole "
        "band or such a limit is passed; otherwise the model cannot tell."
    ),
    "drive air": (
        "The jackets pay when drive air per kilogram delivered falls over the whole band of "
        "the model and no limit that the bare machine keeps is passed; they cost when it rises "
        "over the whole band or such a limit is passed; otherwise the model cannot tell."
    ),
    "temperature": (
        "The jackets pay when the hottest stage's mean discharge temperature falls over the "
        "whole band of the model; they cost when it rises over the whole band; otherwise the "
        "model cannot tell."
    ),
}


def judge(
    by: Currency,
    bare: Outcome,
    jacketed: Outcome,
    change: Change,
    split: Split,
    band: Band,
    limits: tuple[LimitCheck, ...],
) -> Verdict:
    """Apply the rule of a currency."""
    rule = RULES[by]
    stalled = _stalled(bare, jacketed)
    if stalled is not None:
        return Verdict(answer=stalled[0], sentence=stalled[1], judged_by=by, rule=rule)
    gain = {
        "delivered flow": band.delivered_mass_flow,
        "drive air": _mirrored(band.drive_air_per_kg),
        "temperature": _mirrored(band.discharge_temperature),
    }[by]
    answer: Answer = "pays" if gain.low > 0 else "costs" if gain.high < 0 else "cannot tell"
    broken = [c for c in limits if c.kept_bare and not c.kept]
    if by != "temperature" and broken and answer != "costs":
        answer = "costs"
        words = f" It passes a limit that the bare machine keeps: {broken[0].what}."
    else:
        words = ""
    sentence = {
        "delivered flow": _flow_sentence,
        "drive air": _air_sentence,
        "temperature": _temperature_sentence,
    }[by](answer, bare, jacketed, change, split, band)
    return Verdict(answer=answer, sentence=sentence + words, judged_by=by, rule=rule)


def _stalled(bare: Outcome, jacketed: Outcome) -> tuple[Answer, str] | None:
    """Say what a stall means; None when both run."""
    if not (bare.stalled or jacketed.stalled):
        return None
    limit = f"{jacketed.stall_pressure / 1e5:.0f} bar(a)"
    at = f"by forces alone its final stage reaches {limit} in the receiver"
    if bare.stalled and jacketed.stalled:
        stage = jacketed.stalls_in
        return "cannot tell", f"The machine stalls in stage {stage}, bare and jacketed: {at}."
    if jacketed.stalled:
        return "costs", f"With the jackets the machine stalls in stage {jacketed.stalls_in}; {at}."
    words = f"The bare machine stalls in stage {bare.stalls_in} where the jacketed one still runs"
    return "pays", f"{words}; {at}."


def _mirrored(interval: Interval) -> Interval:
    return Interval(low=-interval.high, value=-interval.value, high=-interval.low)


def _percent(value: float, digits: int = 1) -> str:
    return f"{abs(100 * value):.{digits}f} %"


def _flow_sentence(
    answer: Answer, bare: Outcome, jacketed: Outcome, change: Change, split: Split, band: Band
) -> str:
    flow = change.delivered_mass_flow
    more = "more" if flow >= 0 else "less"
    head = f"With the jackets the machine delivers {_percent(flow)} {more}"
    if answer == "cannot tell":
        low, high = band.delivered_mass_flow.low, band.delivered_mass_flow.high
        head = (
            "The model cannot tell: with the jackets the machine delivers "
            f"{_percent(flow)} {more}, but its band runs from {100 * low:+.1f} % "
            f"to {100 * high:+.1f} %"
        )
    return f"{head}: {_why(bare, jacketed, change)}."


def _why(bare: Outcome, jacketed: Outcome, change: Change) -> str:
    mass = change.mass_per_cycle
    carries = f"each cycle carries {_percent(mass)} {'more' if mass >= 0 else 'less'}"
    rates = f"from {bare.cycle_rate:.4g} to {jacketed.cycle_rate:.4g} cycles a second"
    if bare.wait > 0 and jacketed.wait > 0:
        return f"{carries}, at the imposed {jacketed.cycle_rate:.3g} cycles a second"
    if abs(change.cycle_rate) < UNCHANGED:
        return f"{carries}, at an unchanged {jacketed.cycle_rate:.3g} cycles a second"
    if change.cycle_rate < 0:
        joint = "but" if mass >= 0 else "and"
        return f"{carries}, {joint} the exhaust passage slows it {rates}"
    return f"{carries}, and with less work to do it quickens {rates}"


def _air_sentence(
    answer: Answer, bare: Outcome, jacketed: Outcome, change: Change, split: Split, band: Band
) -> str:
    air = change.drive_air_per_kg
    less = "less" if air <= 0 else "more"
    amounts = f"{jacketed.drive_air_per_kg:.1f} kg against {bare.drive_air_per_kg:.1f} kg"
    head = f"With the jackets a delivered kilogram takes {_percent(air)} {less} drive air"
    if answer == "cannot tell":
        head = "The model cannot tell: " + head[0].lower() + head[1:]
    flow = change.delivered_mass_flow
    return f"{head}, {amounts}; delivered flow changes by {100 * flow:+.1f} %."


def _temperature_sentence(
    answer: Answer, bare: Outcome, jacketed: Outcome, change: Change, split: Split, band: Band
) -> str:
    value = band.discharge_temperature.value
    cooler = "cooler" if value <= 0 else "hotter"
    hot = max(jacketed.stages, key=lambda s: s.discharge_temperature)
    head = f"With the jackets the hottest discharge is {abs(value):.0f} K {cooler}"
    if answer == "cannot tell":
        head = "The model cannot tell: " + head[0].lower() + head[1:]
    flow = change.delivered_mass_flow
    at = f"{hot.discharge_temperature - 273.15:.0f} degC in stage {hot.name}"
    return f"{head}, {at}; delivered flow changes by {100 * flow:+.1f} %."
