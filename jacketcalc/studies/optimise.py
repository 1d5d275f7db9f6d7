"""The best jacket inside stated bounds and limits, and how much its sizes matter."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass

from jacketcalc.assessment.variants import has_jacket
from jacketcalc.casefile.overrides import with_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.components.designs import Design
from jacketcalc.components.stroke_grid import Resolution
from jacketcalc.coupling.run import Result
from jacketcalc.errors import CaseError, ConvergenceError
from jacketcalc.inputs import Case, Machine
from jacketcalc.progress import Progress
from jacketcalc.studies.axes import Axis, make_axis
from jacketcalc.studies.choice import Aim, list_aims
from jacketcalc.studies.columns import Numbers, measure
from jacketcalc.studies.grid import no_jacket
from jacketcalc.studies.limits import SLACK, Limits
from jacketcalc.studies.search import Range, level_range, non_dominated, search
from jacketcalc.studies.study import run_study
from jacketcalc.studies.sweep import sweep
from jacketcalc.studies.table import Table
from jacketcalc.studies.variation import Variation, describe_gap

POPULATION, GENERATIONS = 48, 12
"""Points of a generation and generations of a search [-]."""
SCANNED = 25
"""Values of the first variable solved to see how flat the optimum is [-]."""
LEVEL = 0.01
"""Loss within which an optimum is called flat, as a share [-]."""
LEVEL_KELVIN = 1.0
"""The same for temperatures [K]."""
SCALE = 10.0
"""Broken temperature limit that weighs as much as a back-pressure twice too high [K]."""
BROKEN, IMPOSSIBLE = 1e3, 1e6
"""Scores above those of every design that keeps its limits [-]."""


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One design that a search looked at."""

    values: tuple[float, ...]
    """Values of the variables, in SI."""
    texts: tuple[str, ...]
    """The same as typed."""
    numbers: Numbers
    """Numbers in SI, empty where it could not be solved."""
    broken: float
    """By how much limits are broken, each over its own scale; 0 when none is [-]."""
    reason: str = ""
    """Why it has no numbers."""


@dataclass(frozen=True, kw_only=True)
class Optimum:
    """What a search found."""

    case: Case
    aim: Aim
    limits: Limits
    axes: tuple[Axis, ...]
    """Variables with the ends of their ranges as values."""
    best: Trial
    front: tuple[Trial, ...]
    """Designs that keep the limits and that no other beats in delivered flow and in discharge
    temperature, most flow first."""
    tried: tuple[Trial, ...]
    """Every design that was solved."""
    drawn: Numbers
    """Numbers of the case as it is, empty where it does not run."""
    scan: Table
    """The first variable over its range, the others at their best."""
    level: tuple[float, float]
    """Range of the first variable within the loss of the best, in SI."""


def make_bound(case: Case, path: str, text: str, argument: str) -> Axis:
    """Read a variable's range such as `8mm:48mm`; a single value holds it fixed."""
    ends = ",".join(dict.fromkeys(part.strip() for part in text.split(":")))
    return make_axis(case, path, ends, f"{argument} {text}")


def find_aim(case: Case, word: str) -> Aim:
    """Return the aim for a word: flow, air, discharge or charge."""
    stages = [stage.name for stage in case.machine.stages]
    columns = {
        "flow": "delivered_mass_flow",
        "air": "drive_air_per_kg",
        "discharge": "hottest_discharge",
        "charge": f"charge_temperature.{stages[0]}",
    }
    return next(aim for aim in list_aims(stages) if aim.column == columns[word])


