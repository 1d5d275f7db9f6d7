"""Studies from their axes to their tables: of pitches, and of any entries of a case."""

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

PITCHES = {"SI": ("8 mm", "48 mm"), "inch-pound": ("0.3 in", "1.9 in")}
"""Ends of the range of pitches where none is asked for, in the units of the case."""


def pitch_axis(
    case: Case,
    low: str | None = None,
    high: str | None = None,
    count: int | None = None,
    stage: str | None = None,
    spoken: str = "",
    *,
    step: str | None = None,
) -> Axis:
    """Return the axis of a comparison of pitches, of all jackets or of one stage's alone.

    Parameters
    ----------
    case, low, high, count, stage, step : as in `compare_pitches`
    spoken : how the range was asked for, to name it in problems
    """
    path = "jacket.pitch"
    if stage is not None:
        _check_stage(case, stage)
        path = f"stage.{stage}.jacket.pitch"
    usual = PITCHES[case.document.units]
    first, last = (end or other for end, other in zip((low, high), usual, strict=True))
    tail = "" if count is None and step is None else f":{step or count}"
    return make_axis(case, path, f"{first}:{last}{tail}", spoken or f"{first} to {last}")


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
    low: str | None = None,
    high: str | None = None,
    count: int | None = None,
    *,
    step: str | None = None,
    stage: str | None = None,
    executor: Executor | None = None,
    folder: str = "",
    progress: Progress | None = None,
    threads: int | None = None,
) -> StudyTable:
    """Solve the machine at every pitch against no jackets and against the drawn design.

    The whole model range is solved, and what cooling and resistance alone would change.

    Parameters
    ----------
    case : the case, from `read_case`
    low, high : first and last pitch with their units; those of `PITCHES` when None
    count : number of pitches, evenly spaced
    step : step between pitches, with its unit; a round one when neither is given
    stage : the stage whose jacket alone is varied; all jackets together when None
    executor, folder, progress, threads : as in `sweep`
    """
    axis = pitch_axis(case, low, high, count, stage, step=step)
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
    """Solve every point of a study, with jackets and without, under every model member.

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
