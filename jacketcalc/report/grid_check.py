"""The machine again with half the steps: what the headline numbers owe to the grid."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from jacketcalc.assessment.compare import compare
from jacketcalc.assessment.result import Change
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.inputs import Case

FACTOR = 0.5
"""Steps of a stroke over the standard ones [-]."""
GRID_MACHINES = 2
"""Machines that a check solves [-]."""


@dataclass(frozen=True, kw_only=True)
class GridCheck:
    """Both machines with fewer steps."""

    bare: Outcome
    jacketed: Outcome
    change: Change
    failure: str = ""
    """Why there is no result, empty where there is one."""


def check_grid(case: Case, progress: Callable[[float], None] | None = None) -> GridCheck:
    """Solve the bare and the jacketed machine with half the steps of a stroke."""
    machines = (bare_machine(case.machine, case.judgement.bare), case.machine)
    bare, jacketed = run(
        [Design(machine=machine) for machine in machines],
        resolution=Resolution().scaled(FACTOR),
        progress=progress,
    )
    return GridCheck(
        bare=bare.outcome,
        jacketed=jacketed.outcome,
        change=compare(jacketed.outcome, bare.outcome),
        failure=bare.failure or jacketed.failure,
    )
