"""Solves the machines that are drawn, and no more than those."""

from __future__ import annotations

from jacketcalc.assessment.pair import Pair
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.core.profiles import Detail
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress


def solve_pair(case: Case, *, progress: Progress | None = None) -> Pair:
    """Solve the machine of a case and, where a jacket is fed, the one without jackets.

    Raises
    ------
    ConvergenceError
        When one of them did not settle.
    """
    machine = case.machine
    goals = (machine.exhaust_1.to, machine.exhaust_2.to)
    designs = [Design(machine=machine)]
    if any(stage.jacket is not None and stage.name in goals for stage in machine.stages):
        designs.append(Design(machine=bare_machine(machine, case.judgement.no_jackets)))
    results = run(designs, details=True, progress=progress)
    for result in results:
        if result.failure:
            raise ConvergenceError(f"a machine did not settle: {result.failure}")
    jacketed, bare = results[0], results[-1]
    return Pair(
        case=case,
        bare=bare.outcome,
        jacketed=jacketed.outcome,
        bare_detail=_detail(bare),
        jacketed_detail=_detail(jacketed),
    )


def _detail(result: Result) -> Detail:
    assert result.detail is not None
    return result.detail
