"""What to do next, chosen by the answer."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.assessment.compare import make_band
from jacketcalc.assessment.result import Assessment, BandMember
from jacketcalc.assessment.standing import judged_gain

RESISTED = 0.5
"""Share of the cooling's gain from which the resistance of the passage is the thing to mend [-]."""


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
    return {"pays": _pays, "does not pay": _does_not_pay, "cannot tell": _cannot_tell}[
        found.verdict.answer
    ](found)


def _pays(found: Assessment) -> tuple[NextStep, ...]:
    steps = []
    new = found.verdict.limits.newly_broken
    if new:
        steps.append(NextStep(why=f"The jackets break a limit: {new[0]}.",
                              command="assess CASE --full"))  # fmt: skip
    steps.append(NextStep(why="Compare helix pitches.", command="pitch CASE"))
    if not new:
        steps.append(NextStep(why="Write the report for the design file.",
                              command="report CASE -o report --with pitch"))  # fmt: skip
    return tuple(steps)


def _does_not_pay(found: Assessment) -> tuple[NextStep, ...]:
    even, ratio = found.conductance.break_even, found.conductance.ratio
    widen = NextStep(
        why=f"Widen the passage: C must be {even:.2f} times the valve's, it is {ratio:.2f}."
        if even is not None and even > ratio
        else "Search pitch, gap and starts for jackets that pay.",
        command="optimise CASE -o best",
    )
    return (widen,)


def _cannot_tell(found: Assessment) -> tuple[NextStep, ...]:
    """Name the member of the model range that changes the answer most."""
    members = found.band.members
    if len(members) < 2:
        return (NextStep(why="No model range could be computed.", command="assess CASE --full"),)

    def gain(member: BandMember) -> float:
        return judged_gain(found.case.judgement.by, make_band([member], member)).value

    worst, best = min(members, key=gain), max(members, key=gain)
    least = min((worst, best), key=lambda m: abs(gain(m)))
    other = worst if least is best else best
    decider = other if abs(gain(other) - gain(members[0])) >= abs(
        gain(least) - gain(members[0])) else least  # fmt: skip
    return (
        NextStep(why=f"{_subject(decider.label)} decides: {WAYS_TO_KNOW[_kind(decider.label)]}",
                 command=""),
        NextStep(why="Look for jackets with a larger gain.", command="optimise CASE -o best"),
    )  # fmt: skip


WAYS_TO_KNOW = {
    "jacket": "measure exhaust at jacket inlet and outlet.",
    "mixing": "measure a stage's discharge and wall temperature.",
    "none": "see the model range.",
}
"""How what decides can be known better."""


def _kind(label: str) -> str:
    return "mixing" if "mixing" in label else "jacket" if "jacket" in label else "none"


def _subject(label: str) -> str:
    for end in (" none", " full", " low", " high"):
        label = label.removesuffix(end)
    return f"{label[0].upper()}{label[1:]}"
