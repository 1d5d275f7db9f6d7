"""A makeable jacket round each barrel of a machine, and what they would bring."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from jacketcalc.assessment.assess import ABOUT, assess
from jacketcalc.assessment.result import Assessment
from jacketcalc.core.resolution import COARSE, Resolution
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError
from jacketcalc.flow_data import throat_area
from jacketcalc.geometry import barrel_outside
from jacketcalc.inputs import Case, Currency
from jacketcalc.progress import Progress, Tally
from jacketcalc.studies.first_winding import (
    Route,
    lengths,
    list_routes,
    made_step,
    tube_bores,
)
from jacketcalc.studies.limits import Bound, Limits
from jacketcalc.studies.optimise import TURNS, find_aim
from jacketcalc.studies.search import descend
from jacketcalc.studies.single_changes import with_single_changes
from jacketcalc.studies.trials import Coordinates, Trial, Trials
from jacketcalc.studies.variables import (
    Variable,
    best_case,
    bind_pitch,
    make_variable,
    typed_length,
)

WORDS: dict[Currency, str] = {
    "delivery": "flow", "specific air consumption": "air", "discharge temperature": "discharge",
}  # fmt: skip
"""Aim of each currency."""
SHARES, STARTS = (2.5, 4.0, 6.0, 10.0), (1, 2, 3, 4)
"""Areas of all channels of a jacket over the valve's throat, and starts, to begin with [-]."""
ASPECT = 0.35
"""Gap of a channel over its width, to begin with: law of a quick start [-]."""
LEAST_PITCH, MOST_PITCH, LEAST_GAP, MOST_GAP = 4e-3, 80e-3, 1.5e-3, 15e-3
"""Ends of the ranges that are looked at [m]."""
MOST_STARTS = 6
"""Most starts that are looked at [-]."""
BEGUN, ROUNDS = 3, 12
"""Designs that a search begins from on each route, and rounds from each [-]."""
QUICK_ROUNDS, QUICK_STRIDES = 6, (4, 1)
"""Rounds of a quick search, from one design on the better route, and the steps it tries [-]."""
AGAIN, QUICK_AGAIN = 8, 4
"""Designs of the search that are solved again in full steps [-]."""
ABOUT_SOLVED = 600
"""Machines that a search solves as a rule, for progress [-]."""


@dataclass(frozen=True, kw_only=True)
class RouteFound:
    """The best that was found on one route."""

    goals: tuple[str, str]
    """Stages that port 1 and port 2 feed."""
    trial: Trial
    """In coarse steps."""
    broken: tuple[Bound, ...]
    """Limits that it breaks, those aside that were left out."""


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """Jackets wound round every barrel."""

    case: Case
    """The case as it was."""
    best_case: Case
    """The case with the jackets in it."""
    assessment: Assessment
    """What they bring."""
    goals: tuple[str, str]
    """Stages that port 1 and port 2 feed."""
    routes: tuple[RouteFound, ...]
    """Every way to feed the stages, the best first."""
    variables: tuple[Variable, ...]
    """What was looked for."""
    let_go: tuple[Bound, ...]
    """Limits left out that the proposal breaks, as the machine without jackets does."""
    tried: int
    """Designs solved [-]."""
    quick: bool


