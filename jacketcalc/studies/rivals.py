"""Solves the rivals of a machine's jackets: every way alone, then the best of them in pairs."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from jacketcalc.assessment.compare import broken_limits
from jacketcalc.assessment.standing import name_bare
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case, Currency
from jacketcalc.progress import Progress, Tally
from jacketcalc.studies.rival_entries import OwnRow
from jacketcalc.studies.rival_table import Kind, RivalRow, RivalTable, RivalTerms, Way
from jacketcalc.studies.rival_ways import (
    Plan,
    fits,
    list_ways,
    name_ways,
    ordered,
    say_assumed,
)
from jacketcalc.studies.variation import describe_gap

ROUNDS = 3
"""Rounds in which a water's or an exchanger's temperature settles, within 0.1 K [-]."""
BEST = 4
"""Single ways that are paired with one another [-]."""
PAIRS = 4
"""Pairs that are shown [-]."""
_GAINS: dict[Currency, Callable[[Outcome], float]] = {
    "delivery": lambda o: o.delivered_mass_flow,
    "specific air consumption": lambda o: -o.specific_air_consumption,
    "discharge temperature": lambda o: -o.hottest_discharge,
}
"""What is judged, the more the better."""


@dataclass(frozen=True, kw_only=True)
class _Solved:
    """A plan with what became of it."""

    plan: Plan
    outcome: Outcome | None
    failure: str
    solved: int


def solve_rivals(
    case: Case,
    *,
    terms: RivalTerms | None = None,
    own: Sequence[OwnRow] = (),
    threads: int | None = None,
    progress: Progress | None = None,
) -> RivalTable:
    """Solve a machine as it stands, with its jackets, and with what rivals them.

    Parameters
    ----------
    case : the case
    terms : what is assumed for what no case states; the usual when None
    own : rows of one's own, from `parse_row`
    threads : machines solved at once; as many as there are cores when None
    progress : called with the share done, 0 to 1
    """
    terms = terms or RivalTerms()
    singles, left_out = list_ways(case, terms)
    ways = [frozenset[Way](), *singles]
    plans = [Plan(case=case, ways=way) for way in ways]
    plans += [Plan(case=case, ways=row.ways, entries=row.entries) for row in own]
    tally = Tally(progress, _count(plans) + _most_pairs())
    found = _solve(plans, terms, threads, tally.part(_count(plans)))
    pairs = _pairs(case, found[: len(ways)])
    together = [Plan(case=case, ways=way) for way in pairs]
    paired = _solve(together, terms, threads, tally.part(_count(together)))
    best = _ranked(case, paired)[:PAIRS]
    rows = [_row(found[0], terms, "stands")]
    rows += [_row(one, terms, "single") for one in found[1 : len(ways)]]
    rows += [_row(one, terms, "pair") for one in best]
    rows += [
        _row(one, terms, "own", row.text) for one, row in zip(found[len(ways) :], own, strict=True)
    ]
    return RivalTable(
        case=case,
        terms=terms,
        reference=name_bare(case.machine, case.judgement.no_jackets).removeprefix("the "),
        rows=tuple(rows),
        left_out=tuple(left_out),
        solved=sum(one.solved for one in (*found, *paired)),
    )


def _count(plans: Iterable[Plan]) -> int:
    return sum(ROUNDS if plan.iterated else 1 for plan in plans)


def _most_pairs() -> int:
    return BEST * (BEST - 1) // 2 * ROUNDS


def _solve(
    plans: Sequence[Plan], terms: RivalTerms, threads: int | None, progress: Progress
) -> list[_Solved]:
    """Solve plans in rounds; those whose temperatures follow from the machine take all."""
    known: dict[int, Result] = {}
    gaps: dict[int, str] = {}
    solved = [0] * len(plans)
    total, done = max(_count(plans), 1), 0
    for turn in range(ROUNDS):
        places, designs = [], []
        for place, plan in enumerate(plans):
            if place in gaps or (turn and not plan.iterated):
                continue
            before = known.get(place)
            try:
                machine = plan.build(terms, None if before is None else before.outcome)
            except CaseError as error:
                gaps[place] = describe_gap(error)
                continue
            places.append(place)
            designs.append(Design(machine=machine))

        def told(share: float, done: int = done, count: int = len(designs)) -> None:
            progress((done + share * count) / total)

        results = run(designs, threads=threads, progress=told) if designs else []
        done += len(designs)
        for place, result in zip(places, results, strict=True):
            known[place] = result
            solved[place] += 1
    return [_take(plan, known.get(i), gaps.get(i, ""), solved[i]) for i, plan in enumerate(plans)]


def _take(plan: Plan, result: Result | None, gap: str, solved: int) -> _Solved:
    if result is None:
        return _Solved(plan=plan, outcome=None, failure=gap, solved=solved)
    outcome = None if result.failure else result.outcome
    return _Solved(plan=plan, outcome=outcome, failure=result.failure, solved=solved)


def _pairs(case: Case, singles: Sequence[_Solved]) -> list[frozenset[Way]]:
    """Return the best single ways that gain, two by two, where they go together."""
    stands, *rest = singles
    if stands.outcome is None or not stands.outcome.delivers:
        return []
    gain = _GAINS[case.judgement.by]
    level, ranked = gain(stands.outcome), _ranked(case, rest)
    better = [one for one in ranked if one.outcome is not None and gain(one.outcome) > level]
    # A way with the jackets and the jackets alone are one: the better of them is paired.
    better = [one for i, one in enumerate(better)
              if not any(one.plan.ways & other.plan.ways for other in better[:i])]  # fmt: skip
    known = {one.plan.ways for one in singles}
    found: dict[frozenset[Way], None] = {}
    for one, two in itertools.combinations(better[:BEST], 2):
        both = one.plan.ways | two.plan.ways
        if fits(both) and both not in known:
            found[both] = None
    return list(found)


def _ranked(case: Case, found: Sequence[_Solved]) -> list[_Solved]:
    """Return the machines that deliver, the best first."""
    gain = _GAINS[case.judgement.by]
    running = [(gain(one.outcome), one) for one in found
               if one.outcome is not None and one.outcome.delivers]  # fmt: skip
    return [one for _, one in sorted(running, key=lambda pair: -pair[0])]


def _row(found: _Solved, terms: RivalTerms, kind: Kind, text: str = "") -> RivalRow:
    plan = found.plan
    limits: tuple[str, ...] = ()
    count = 0
    if found.outcome is not None and not found.outcome.stalled:
        limits, count = broken_limits(plan.case, found.outcome)
    name = text or (name_ways(plan.ways) if plan.ways else "as it stands")
    return RivalRow(
        name=name,
        ways=ordered(plan.ways),
        entries=tuple((step.path, step.now) for step in plan.entries),
        assumed=say_assumed(plan.case, plan.ways, terms),
        outcome=found.outcome,
        broken=limits,
        limits=count,
        failure=found.failure,
        kind=kind,
    )