def optimise(
    case: Case,
    axes: Sequence[Axis],
    aim: Aim,
    limits: Limits,
    *,
    population: int = POPULATION,
    generations: int = GENERATIONS,
    executor: Executor | None = None,
    folder: str = "",
    resolution: Resolution | None = None,
    progress: Progress | None = None,
) -> Optimum:
    """Search the best design, then solve its neighbourhood under the whole band.

    Parameters
    ----------
    case : the case
    axes : variables, from `make_bound`; the first is scanned afterwards
    aim : what is wanted
    limits : what must be kept
    population, generations : size of the search
    executor, folder, resolution : as in `sweep`
    progress : called with the share done, 0 to 1
    """
    if not has_jacket(case.machine):
        raise CaseError([no_jacket(case)])
    tell = progress or (lambda share: None)

    def solve(designs: Sequence[Design]) -> list[Result]:
        return sweep(designs, executor, folder=folder, resolution=resolution)

    trials = _Trials(case, axes, aim, limits, solve)
    ranges = [trials.range_of(axis) for axis in axes]
    found = search(
        trials.score, ranges, population=population, generations=generations,
        report=lambda share: tell(0.8 * share),
    )  # fmt: skip
    best = trials.seen[found]
    if not best.numbers:
        raise ConvergenceError(_nothing_runs(list(trials.seen.values())))
    scan = run_study(
        case_with(case, axes[1:], best.texts[1:]), [_scan_axis(case, axes[0], best)],
        limits=limits, executor=executor, folder=folder, resolution=resolution,
        progress=lambda share: tell(0.8 + 0.2 * share),
    )  # fmt: skip
    return Optimum(
        case=case,
        aim=aim,
        limits=limits,
        axes=tuple(axes),
        best=best,
        front=find_front(list(trials.seen.values())),
        tried=tuple(trial for trial in trials.seen.values() if trial.numbers),
        drawn=trials.drawn or {},
        scan=scan,
        level=find_level(scan, aim, limits),
    )


def _nothing_runs(trials: Sequence[Trial]) -> str:
    reasons = Counter(trial.reason for trial in trials).most_common(3)
    words = "; ".join(f"{count} times: {reason}" for reason, count in reasons)
    return f"none of {len(trials)} designs within the bounds runs. {words}"


def case_with(case: Case, axes: Sequence[Axis], texts: Sequence[str]) -> Case:
    """Return a case with some entries set, its text too."""
    text = case.text
    for axis, value in zip(axes, texts, strict=True):
        text = with_value(text, axis.path, value, case.file)
    return read_case_text(text, case.file)


def find_front(trials: Sequence[Trial]) -> tuple[Trial, ...]:
    """Return the best compromises between delivered flow and discharge temperature."""
    kept = [t for t in trials if "hottest_discharge" in t.numbers and not t.broken]
    places = non_dominated(
        [t.numbers["delivered_mass_flow"] for t in kept],
        [t.numbers["hottest_discharge"] for t in kept],
    )
    return tuple(kept[i] for i in places)


def find_level(scan: Table, aim: Aim, limits: Limits) -> tuple[float, float]:
    """Return the range of the scanned variable that keeps the limits and is nearly as good."""
    running = [
        row.numbers[aim.column] if row.state == "solved" and not over(limits, row.numbers) else None
        for row in scan.rows
    ]
    known = [v for v in running if v is not None]
    if not known:
        return scan.axes[0].values[0], scan.axes[0].values[-1]
    best = min(known) if aim.lowest else max(known)
    loss = LEVEL * best if aim.relative else LEVEL_KELVIN
    return level_range(scan.axes[0].values, running, loss, -1.0 if aim.lowest else 1.0)


def _scan_axis(case: Case, axis: Axis, best: Trial) -> Axis:
    """Spread values over the range of a variable, the best among them."""
    low, high = axis.texts[0], axis.texts[-1]
    if axis.whole:
        return make_axis(case, axis.path, f"{low}:{high}", "scan")
    texts = [best.texts[0]]
    if low != high:
        texts += make_axis(case, axis.path, f"{low}:{high}:{SCANNED}", "scan").texts
    spread = make_axis(case, axis.path, ",".join(dict.fromkeys(texts)), "scan")
    order = sorted(range(len(spread.values)), key=lambda i: spread.values[i])
    return Axis(
        path=spread.path,
        dimension=spread.dimension,
        values=tuple(spread.values[i] for i in order),
        texts=tuple(spread.texts[i] for i in order),
        whole=spread.whole,
    )


