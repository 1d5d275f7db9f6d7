"""Solves two cases and the way from one to the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jacketcalc.assessment.assess import ABOUT, assess
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.changed_entries import list_changed
from jacketcalc.casefile.steps_between import Step, list_steps, take_steps
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress, Tally
from jacketcalc.studies.case_difference import CaseDifference, WalkStep

MOST_STEPS = 8
"""Steps up to which a walk is taken unasked: some 0.1 s each [-]."""


def differ(
    was: Case,
    now: Case,
    *,
    walk: bool | None = None,
    threads: int | None = None,
    progress: Progress | None = None,
) -> CaseDifference:
    """Assess two cases and find out what each of their differences does.

    Parameters
    ----------
    was, now : the first case and the second
    walk : change one entry after the other; where `MOST_STEPS` at most have changed when None
    threads : machines of the walk solved at once; as many as there are cores when None
    progress : called with the share done, 0 to 1

    Raises
    ------
    CaseError, ConvergenceError
        As `assess` does, of either case.
    """
    taken, left_out = _plan(was, now, walk)
    designs = _designs(taken)
    tally = Tally(progress, 2 * ABOUT + len(designs))
    first = assess(was, progress=tally.part(ABOUT))
    second = assess(now, progress=tally.part(ABOUT))
    results = run(designs, threads=threads, progress=tally.part(len(designs))) if designs else []
    return CaseDifference(
        was=first,
        now=second,
        entries=list_changed(was, now),
        walk=tuple(_read(taken, results)),
        left_out=left_out,
    )


@dataclass(frozen=True, kw_only=True)
class _Taken:
    """One step that leads to a machine."""

    steps: tuple[Step, ...]
    case: Case
    alone: Case | None


def _plan(was: Case, now: Case, walk: bool | None) -> tuple[list[_Taken], str]:
    """Return the steps that are taken, and why none are."""
    if walk is False:
        return [], "it was not asked for"
    taken = _take(was, list_steps(was, now))
    if not taken or taken[-1].case.machine != now.machine:
        same = _asked(was) == _asked(now)
        return [], "nothing that was typed changes the machine" if same else (
            "no walk of what was typed leads there")  # fmt: skip
    if walk is None and len(taken) > MOST_STEPS:
        return [], (
            f"{len(taken)} inputs have changed, more than {MOST_STEPS}; --walk takes it all the "
            "same"
        )
    return taken, ""


def _take(was: Case, steps: Sequence[Step]) -> list[_Taken]:
    """Go from case to case; a step to what cannot be built waits for the next one."""
    taken: list[_Taken] = []
    here = was
    done: list[Step] = []
    waiting: list[Step] = []
    for step in steps:
        waiting.append(step)
        case = _try([*done, *waiting], was)
        if case is None:
            continue
        if _asked(case) != _asked(here):
            taken.append(_Taken(steps=tuple(waiting), case=case, alone=_try(waiting, was)))
        done, waiting, here = [*done, *waiting], [], case
    return taken


def _asked(case: Case) -> tuple[object, object]:
    """Return what a walk solves: the machine, and what it is without jackets."""
    return case.machine, case.judgement.no_jackets


def _try(steps: Sequence[Step], was: Case) -> Case | None:
    try:
        return take_steps(was, steps)
    except CaseError:
        return None


def _designs(taken: Sequence[_Taken]) -> list[Design]:
    """Return the machines of a walk: without and with jackets, and alone; three for each step."""
    found = []
    for step in taken:
        judged = step.case.judgement.no_jackets
        alone = step.alone or step.case
        for machine in (bare_machine(step.case.machine, judged), step.case.machine, alone.machine):
            found.append(Design(machine=machine))
    return found


def _read(taken: Sequence[_Taken], results: Sequence[Result]) -> list[WalkStep]:
    found = []
    for i, step in enumerate(taken):
        bare, jacketed, alone = results[3 * i : 3 * i + 3]
        known = step.alone is not None and not alone.failure
        found.append(
            WalkStep(
                steps=step.steps,
                bare=bare.outcome,
                jacketed=jacketed.outcome,
                alone=alone.outcome if known else None,
                failure=bare.failure or jacketed.failure,
            )
        )
    return found
