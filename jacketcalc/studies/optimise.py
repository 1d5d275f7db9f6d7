"""The best jacket inside stated bounds and limits, and how much its sizes matter."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import replace

from jacketcalc.assessment.variants import require_jacket
from jacketcalc.core.resolution import COARSE, Resolution
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
from jacketcalc.studies.trials import (
    Coordinates,
    SolveDesigns,
    Trial,
    Trials,
    typed_point,
)
from jacketcalc.studies.variables import Variable, best_case

POPULATION, GENERATIONS = 48, 12
"""Points of a generation and generations of a search [-]."""
QUICK_POPULATION, QUICK_GENERATIONS = 16, 5
"""The same of a quick search, which solves them in coarse steps [-]."""
QUICK_BEST, QUICK_ROUNDS = 6, 2
"""Designs of a quick search that are solved again in full, and rounds beside their best [-]."""
SCANNED, QUICK_SCANNED = 25, 3
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
    population: int | None = None,
    generations: int | None = None,
    scan_count: int | None = None,
    quick: bool = False,
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
    population, generations : size of the search; the usual one when None
    scan_count : values of the first variable that are solved over its range; the usual count
        when None [-]
    quick : search a little in coarse steps of a stroke, then solve the best in full
    executor, folder, resolution, threads : as in `sweep`
    progress : called with the share done, 0 to 1, of a total that is corrected on the way

    Raises
    ------
    CaseError
        When the case feeds no jacket.
    """
    require_jacket(case)
    population = population or (QUICK_POPULATION if quick else POPULATION)
    generations = generations or (QUICK_GENERATIONS if quick else GENERATIONS)
    scan_count = scan_count or (QUICK_SCANNED if quick else SCANNED)
    after = POLISHED + SCAN_MEMBERS * scan_count
    tally = Tally(progress, population * (generations + 1) + after)
    largest = 0

    def solving(steps: Resolution | None) -> SolveDesigns:
        def solve(designs: Sequence[Design]) -> list[Result]:
            nonlocal largest
            largest = len(designs)
            told = tally.part(len(designs))
            return sweep(
                designs, executor, folder=folder, resolution=steps, progress=told, threads=threads
            )

        return solve

    def count(generations_left: int) -> None:
        # Later generations ask for fewer new designs: the last one tells how many.
        tally.expect(largest * generations_left + after)

    trials = Trials(case, variables, aim, limits, solving(resolution))
    looked = Trials(case, variables, aim, limits, solving(COARSE)) if quick else trials
    size = (population, generations, scan_count)
    best, let_go = _find(looked, variables, size, count, again=not quick)
    if quick:
        best, let_go = _solve_again(trials, looked, variables, best)
    nearest = _nearest(trials, best)
    seen = {**looked.seen, **trials.seen}
    made = best_case(case, variables, trials.seen[best].texts, aim.name)
    scanned = [_scan_axis(case, variables, best, scan_count)]
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
        bare=scan.bare[0] if scan.bare else trials.bare,
        bare_gas=trials.bare_gas,
        drawn=trials.drawn,
        let_go=let_go,
        nearest=nearest,
        rounding=_rounding(trials, variables, best),
        front=find_front(list(seen.values()), kept),
        tried=tuple(trial for trial in seen.values() if trial.numbers),
        quick=quick,
        scan=replace(scan, held=held, design="The best design"),
        level=find_level(scan, aim, limits, kept),
    )


def _find(
    trials: Trials,
    variables: Sequence[Variable],
    size: tuple[int, int, int],
    count: Callable[[int], None],
    *,
    again: bool,
) -> tuple[Coordinates, tuple[Bound, ...]]:
    """Return the best point and the limits let go.

    `trials` keeps every design solved, and from then on rates without the limits let go.

    Parameters
    ----------
    trials : what makes and rates designs
    variables : what is varied
    size : designs of a generation, generations, values of the first variable beside the best
    count : called with the generations that are left at most
    again : search anew where limits are let go, not only beside the designs found
    """
    population, generations, scan_count = size
    ranges = [variable.range for variable in variables]

    def look() -> Coordinates:
        found = search(
            trials.score, ranges, population=population, generations=generations, report=count
        )
        if not trials.seen[found].numbers:
            raise ConvergenceError(trials.why_nothing_runs())
        return improve(found)

    def improve(found: Coordinates) -> Coordinates:
        line = [(value, *found[1:]) for value in ranges[0].spread(scan_count)]
        return polish(trials.score, found, ranges, line)

    if trials.seen_breaks(look()):
        trials.set_aside((*trials.out_of_reach(), *trials.broken_without_jackets()))
        _ = look() if again else improve(trials.find_best())
    best = trials.find_best()
    let_go = trials.let_go_by(best)
    trials.set_aside(let_go)
    return best, let_go


def _solve_again(
    trials: Trials, looked: Trials, variables: Sequence[Variable], best: Coordinates
) -> tuple[Coordinates, tuple[Bound, ...]]:
    """Solve the best designs of a quick look in full, and what lies beside them."""
    trials.let_go = looked.let_go
    solved = [point for point, trial in looked.seen.items() if trial.numbers]
    first = sorted(solved, key=lambda point: (looked.rate(point), point))[:QUICK_BEST]
    ranges = [variable.range for variable in variables]
    polish(trials.score, best, ranges, first, rounds=QUICK_ROUNDS)
    if not any(trial.numbers for trial in trials.seen.values()):
        raise ConvergenceError(trials.why_nothing_runs())
    top = trials.find_best()
    while True:
        trials.score(beside(top, ranges, (1,)))
        better = trials.find_best()
        if better == top:
            break
        top = better
    let_go = trials.let_go_by(top)
    trials.set_aside(let_go)
    return top, let_go


def _nearest(trials: Trials, best: Coordinates) -> Trial:
    """Return the design nearest to keeping every limit; the best where that keeps them."""
    nearest = trials.seen[best]
    if not nearest.broken:
        return nearest
    solved = [trial for trial in trials.seen.values() if trial.numbers]
    return min(solved, key=lambda trial: (trial.breaks(), trial.values))


def _rounding(trials: Trials, variables: Sequence[Variable], best: Coordinates) -> float:
    """Return what sizes between the steps could gain at most, size by size."""
    ranges = [variable.range for variable in variables]
    loss = 0.0
    for axis, own in enumerate(ranges):
        near = [p for p in beside(best, ranges, (1,)) if p[axis] != best[axis]]
        # At an end of its range a size has one neighbour, and nothing better beyond.
        if own.whole or own.choices or len(near) < 2:
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


def _scan_axis(case: Case, variables: Sequence[Variable], best: Coordinates, count: int) -> Axis:
    """Spread values over the range of the first variable as they can be made, the best's too."""
    coordinates = sorted({*variables[0].range.spread(count), best[0]})
    texts = [typed_point(variables, (value, *best[1:]))[0] for value in coordinates]
    return make_axis(case, variables[0].axis.path, ",".join(texts), "scan")