class _Trials:
    """Makes, solves and scores designs, and remembers them."""

    def __init__(
        self,
        case: Case,
        axes: Sequence[Axis],
        aim: Aim,
        limits: Limits,
        solve: Callable[[Sequence[Design]], list[Result]],
    ) -> None:
        self._axes, self._aim, self._limits, self._solve = axes, aim, limits, solve
        self._variation = Variation(case, [a.path for a in axes], [a.texts[0] for a in axes])
        self._stated = case.machine
        self.seen: dict[tuple[float, ...], Trial] = {}
        self.drawn: Numbers | None = None

    def range_of(self, axis: Axis) -> Range:
        """Return a variable's range in the unit it was typed in."""
        ends = [float(text.split(" ")[0]) for text in (axis.texts[0], axis.texts[-1])]
        return Range(low=min(ends), high=max(ends), whole=axis.whole)

    def score(self, points: Sequence[tuple[float, ...]]) -> list[float]:
        """Solve new points and return their scores, lower for better."""
        made = [self._make(point) for point in points]
        designs = [Design(machine=m) for m in made if isinstance(m, Machine)]
        stated = [Design(machine=self._stated)] if self.drawn is None else []
        results = iter(self._solve([*stated, *designs]) if designs or stated else ())
        for result in (next(results) for _ in stated):
            delivers = not result.failure and result.outcome.delivers
            self.drawn = measure(self._stated, result.outcome) if delivers else {}
        for point, machine in zip(points, made, strict=True):
            texts = self._texts(point)
            if isinstance(machine, Machine):
                self.seen[point] = self._read(texts, machine, next(results))
            else:
                values = self._variation.read(texts)
                self.seen[point] = Trial(
                    values=values, texts=texts, numbers={}, broken=0.0, reason=machine
                )
        return [self._score(self.seen[point]) for point in points]

    def _texts(self, point: tuple[float, ...]) -> tuple[str, ...]:
        units = (axis.texts[0].partition(" ")[2] for axis in self._axes)
        return tuple(f"{v:.9g} {unit}".rstrip() for v, unit in zip(point, units, strict=True))

    def _make(self, point: tuple[float, ...]) -> Machine | str:
        try:
            return self._variation.make(self._texts(point)).machine
        except CaseError as error:
            return describe_gap(error)

    def _read(self, texts: tuple[str, ...], machine: Machine, result: Result) -> Trial:
        values = self._variation.read(texts)
        if result.failure or not result.outcome.delivers:
            words = "stalls" if result.outcome.stalled else "delivers nothing"
            words = result.failure or words
            return Trial(values=values, texts=texts, numbers={}, broken=0.0, reason=words)
        numbers = measure(machine, result.outcome)
        broken = broken_by(self._limits, machine, numbers)
        return Trial(values=values, texts=texts, numbers=numbers, broken=broken)

    def _score(self, trial: Trial) -> float:
        if not trial.numbers:
            return IMPOSSIBLE
        if trial.broken:
            return BROKEN + trial.broken
        value = trial.numbers[self._aim.column]
        # Differences between temperatures, and between small flows, must count alike.
        scaled = value * 1e3 if self._aim.column == "delivered_mass_flow" else value
        return scaled if self._aim.lowest else -scaled


def broken_by(limits: Limits, machine: Machine, numbers: Numbers) -> float:
    """Return by how much limits are broken, each over its own scale."""
    jackets = [stage.jacket for stage in machine.stages if stage.jacket is not None]
    thin = [(limits.land - jacket.land) / limits.land for jacket in jackets if limits.land]
    return over(limits, numbers) + sum(share for share in thin if share > SLACK)


def over(limits: Limits, numbers: Numbers) -> float:
    """Return by how much temperatures and pressures pass their limits, over their scales."""
    shares = []
    if limits.discharge is not None:
        shares.append((numbers["hottest_discharge"] - limits.discharge) / SCALE)
    if limits.back_pressure is not None:
        peaks = [v for n, v in numbers.items() if n.startswith("back_pressure_peak.")]
        shares.append(max(peaks) / limits.back_pressure - 1.0)
    if limits.frost is not None:
        shares.append((limits.frost - numbers["frost_margin"]) / SCALE)
    return sum(max(0.0, share) for share in shares)
