"""Designs that a search makes, solves and scores, each once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from jacketcalc.assessment.gas_range import GasRange, beyond_table
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case, Machine
from jacketcalc.studies.choice import Aim
from jacketcalc.studies.columns import Numbers, measure, measure_sizes
from jacketcalc.studies.limits import OF_SIZES, Bound, Limits, list_bounds
from jacketcalc.studies.variables import Variable
from jacketcalc.studies.variation import Variation, describe_gap

BROKEN, UNSOLVED, IMPOSSIBLE = 1e3, 1e5, 1e6
"""Scores above those of every design that keeps its limits [-]."""

Coordinates = tuple[float, ...]
SolveDesigns = Callable[[Sequence[Design]], list[Result]]


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One design that a search looked at."""

    values: tuple[float, ...]
    """Values of the variables, in SI."""
    texts: tuple[str, ...]
    """The same as typed."""
    numbers: Numbers
    """Numbers in SI, empty where it was not solved."""
    broken: Mapping[str, float] = field(default_factory=dict)
    """Names of the limits it breaks, and by how much, each over its own scale [-]."""
    reason: str = ""
    """Why it has no numbers."""
    gas: GasRange | None = None
    """Extremes of its gas, where that leaves the table of air."""

    def breaks(self, let_go: frozenset[str] = frozenset()) -> float:
        """Return by how much limits are broken, those aside that were let go [-]."""
        return sum(v for name, v in self.broken.items() if name not in let_go)