def propose(
    case: Case,
    *,
    bores: Sequence[float] | None = None,
    limits: Limits | None = None,
    quick: bool = False,
    resolution: Resolution | None = None,
    progress: Progress | None = None,
    threads: int | None = None,
) -> Proposal:
    """Wind the jackets that bring most of what the case is judged by, and assess them.

    Limits that the machine breaks without jackets do not bind: others do.

    Parameters
    ----------
    case : the case, with jackets or without
    bores : bores of the tubes to look at [m]; the shelf's, or usual ones, when None
    limits : what must be kept beside the limits of the case and its materials
    quick : begin from one design on one route, and solve fewer again in full
    resolution : steps of a stroke of what is solved in full; the standard ones when None
    progress : called with the share done, 0 to 1
    threads : machines solved at once; as many as there are cores when None

    Raises
    ------
    ConvergenceError
        No design runs.
    """
    asked = limits or Limits(turns=case.make.least_turns or TURNS, rib=case.make.smallest_rib)
    tally = Tally(progress, ABOUT_SOLVED + ABOUT)
    searches = [_Search(route, bores, asked, tally, threads) for route in list_routes(case)]
    begin = quick or len(searches) > 2
    found = sorted((s.look(quick=begin) for s in searches), key=lambda own: own[0])
    if begin:
        on = 1 if quick else 2
        gone = [own[1].go_on(QUICK_ROUNDS if quick else ROUNDS) for own in found[:on]]
        found = [*sorted(gone, key=lambda own: own[0]), *found[on:]]
    best = found[0][1]
    if not best.trials.seen[best.top].numbers:
        raise ConvergenceError(best.trials.why_nothing_runs())
    final = best.again(resolution, QUICK_AGAIN if quick else AGAIN, rounds=1 if quick else ROUNDS)
    texts = final.seen[_top(final)].texts
    made = best_case(best.route.case, best.variables, texts, "the jackets proposed",
                     by="jacketcalc propose", before=case)  # fmt: skip
    tally.expect(ABOUT)
    count = sum(len(s.trials.seen) for s in searches) + len(final.seen)
    return Proposal(
        case=case,
        best_case=made,
        assessment=with_single_changes(
            assess(made, resolution=resolution, progress=tally.part(ABOUT)), always=False
        ),
        goals=best.route.goals,
        routes=tuple(search.best_of_route() for _, search in found),
        variables=tuple(best.variables),
        let_go=final.let_go_by(_top(final)),
        tried=count,
        quick=quick,
    )


def _top(trials: Trials) -> Coordinates:
    return trials.find_best()


class _Search:
    """The search on one route."""

    def __init__(
        self, route: Route, bores: Sequence[float] | None, limits: Limits, tally: Tally,
        threads: int | None,
    ) -> None:  # fmt: skip
        self.route, self._limits = route, limits
        self._tally, self._threads = tally, threads
        self.variables = list_variables(route.case, bores, limits)
        self._ranges = [variable.range for variable in self.variables]
        self.trials = self._trials(COARSE)
        self.top: Coordinates = ()

    @property
    def _few(self) -> bool:
        """Whether there are few routes, so that each begins from many designs."""
        return len(self.route.case.machine.stages) <= 2

    def _trials(self, resolution: Resolution | None) -> Trials:
        def solve(designs: Sequence[Design]) -> list[Result]:
            return run(designs, resolution=resolution, progress=self._tally.part(len(designs)),
                       threads=self._threads)  # fmt: skip

        aim = find_aim(self.route.case, WORDS[self.route.case.judgement.by])
        return Trials(self.route.case, self.variables, aim, self._limits, solve)

    def look(self, *, quick: bool) -> tuple[float, _Search]:
        """Solve the first designs, and go on from the best of them; return the best's score."""
        self.trials.score(self._first())
        self.trials.set_aside(self.trials.broken_without_jackets())
        if quick:
            self.top = self.trials.find_best()
            return self.trials.rate(self.top), self
        order = sorted(self.trials.seen, key=lambda point: (self.trials.rate(point), point))
        for point in order[:BEGUN]:
            descend(self.trials.score, point, self._ranges, rounds=ROUNDS)
        return self._done()

    def go_on(self, rounds: int) -> tuple[float, _Search]:
        """Go on from the best so far."""
        descend(self.trials.score, self.top, self._ranges, rounds=rounds, strides=QUICK_STRIDES)
        return self._done()

    def _done(self) -> tuple[float, _Search]:
        if self.trials.seen_breaks(self.trials.find_best()):
            aside = (*self.trials.broken_without_jackets(), *self.trials.out_of_reach())
            self.trials.set_aside(aside)
        self.top = self.trials.find_best()
        return self.trials.rate(self.top), self

    def best_of_route(self) -> RouteFound:
        """Return the best found, with the limits that it breaks."""
        trial, aside = self.trials.seen[self.top], self.trials.let_go
        broken = (b for b in self.trials.bounds if b.name in trial.broken and b.name not in aside)
        return RouteFound(goals=self.route.goals, trial=trial, broken=tuple(broken))

    def again(self, resolution: Resolution | None, count: int, *, rounds: int) -> Trials:
        """Solve the best designs in full steps, and what lies beside the best of them."""
        full = self._trials(resolution)
        full.let_go = self.trials.let_go
        solved = [point for point, trial in self.trials.seen.items() if trial.numbers]
        order = sorted(solved, key=lambda point: (self.trials.rate(point), point))
        full.score(order[:count])
        descend(full.score, full.find_best(), self._ranges, rounds=rounds, strides=(1,))
        return full

    def _size(self, place: int) -> float:
        """Return the SI size of the unit of a variable [-]."""
        return self.variables[place].size

    def _first(self) -> list[Coordinates]:
        """Return designs to begin with: channels of several areas, starts, lengths and tubes."""
        case, step = self.route.case, made_step(self.route.case)
        throat = throat_area(case.machine.valve.exhaust_path.sonic)
        places = {v.axis.path: place for place, v in enumerate(self.variables)}
        tubes = self._ranges[places["tube.bore"]].spread(1)
        found = []
        shares, counts = (SHARES, STARTS) if self._few else (SHARES[1:3], STARTS[:2])
        for share, starts, bore in itertools.product(shares, counts, tubes[-2:]):
            point = [r.low for r in self._ranges]
            point[places["tube.bore"]] = bore
            rib = point[places["jacket.rib"]] * self._size(places["jacket.rib"])
            width = math.sqrt(share * throat / starts / ASPECT)
            for stage in (s for s in case.machine.stages if s.jacket is not None):
                own = f"stage.{stage.name}.jacket"
                beside = 0.0 if self.variables[places[f"{own}.pitch"]].beside else rib
                wanted = {"pitch": width + beside, "gap": max(ASPECT * width, step),
                          "starts": float(starts), "length": math.inf}  # fmt: skip
                for key, value in wanted.items():
                    place = places[f"{own}.{key}"]
                    r = self._ranges[place]
                    point[place] = r.settle(min(max(value / self._size(place), r.low), r.high))
            found.append(tuple(point))
        return list(dict.fromkeys(found))


