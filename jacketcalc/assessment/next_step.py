"""What to do next, chosen by the answer."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.assessment.compare import make_band
from jacketcalc.assessment.loss_words import say_best
from jacketcalc.assessment.model_range import FILM, IN_CYLINDER, JACKET, MIXING
from jacketcalc.assessment.result import Assessment, Interval
from jacketcalc.assessment.standing import judged_gain
from jacketcalc.assessment.standing_words import judged_interval, list_answers, say_change

WAYS_TO_KNOW = {
    JACKET: "measure exhaust at jacket inlet and outlet.",
    MIXING: "measure discharge with and without jackets.",
    IN_CYLINDER: "measure discharge and cycle time.",
    FILM: "measure a barrel's surface without jackets.",
}
"""What varies over the model range, as its members' names begin, and how to know it better."""


@dataclass(frozen=True, kw_only=True)
class NextStep:
    """One thing to do."""

    why: str
    """One short sentence."""
    command: str
    """Words after `jacketcalc`, with CASE for the case file; empty where no command does it."""


def choose_steps(found: Assessment) -> tuple[NextStep, ...]:
    """Return what to do next, the most useful first."""
    if found.bare.stalled or found.jacketed.stalled:
        return (NextStep(why="See what holds the piston.", command="assess CASE --full"),)
    if not found.delivers:
        return (NextStep(why="See which stage delivers nothing.", command="assess CASE --full"),)
    steps = {"pays": _pays, "does not pay": _does_not_pay, "cannot tell": _cannot_tell}[
        found.verdict.answer
    ](found)
    return (*_which_exhaust(found), *steps)


def _which_exhaust(found: Assessment) -> tuple[NextStep, ...]:
    """Ask for the machine without jackets where the answer depends on it."""
    if len(list_answers(found.verdict.standings)) < 2:
        return ()
    why = "Where the exhaust goes without jackets decides: set judge.no_jackets."
    return (NextStep(why=why, command=""),)


def _pays(found: Assessment) -> tuple[NextStep, ...]:
    new = found.verdict.limits.newly_broken
    pitch = NextStep(why="Compare helix pitches.", command="pitch CASE")
    if new:
        why = f"The jackets break a limit: {new[0]}."
        return (NextStep(why=why, command="assess CASE --full"), pitch)
    report = "report CASE -o report --with pitch"
    return (pitch, NextStep(why="Write the report.", command=report))


def _does_not_pay(found: Assessment) -> tuple[NextStep, ...]:
    even, ratio = found.conductance.break_even, found.conductance.ratio
    why = "Search pitch, gap and starts for jackets that pay."
    if even is not None and even > ratio:
        decimals = 2 if round(even, 2) > round(ratio, 2) else 4
        why = (
            f"Widen the passage: C must be above {even:.{decimals}f} times the valve's, it is "
            f"{ratio:.{decimals}f}."
        )
    best = say_best(found)
    if best:
        return (
            NextStep(why=best, command=""),
            NextStep(why=why, command="optimise CASE -o best"),
            NextStep(why="Compare with other ways.", command="rivals CASE"),
        )
    return (NextStep(why=why, command="optimise CASE -o best"),)


@dataclass(frozen=True, kw_only=True)
class Unsure:
    """What the model range varies alone that moves the judged change most."""

    name: str
    change: Interval
    """Judged change over its own ends and the nominal one: relative [-], or a difference [K]."""
    straddles: bool
    """Whether its own ends hold zero between them."""


def least_sure(found: Assessment) -> Unsure | None:
    """Return what would decide: what straddles zero alone comes first, then the widest.

    None where no range could be computed.
    """
    by = found.case.judgement.by
    nominal = found.band.members[0]
    spans = []
    for name in WAYS_TO_KNOW:
        own = [member for member in found.band.members if member.label.startswith(name)]
        if own:
            band = make_band([nominal, *own], nominal)
            gain = judged_gain(by, band)
            one = Unsure(name=name, change=judged_interval(by, band),
                         straddles=gain.low <= 0 <= gain.high)  # fmt: skip
            spans.append((one.straddles, gain.high - gain.low, one))
    return max(spans, key=lambda span: span[:2])[2] if spans else None


def _cannot_tell(found: Assessment) -> tuple[NextStep, ...]:
    """Name what would decide. Ends of all together may straddle zero where none does alone."""
    one = least_sure(found)
    if one is None:
        return (NextStep(why="No model range could be computed.", command="assess CASE --full"),)
    by, system = found.case.judgement.by, found.case.document.units
    low, high = (say_change(by, end, system) for end in (one.change.low, one.change.high))
    said = f"{one.name} decides" if one.straddles else (
        f"no law decides alone; the widest is {one.name}")  # fmt: skip
    how = WAYS_TO_KNOW[one.name]
    best = say_best(found)
    return (
        NextStep(why=f"{said[0].upper()}{said[1:]} ({low} to {high}): {how}", command=""),
        NextStep(why=best, command="") if best else NextStep(
            why="Look for jackets with a larger gain.", command="optimise CASE -o best"),
    )  # fmt: skip
