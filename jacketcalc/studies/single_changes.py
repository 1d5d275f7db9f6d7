"""Tries the parts of a machine one size larger, one after the other: what would make it pay."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.single_change import SingleChange
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import relative
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.inputs import Case, Currency, Machine
from jacketcalc.progress import Progress
from jacketcalc.studies.one_size import Measure, list_single, take_measure


def with_single_changes(
    found: Assessment, *, always: bool = True, progress: Progress | None = None
) -> Assessment:
    """Return an assessment with what each single change of its parts would do.

    Some ten machines are solved, 0.1 s each on one core.

    Parameters
    ----------
    found : what `assess` found
    always : where the jackets pay too
    progress : called with the share done, 0 to 1
    """
    if not found.delivers or (found.verdict.answer == "pays" and not always):
        return found
    measures = [(m, case) for m in list_single(found.case) for case in [take_measure(found.case, m)]
                if case is not None]  # fmt: skip
    machines = list(_machines(found, [case for _, case in measures]))
    solved = dict(zip(machines, run([Design(machine=m) for m in machines], progress=progress),
                      strict=True)) if machines else {}  # fmt: skip
    tried = []
    drawn = judged_change(found.case.judgement.by, found.jacketed, found.bare)
    for measure, case in measures:
        own = bare_machine(case.machine, found.case.judgement.no_jackets)
        bare = found.bare if own == _drawn_bare(found) else None
        if bare is None and solved[own].failure:
            continue
        bare = bare or solved[own].outcome
        jacketed = solved[case.machine]
        if jacketed.failure or not (jacketed.outcome.delivers and bare.delivers):
            continue
        tried.append(tell_change(found, measure, bare, jacketed.outcome, drawn))
    return replace(found, tried=tuple(sorted(tried, key=lambda one: -one.gain)))


def _drawn_bare(found: Assessment) -> Machine:
    return bare_machine(found.case.machine, found.case.judgement.no_jackets)


def _machines(found: Assessment, cases: Sequence[Case]) -> dict[Machine, None]:
    """Return the machines that are not solved yet, each once."""
    known = {_drawn_bare(found), found.case.machine}
    judged = found.case.judgement.no_jackets
    every = [m for case in cases for m in (case.machine, bare_machine(case.machine, judged))]
    return {machine: None for machine in every if machine not in known}


def tell_change(
    found: Assessment, measure: Measure, bare: Outcome, jacketed: Outcome, before: float
) -> SingleChange:
    """Return a change with what it gains over a judged change before it: relative [-], or [K]."""
    by = found.case.judgement.by
    change = judged_change(by, jacketed, bare)
    better = 1.0 if by == "delivery" else -1.0
    return SingleChange(
        what=measure.what, entries=measure.entries, bare=bare, jacketed=jacketed, change=change,
        gain=better * (change - before),
    )  # fmt: skip


def judged_change(by: Currency, new: Outcome, base: Outcome) -> float:
    """Return the change of what is judged: relative [-], or a difference [K]."""
    if by == "delivery":
        return relative(new.delivered_mass_flow, base.delivered_mass_flow)
    if by == "specific air consumption":
        return relative(new.specific_air_consumption, base.specific_air_consumption)
    return new.hottest_discharge - base.hottest_discharge
