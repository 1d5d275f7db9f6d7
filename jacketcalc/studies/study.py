"""Studies from their axes to their tables: of pitches, and of any numbers of a case."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Executor

from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Outputs
from jacketcalc.core.resolution import Resolution
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress, Tally
from jacketcalc.studies.axes import Axis, make_axis, parse_axis
from jacketcalc.studies.columns import fed
from jacketcalc.studies.grid import StudyPlan, make_plan
from jacketcalc.studies.limits import Limits
from jacketcalc.studies.study_table import StudyTable, make_table
from jacketcalc.studies.sweep import sweep


def pitch_axis(
    case: Case, low: str, high: str, count: int, stage: str | None = None, spoken: str = ""
) -> Axis:
    """Return the axis of a comparison of pitches, of all jackets or of one stage's alone.

    Parameters
    ----------
    case, low, high, count, stage : as in `compare_pitches`
    spoken : how the range was asked for, to name it in problems
    """
    path = "jacket.pitch"
    if stage is not None:
        _check_stage(case, stage)
        path = f"stage.{stage}.jacket.pitch"
    return make_axis(case, path, f"{low}:{high}:{count}", spoken or f"{low} to {high}")


def _check_stage(case: Case, stage: str) -> None:
    """Refuse a stage that is not there, or whose jacket takes no exhaust."""
    stages = {own.name: own for own in case.machine.stages}
    if stage in stages and fed(case.machine, stages[stage]):
        return
    named = f'stage "{stage}" has no jacket that an exhaust port feeds'
    missing = f'there is no stage "{stage}"'
    names = [f'"{name}"' for name, own in stages.items() if fed(case.machine, own)]
    problem = Problem(
        name="path-unknown", message=named if stage in stages else missing,
        file=f"--stage {stage}", fix=f"one of {', '.join(names)}" if names else "",
    )  # fmt: skip
    raise CaseError([problem])


def compare_pitches(
    case: Case,
    low: str = "8 mm",
    high: str = "48 mm",
    count: int = 16,
    *,
    stage: str | None = None,
    executor: Executor | None = None,
    folder: str = "",
    progress: Progress | None = None,
    threads: int | None = None,
) -> StudyTable:
    """Solve the machine at every pitch against the machine without jackets, with band and split.

    Parameters
    ----------
    case : the case, from `read_case`
    low, high : first and last pitch with their units
    count : number of pitches
    stage : the stage whose jacket alone is varied; all jackets together when None
    executor, folder, progress, threads : as in `sweep`
    """
    axis = pitch_axis(case, low, high, count, stage)
    return run_study(
        case, [axis], executor=executor, folder=folder, progress=progress, threads=threads
    )


def run_study(
    case: Case,
    axes: Sequence[Axis | str],
    *,
    band: bool = True,
    split: bool | None = None,
    limits: Limits | None = None,
    drawn: bool = True,
    executor: Executor | None = None,
    folder: str = "",
    resolution: Resolution | None = None,
    progress: Progress | None = None,
    threads: int | None = None,
    outputs: Outputs = OUTPUTS,
) -> StudyTable:
    """Solve every point of a study, jacketed and bare, under every member of the band.

    A point that cannot be built, stalls or does not settle is a row that says so.

    Parameters
    ----------
    case : the case
    axes : entries that are varied, one or two as a rule, such as `jacket.gap=2mm:8mm:7`
    band, split, limits, drawn : as in `make_plan`
    executor, folder, resolution, progress, threads : as in `sweep`
    outputs : results of a machine that are kept
    """
    read = [parse_axis(case, axis, "") if isinstance(axis, str) else axis for axis in axes]
    plan = make_plan(case, read, band=band, split=split, limits=limits, drawn=drawn)
    return solve_plan(
        plan, executor, folder=folder, resolution=resolution, progress=progress, threads=threads,
        outputs=outputs,
    )  # fmt: skip


def solve_plan(
    plan: StudyPlan,
    executor: Executor | None = None,
    *,
    folder: str = "",
    resolution: Resolution | None = None,
    progress: Progress | None = None,
    threads: int | None = None,
    outputs: Outputs = OUTPUTS,
) -> StudyTable:
    """Solve what a plan lists and keep these results; else the parameters are those of `sweep`."""
    count = len(plan.designs)
    told = Tally(progress, count).part(count)
    results = sweep(
        plan.designs, executor, folder=folder, resolution=resolution, progress=told,
        threads=threads,
    )  # fmt: skip
    return make_table(plan, results, outputs)
