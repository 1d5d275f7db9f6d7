"""A study from its axes to its table."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Executor

from jacketcalc.components.stroke import Resolution
from jacketcalc.inputs import Case
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.grid import Plan, make_plan
from jacketcalc.studies.sweep import Progress, sweep
from jacketcalc.studies.table import Table, make_table


def run_study(
    case: Case,
    axes: Sequence[Axis],
    *,
    band: bool = True,
    executor: Executor | None = None,
    folder: str = "",
    resolution: Resolution | None = None,
    progress: Progress | None = None,
) -> Table:
    """Solve every point of a study, jacketed and bare, under every member of the band.

    Parameters
    ----------
    case : the case
    axes : entries that are varied, one or two as a rule
    band : solve the closures low and high and stirring 0 and 1 too
    executor, folder, resolution, progress : as in `sweep`
    """
    plan = make_plan(case, axes, band=band)
    return solve_plan(plan, executor, folder=folder, resolution=resolution, progress=progress)


def solve_plan(
    plan: Plan,
    executor: Executor | None = None,
    *,
    folder: str = "",
    resolution: Resolution | None = None,
    progress: Progress | None = None,
) -> Table:
    """Solve what a plan lists; the parameters are those of `sweep`."""
    results = sweep(plan.designs, executor, folder=folder, resolution=resolution, progress=progress)
    return make_table(plan, results)