class Trials:
    """Makes, solves and scores designs, and remembers them."""

    def __init__(
        self,
        case: Case,
        variables: Sequence[Variable],
        aim: Aim,
        limits: Limits,
        solve: SolveDesigns,
    ) -> None:
        axes = [variable.axis for variable in variables]
        self._variables, self._aim, self._solve = variables, aim, solve
        self._variation = Variation(case, [a.path for a in axes], [a.texts[0] for a in axes])
        self._case = case
        self.bounds = list_bounds(case, limits)
        self.let_go: frozenset[str] = frozenset()
        self.seen: dict[Coordinates, Trial] = {}
        self.bare: Numbers = {}
        self.bare_gas: GasRange | None = None
        self.drawn = Trial(values=(), texts=(), numbers={})
        self._begun = False

    def score(self, points: Sequence[Coordinates]) -> list[float]:
        """Solve what is new of some points and return the scores of all, lower for better."""
        new = [point for point in dict.fromkeys(points) if point not in self.seen]
        made = {point: self._make(point) for point in new}
        ready = {point: m for point, m in made.items() if isinstance(m, Machine)}
        first = [] if self._begun else [self._bare(), self._case.machine]
        machines = [*first, *ready.values()]
        results = self._solve([Design(machine=m) for m in machines]) if machines else []
        if first:
            bare = _read((), (), first[0], results[0], ())
            self.bare, self.bare_gas = bare.numbers, bare.gas
            self.drawn = _read((), (), first[1], results[1], self.bounds)
            self._begun = True
        for point, trial in made.items():
            if isinstance(trial, Trial):
                self.seen[point] = trial
        pairs = zip(ready.items(), results[len(first) :], strict=True)
        for (point, machine), result in pairs:
            texts = self._texts(point)
            values = self._variation.read(texts)
            self.seen[point] = _read(values, texts, machine, result, self.bounds)
        return [self.rate(point) for point in points]

    def rate(self, point: Coordinates) -> float:
        """Return the score of a point that was seen, lower for better."""
        trial = self.seen[point]
        if not trial.numbers:
            return (UNSOLVED + trial.breaks()) if trial.broken else IMPOSSIBLE
        broken = trial.breaks(self.let_go)
        if broken:
            return BROKEN + broken
        merit = self.merit(point)
        assert merit is not None
        # Differences between temperatures, and between small flows, must count alike.
        return -merit * 1e3 if self._aim.column == "delivered_mass_flow" else -merit

    def merit(self, point: Coordinates) -> float | None:
        """Return the aim's value, higher for better; None where it may not be taken."""
        trial = self.seen[point]
        if not trial.numbers or trial.breaks(self.let_go):
            return None
        value = trial.numbers[self._aim.column]
        return -value if self._aim.lowest else value

    def seen_breaks(self, point: Coordinates) -> bool:
        """Whether a point breaks a limit that was not let go."""
        return self.seen[point].breaks(self.let_go) > 0.0

    def set_aside(self, bounds: Sequence[Bound]) -> None:
        """Rate designs from now on as if these limits were not asked for."""
        self.let_go = frozenset(bound.name for bound in bounds)

    def out_of_reach(self) -> tuple[Bound, ...]:
        """Return the limits that every design solved breaks."""
        solved = [trial for trial in self.seen.values() if trial.numbers]
        return tuple(b for b in self.bounds if all(b.name in trial.broken for trial in solved))

    def broken_without_jackets(self) -> tuple[Bound, ...]:
        """Return the limits that the machine without jackets breaks."""
        return tuple(bound for bound in self.bounds if bound.broken(self.bare) > 0.0)

    def let_go_by(self, point: Coordinates) -> tuple[Bound, ...]:
        """Return the limits set aside that a point breaks, or that every design does."""
        needed = {*self.seen[point].broken, *(bound.name for bound in self.out_of_reach())}
        return tuple(b for b in self.bounds if b.name in self.let_go and b.name in needed)

    def find_best(self) -> Coordinates:
        """Return the point seen that is rated best."""
        return min(self.seen, key=lambda point: (self.rate(point), point))

    def why_nothing_runs(self) -> str:
        """Say why no design has numbers."""
        reasons = Counter(trial.reason for trial in self.seen.values()).most_common(3)
        words = "; ".join(f"{count} times: {reason}" for reason, count in reasons)
        return f"none of {len(self.seen)} designs within the bounds runs. {words}"

    def _bare(self) -> Machine:
        return bare_machine(self._case.machine, self._case.judgement.no_jackets)

    def _texts(self, point: Coordinates) -> tuple[str, ...]:
        return typed_point(self._variables, point)

    def _make(self, point: Coordinates) -> Machine | Trial:
        """Return the machine of a point, or why it is not worth solving."""
        texts = self._texts(point)
        values = self._variation.read(texts)
        try:
            machine = self._variation.make(texts).machine
        except CaseError as error:
            return Trial(values=values, texts=texts, numbers={}, reason=describe_gap(error))
        sizes = measure_sizes(machine)
        bounds = [bound for bound in self.bounds if bound.name in OF_SIZES]
        broken = _broken(bounds, sizes)
        if not broken:
            return machine
        words = " and ".join(b.say(self._case.document.units) for b in bounds if b.name in broken)
        return Trial(values=values, texts=texts, numbers={}, broken=broken, reason=words)


def typed_point(variables: Sequence[Variable], point: Coordinates) -> tuple[str, ...]:
    """Return what a point of a search is as typed; a channel's width becomes its pitch."""
    places = {variable.axis.path: place for place, variable in enumerate(variables)}
    units = [variable.axis.texts[0].partition(" ")[2] for variable in variables]
    numbers = list(point)
    for place, variable in enumerate(variables):
        if variable.beside:
            other = places[variable.beside]
            numbers[place] += point[other] * variables[other].size / variable.size
    return tuple(f"{v:.9g} {unit}".rstrip() for v, unit in zip(numbers, units, strict=True))


def _read(
    values: tuple[float, ...], texts: tuple[str, ...], machine: Machine, result: Result,
    bounds: Sequence[Bound],
) -> Trial:  # fmt: skip
    if result.failure or not result.outcome.delivers:
        words = result.failure or ("stalls" if result.outcome.stalled else "delivers nothing")
        return Trial(values=values, texts=texts, numbers={}, reason=words)
    numbers = measure(machine, result.outcome)
    return Trial(values=values, texts=texts, numbers=numbers, broken=_broken(bounds, numbers),
                 gas=beyond_table([result.outcome]))  # fmt: skip


def _broken(bounds: Sequence[Bound], numbers: Numbers) -> dict[str, float]:
    found = {bound.name: bound.broken(numbers) for bound in bounds}
    return {name: share for name, share in found.items() if share > 0.0}
