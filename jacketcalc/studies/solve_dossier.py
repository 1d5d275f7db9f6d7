"""Solves all that the report of a case shows."""

from __future__ import annotations

from jacketcalc.assessment.assess import ABOUT, assess
from jacketcalc.assessment.compare import compare
from jacketcalc.assessment.hand_check import hand_checks
from jacketcalc.assessment.range_use import range_uses
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress, Tally
from jacketcalc.studies.axes import Axis, parse_axis
from jacketcalc.studies.choice import choose_all
from jacketcalc.studies.dossier import Dossier, GridCheck, PitchStudy, first_fed
from jacketcalc.studies.grid import make_plan
from jacketcalc.studies.rival_table import RivalTable
from jacketcalc.studies.rivals import solve_rivals
from jacketcalc.studies.single_changes import with_single_changes
from jacketcalc.studies.study import solve_plan
from jacketcalc.studies.study_table import StudyTable
from jacketcalc.studies.way_to_pay import with_way

FACTORS = (0.4, 0.5, 0.6, 0.8, 1.0, 1.3, 1.7, 2.0)
"""Pitches compared, as multiples of the drawn one [-]."""
COARSER = 0.5
"""Steps of a stroke in a grid check over the standard ones [-]."""
GRID_MACHINES = 2
"""Machines that a grid check solves [-]."""


def solve_dossier(
    case: Case,
    *,
    pitches: bool = False,
    rivals: bool = False,
    progress: Progress | None = None,
) -> Dossier:
    """Solve all that the report of a case shows.

    Parameters
    ----------
    case : the case
    pitches : compare other pitches too
    rivals : compare other ways than the jackets too
    progress : called with the share of machines that is done, 0 to 1

    Raises
    ------
    CaseError, ConvergenceError
        As `assess` does.
    """
    plan = make_plan(case, [pitch_axis(case)], drawn=False) if pitches else None
    studied = len(plan.designs) if plan else 0
    tally = Tally(progress, ABOUT + studied + GRID_MACHINES)
    found = with_way(with_single_changes(assess(case, progress=tally.part(ABOUT))))
    study = solve_plan(plan, progress=tally.part(studied)) if plan else None
    grid = check_grid(case, tally.part(GRID_MACHINES)) if found.delivers else None
    other = solve_rivals(case, progress=progress) if rivals else None
    return make_dossier(found, study, grid, other)


def make_dossier(
    found: Assessment,
    study: StudyTable | None = None,
    grid: GridCheck | None = None,
    rivals: RivalTable | None = None,
) -> Dossier:
    """Put what was solved together, with what follows from it."""
    pitches = None
    if study is not None:
        runs = any(point.state == "solved" for point in study.rows)
        pitches = PitchStudy(
            table=study,
            stage=first_fed(study.case).name,
            choices=tuple(choose_all(study)) if runs else (),
        )
    return Dossier(
        found=found,
        by_hand=hand_checks(found),
        ranges=tuple(range_uses(found)),
        pitches=pitches,
        grid=grid,
        rivals=rivals,
    )


def pitch_axis(case: Case) -> Axis:
    """Return the pitches that are compared: round about the first fed jacket's, its own among
    them."""
    jacket = first_fed(case).jacket
    assert jacket is not None
    drawn = 1000 * jacket.pitch
    texts = [f"{drawn * f:.3g} mm" if f != 1.0 else f"{drawn:.10g} mm" for f in FACTORS]
    return parse_axis(case, "jacket.pitch=" + ",".join(texts), "pitches compared")


def check_grid(case: Case, progress: Progress | None = None) -> GridCheck:
    """Solve both machines with half the steps of a stroke."""
    machines = (bare_machine(case.machine, case.judgement.no_jackets), case.machine)
    bare, jacketed = run(
        [Design(machine=machine) for machine in machines],
        resolution=Resolution().scaled(COARSER),
        progress=progress,
    )
    return GridCheck(
        bare=bare.outcome,
        jacketed=jacketed.outcome,
        change=compare(jacketed.outcome, bare.outcome),
        failure=bare.failure or jacketed.failure,
    )
