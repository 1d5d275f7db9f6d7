"""The best jacket inside stated bounds and limits, and how much its sizes matter."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import replace

from jacketcalc.assessment.variants import require_jacket
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress, Tally
from jacketcalc.studies.axes import Axis, make_axis
from jacketcalc.studies.choice import Aim, list_aims
from jacketcalc.studies.grid import make_plan
from jacketcalc.studies.limits import Bound, Limits, list_bounds
from jacketcalc.studies.optimum import LEVEL, LEVEL_KELVIN, Optimum
from jacketcalc.studies.search import (
    beside,
    level_range,
    non_dominated,
    polish,
    rounding_loss,
    search,
)
from jacketcalc.studies.study import solve_plan
from jacketcalc.studies.study_table import StudyTable
from jacketcalc.studies.sweep import sweep
from jacketcalc.studies.trials import Coordinates, Trial, Trials
from jacketcalc.studies.variables import Variable, best_case

POPULATION, GENERATIONS = 48, 12
"""Points of a generation and generations of a search [-]."""
SCANNED = 25
"""Values of the first variable solved to see how flat the optimum is [-]."""
POLISHED, SCAN_MEMBERS = 40, 7
"""For progress: machines a search solves near its best, and for each value scanned [-]."""
TURNS = 2.0
"""Fewest turns of a start that a search keeps unless told otherwise [-]."""


def find_aim(case: Case, word: str) -> Aim:
    """Return the aim for a word: flow, air, discharge or charge."""
    stages = [stage.name for stage in case.machine.stages]
    columns = {
        "flow": "delivered_mass_flow",
        "air": "specific_air_consumption",
        "discharge": "hottest_discharge",
        "charge": f"compression_start_temperature.{stages[0]}",
    }
    return next(aim for aim in list_aims(stages) if aim.column == columns[word])


def optimise(
    case: Case,
    variables: Sequence[Variable],
    aim: Aim,
    limits: Limits,
    *,
    population: int = POPULATION,
    generations: int = GENERATIONS,
    scan_count: int = SCANNED,
    executor: Executor | None = None,
    folder: str = "",
    resolution: Resolution | None = None,
    progress: Progress | None = None,
    threads: int | None = None,
) -> Optimum:
    """Search the best design that can be made, then solve its neighbourhood over the model range.

    Limits that no design keeps are set aside, and named.

    Parameters
    ----------
    case : the case
    variables : from `make_variable`; the first is scanned afterwards
    aim : what is wanted
    limits : what must be kept beside the limits of the case and its materials
    population, generations : size of the search
    scan_count : values of the first variable that are solved over its range [-]
    executor, folder, resolution, threads : as in `sweep`
    progress : called with the share done, 0 to 1, of a total that is corrected on the way

    Raises
    ------
    CaseError
        When the case feeds no jacket.
    """
    require_jacket(case)
    after = POLISHED + SCAN_MEMBERS * scan_count
    tally = Tally(progress, population * (generations + 1) + after)
    largest = 0

    def solve(designs: Sequence[Design]) -> list[Result]:
        nonlocal largest
        largest = len(designs)
        told = tally.part(len(designs))
        return sweep(
            designs, executor, folder=folder, resolution=resolution, progress=told,
            threads=threads,
        )  # fmt: skip

    def count(generations_left: int) -> None:
        # Later generations ask for fewer new designs: the last one tells how many.
        tally.expect(largest * generations_left + after)

    trials = Trials(case, variables, aim, limits, solve)
    best, nearest, let_go = _find(trials, variables, population, generations, scan_count, count)
    made = best_case(case, variables, trials.seen[best].texts, aim.name)
    scanned = [_scan_axis(case, variables[0], trials.seen[best], scan_count)]
    plan = make_plan(made, scanned, limits=limits, against=case)
    tally.expect(0)
    scan = solve_plan(
        plan, executor, folder=folder, resolution=resolution,
        progress=tally.part(len(plan.designs)), threads=threads,
    )  # fmt: skip
    held = tuple(
        (v.axis.path, text)
        for v, text in zip(variables[1:], trials.seen[best].texts[1:], strict=True)
    )
    kept = frozenset(bound.name for bound in let_go)
    return Optimum(
        case=case,
        aim=aim,
        limits=limits,
        variables=tuple(variables),
        best=trials.seen[best],
        best_case=made,
        bare=trials.bare,
        bare_gas=trials.bare_gas,
        drawn=trials.drawn,
        let_go=let_go,
        nearest=nearest,
        rounding=_rounding(trials, variables, best),
        front=find_front(list(trials.seen.values()), kept),
        tried=tuple(trial for trial in trials.seen.values() if trial.numbers),
        scan=replace(scan, held=held, design="The best design"),
        level=find_level(scan, aim, limits, kept),
    )


def _find(
    trials: Trials,
    variables: Sequence[Variable],
    population: int,
    generations: int,
    scan_count: int,
    count: Callable[[int], None],
) -> tuple[Coordinates, Trial, tuple[Bound, ...]]:
    """Return the best point, the design nearest to every limit, and the limits let go.

    `trials` keeps every design solved, and from then on rates without the limits let go.
    """
    ranges = [variable.range for variable in variables]

    def look() -> Coordinates:
        found = search(
            trials.score, ranges, population=population, generations=generations, report=count
        )
        if not trials.seen[found].numbers:
            raise ConvergenceError(trials.why_nothing_runs())
        line = [(value, *found[1:]) for value in ranges[0].spread(scan_count)]
        return polish(trials.score, found, ranges, line)

    if trials.seen_breaks(look()) and trials.out_of_reach():
        trials.set_aside(trials.out_of_reach())
        look()
    let_go = trials.out_of_reach() if trials.let_go else ()
    trials.set_aside(let_go)
    best = min(trials.seen, key=lambda point: (trials.rate(point), point))
    solved = [trial for trial in trials.seen.values() if trial.numbers]
    nearest = trials.seen[best]
    if nearest.broken:
        nearest = min(solved, key=lambda trial: (trial.breaks(), trial.values))
    return best, nearest, let_go


def _rounding(trials: Trials, variables: Sequence[Variable], best: Coordinates) -> float:
    """Return what sizes between the steps could gain at most, size by size."""
    ranges = [variable.range for variable in variables]
    loss = 0.0
    for axis, own in enumerate(ranges):
        near = [p for p in beside(best, ranges, (1,)) if p[axis] != best[axis]]
        # At an end of its range a size has one neighbour, and nothing better beyond.
        if own.whole or len(near) < 2:
            continue
        before, top, after = (trials.merit(p) for p in (near[0], best, near[1]))
        loss += rounding_loss(before, top or 0.0, after)
    return loss


def find_front(trials: Sequence[Trial], let_go: frozenset[str]) -> tuple[Trial, ...]:
    """Return the best compromises between delivered flow and discharge temperature."""
    kept = [t for t in trials if "hottest_discharge" in t.numbers and not t.breaks(let_go)]
    places = non_dominated(
        [t.numbers["delivered_mass_flow"] for t in kept],
        [t.numbers["hottest_discharge"] for t in kept],
    )
    return tuple(kept[i] for i in places)


def find_level(
    scan: StudyTable, aim: Aim, limits: Limits, let_go: frozenset[str]
) -> tuple[float, float]:
    """Return the range of the scanned variable that keeps the limits and is nearly as good."""
    bounds = [bound for bound in list_bounds(scan.case, limits) if bound.name not in let_go]
    running = [
        row.numbers[aim.column]
        if row.state == "solved" and not any(bound.broken(row.numbers) for bound in bounds)
        else None
        for row in scan.rows
    ]
    known = [v for v in running if v is not None]
    if not known:
        return scan.axes[0].values[0], scan.axes[0].values[-1]
    best = min(known) if aim.lowest else max(known)
    loss = LEVEL * best if aim.relative else LEVEL_KELVIN
    return level_range(scan.axes[0].values, running, loss, -1.0 if aim.lowest else 1.0)


def _scan_axis(case: Case, variable: Variable, best: Trial, count: int) -> Axis:
    """Spread values over the range of a variable as they can be made, the best among them."""
    unit = variable.axis.texts[0].partition(" ")[2]
    numbers = [*variable.range.spread(count), float(best.texts[0].split(" ")[0])]
    texts = [f"{number:.9g} {unit}".rstrip() for number in sorted(set(numbers))]
    return make_axis(case, variable.axis.path, ",".join(texts), "scan")
