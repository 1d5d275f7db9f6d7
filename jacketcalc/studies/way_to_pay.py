"""A way to jackets that pay, one part by one size after the other: what would make it pay.

At each step those changes are tried that gained most at the step before, on top of all that was
changed already, and the best is kept. No search for the best jackets: `optimise` is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.single_change import SingleChange
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.steps_between import Step
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress, Tally
from jacketcalc.studies.one_size import Measure, list_single, take_measure
from jacketcalc.studies.single_changes import judged_change, tell_change

LONGEST = 10
"""Steps of a way at most [-]."""
KEPT = 6
"""Kinds of change that are tried at a step, those that gained most before [-]."""
ONCE = ("shorter tubes", "no silencer")
"""Changes that are made once: a tube halved again and again is no size."""
BOTH = "larger valve"
"""Change that is left out, for it helps the machine without jackets as well."""
LEAST = {"delivery": 1e-3, "specific air consumption": 1e-3, "discharge temperature": 0.1}
"""Gain below which a step leads nowhere: relative [-], of the temperature [K]."""


@dataclass(frozen=True, kw_only=True)
class _Tried:
    """A change on top of those before."""

    name: str
    steps: tuple[Step, ...]
    case: Case
    told: SingleChange


def with_way(found: Assessment, *, progress: Progress | None = None) -> Assessment:
    """Return an assessment of jackets that do not pay, or may not, with a way to such as do.

    Parameters
    ----------
    found : an assessment with its single changes
    progress : called with the share done, 0 to 1
    """
    if not (found.delivers and found.tried) or found.verdict.answer == "pays":
        return found
    tally = Tally(progress, LONGEST * KEPT)
    names: list[str] | None = None
    steps: tuple[Step, ...] = ()
    way: list[SingleChange] = []
    by = found.case.judgement.by
    better = 1.0 if by == "delivery" else -1.0
    case, change = found.case, judged_change(by, found.jacketed, found.bare)
    while len(way) < LONGEST and better * change <= 0.0:
        tried = _try_all(found, case, steps, names, change, tally)
        if not tried or tried[0].told.gain < LEAST[by]:
            break
        best = tried[0]
        names = [one.name for one in tried if one.told.gain > 0.0 and
                 not (one is best and one.name in ONCE)][:KEPT]  # fmt: skip
        way.append(best.told)
        case, steps, change = best.case, best.steps, best.told.change
    return replace(found, way=tuple(way))


def _try_all(
    found: Assessment,
    case: Case,
    steps: tuple[Step, ...],
    names: Sequence[str] | None,
    change: float,
    tally: Tally,
) -> list[_Tried]:
    """Return the changes of a step that could be solved, what gains most first."""
    built = []
    for measure in list_single(case):
        if measure.name == BOTH or (names is not None and measure.name not in names):
            continue
        changed = take_measure(found.case, measure, steps)
        if changed is not None:
            built.append((measure, changed))
    judged = found.case.judgement.no_jackets
    machines = [m for _, one in built for m in (one.machine, bare_machine(one.machine, judged))]
    unique = list(dict.fromkeys(machines))
    told = tally.part(len(unique))
    results = run([Design(machine=m) for m in unique], progress=told) if unique else []
    solved = dict(zip(unique, results, strict=True))
    tried = []
    for measure, one in built:
        new, bare = solved[one.machine], solved[bare_machine(one.machine, judged)]
        if new.failure or bare.failure or not _deliver(new.outcome, bare.outcome):
            continue
        all_steps = (*steps, *measure.steps)
        single = tell_change(found, _whole(measure, all_steps), bare.outcome, new.outcome, change)
        tried.append(_Tried(name=measure.name, steps=all_steps, case=one, told=single))
    return sorted(tried, key=lambda one: -one.told.gain)


def _deliver(*outcomes: Outcome) -> bool:
    return all(outcome.delivers for outcome in outcomes)


def _whole(measure: Measure, steps: Sequence[Step]) -> Measure:
    """Return a change with all entries that lead there, the last of each key."""
    last = {step.path: step for step in steps}
    return replace(measure, steps=tuple(last.values()))