def list_variables(
    case: Case, bores: Sequence[float] | None, limits: Limits
) -> tuple[Variable, ...]:
    """Return what a proposal looks for: sizes of each stage's jacket, the rib, the tubes."""
    rib = make_variable(case, "jacket.rib", _ribs(case), "propose")
    found: list[Variable] = []
    for stage in (s for s in case.machine.stages if s.jacket is not None):
        root, most = f"stage.{stage.name}.jacket", lengths(case, stage)
        widest = min(MOST_PITCH, most[-1] / max(limits.turns or 1.0, 1.0))
        thin = min(rib.axis.values)
        narrow = min(max(LEAST_PITCH, thin + LEAST_GAP), widest)
        reach = min(MOST_GAP, 0.5 * barrel_outside(stage))
        pitch = make_variable(case, f"{root}.pitch", _range(case, narrow, widest), "propose")
        found += [
            bind_pitch(case, pitch, rib, f"the pitch of {stage.name}"),
            make_variable(case, f"{root}.gap", _range(case, LEAST_GAP, reach), "propose"),
            make_variable(case, f"{root}.starts", f"1:{MOST_STARTS}", "propose"),
            make_variable(case, f"{root}.length", _listed(case, most), "propose"),
        ]
    tubes = _listed(case, bores or tube_bores(case))
    return (*found, rib, make_variable(case, "tube.bore", tubes, "propose"))


def _ribs(case: Case) -> str:
    """Return the ribs to look at: from the smallest to twice that; the first's without one."""
    least = case.make.smallest_rib
    drawn = next(s.jacket.rib for s in case.machine.stages if s.jacket is not None)
    return _range(case, least, 2.0 * least) if least > 0.0 else typed_length(case, drawn)


def _range(case: Case, low: float, high: float) -> str:
    first, last = typed_length(case, low), typed_length(case, high)
    return f"{first}:{last}" if high > low else first


def _listed(case: Case, sizes: Sequence[float]) -> str:
    return ",".join(typed_length(case, size) for size in sizes)
