"""Assess a case: solve every variant, compare, judge."""

from __future__ import annotations

from collections.abc import Callable

from jacketcalc.assessment.break_even import ABOUT as SEARCHED
from jacketcalc.assessment.break_even import ScaledPassage, find_break_even
from jacketcalc.assessment.compare import check_limits, compare, make_band
from jacketcalc.assessment.notes import collect_notes
from jacketcalc.assessment.result import (
    Assessment,
    Change,
    ConductanceRatio,
    Reading,
    Split,
)
from jacketcalc.assessment.standing import Results, list_members, read_standings
from jacketcalc.assessment.variants import (
    RATIOS,
    list_variants,
    other_reference,
    require_jacket,
    with_laws,
)
from jacketcalc.assessment.verdict import judge
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.profiles import Detail
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design, OwnLaws
from jacketcalc.errors import ConvergenceError
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress, Tally

ABOUT = 36
"""Machines that an assessment solves as a rule, for progress [-]."""

Solver = Callable[..., list[Result]]
"""Solves designs: takes them and the keywords of `run`, returns their results in order."""


def assess(
    case: Case,
    *,
    resolution: Resolution | None = None,
    laws: OwnLaws | None = None,
    progress: Progress | None = None,
    solver: Solver = run,
) -> Assessment:
    """Find out whether the jackets of a case pay.

    Parameters
    ----------
    case : the case, from `read_case`
    resolution : steps of a stroke; the standard ones when None
    laws : laws of your own for the channels, named in the notes; the model
        range's low and high heat transfer in the jackets stay what they are
    progress : called with the share done, 0 to 1
    solver : what solves designs, as `run` does

    Raises
    ------
    CaseError
        The case feeds no jacket.
    ConvergenceError
        The machine with or the one without jackets did not settle; the message says which, and
        why. What another machine would have shown is left out, and said so.
    """
    require_jacket(case)
    variants = with_laws(list_variants(case.machine, case.judgement.no_jackets), laws)
    tally = Tally(progress, len(variants) + SEARCHED)
    told = tally.part(len(variants))
    results = solver(list(variants.values()), resolution=resolution, details=True, progress=told)
    found = dict(zip(variants, results, strict=True))
    _refuse_failures(found)

    def solve(factor: float) -> Result:
        design = Design(machine=case.machine, conductance_factor=factor, laws=laws)
        return solver([design], resolution=resolution, progress=tally.part(1))[0]

    return _assemble(case, found, _conductance(case, found, solve), laws)


def _refuse_failures(found: Results) -> None:
    """Refuse to go on without the two machines that every line compares."""
    lines = [f"  {n}: {found[n].failure}" for n in ("bare", "jacketed") if found[n].failure]
    if lines:
        both = "the machine with jackets and the one without" if len(lines) == 2 else "a machine"
        raise ConvergenceError(f"{both} did not settle:\n" + "\n".join(lines))


def _assemble(
    case: Case, found: Results, conductance: ConductanceRatio, laws: OwnLaws | None
) -> Assessment:
    def outcome(name: str) -> Outcome:
        return found[name].outcome

    bare, jacketed = outcome("bare"), outcome("jacketed")
    change = compare(jacketed, bare)
    split = Split(
        cooling_alone=_part(found, "cooling alone"),
        resistance_alone=_part(found, "resistance alone"),
    )
    members = list_members(found)
    band = make_band(members, members[0])
    limits = check_limits(case, bare, band, jacketed)
    standings, missing = read_standings(case, found)
    other: Reading | None = None
    if "other bare" in found and not found["other bare"].failure:
        other = Reading(
            reference=other_reference(case.judgement.no_jackets),
            bare=outcome("other bare"),
            change=compare(jacketed, outcome("other bare")),
        )
    return Assessment(
        case=case,
        bare=bare,
        jacketed=jacketed,
        change=change,
        other=other,
        split=split,
        conductance=conductance,
        band=band,
        limits=limits,
        verdict=judge(case, bare, jacketed, change, split, limits, standings, missing),
        notes=collect_notes(case, bare, jacketed, limits, _left_out(found), _others(found), laws),
        bare_detail=_detail(found["bare"]),
        jacketed_detail=_detail(found["jacketed"]),
        bare_tracks=found["bare"].tracks,
        jacketed_tracks=found["jacketed"].tracks,
    )


def _part(found: Results, name: str) -> Change | None:
    """Return the change of a machine with part of the jackets' effect, None without it."""
    result = found[name]
    return None if result.failure else compare(result.outcome, found["bare"].outcome)


def _left_out(found: Results) -> tuple[str, ...]:
    """Say what the split and the table of conductances lack; comparisons say it themselves."""
    lines = {name: f"{name} is left out of the split" for name in ("cooling alone",
             "resistance alone")}  # fmt: skip
    for wanted in RATIOS:
        lines[f"ratio {wanted:g}"] = (
            f"the ratio {wanted:g} is left out of delivered air against the conductance of the "
            "passage"
        )
    return tuple(
        f"{words}, for its machine did not settle: {found[name].failure}"
        for name, words in lines.items()
        if found[name].failure
    )


def _others(found: Results) -> list[Outcome]:
    """Return what the machines beside the bare and the jacketed one do, where they settled."""
    rest = (result for name, result in found.items() if name not in ("bare", "jacketed"))
    return [result.outcome for result in rest if not result.failure]


def _detail(result: Result) -> Detail:
    assert result.detail is not None
    return result.detail


def _conductance(case: Case, found: Results, solve: Callable[[float], Result]) -> ConductanceRatio:
    """Find where the machine breaks even; `solve` scales its passages' conductance."""
    valve = case.machine.valve.exhaust_path.sonic
    bare, jacketed = found["bare"].outcome, found["jacketed"].outcome
    each = tuple(
        s.jacket.sonic_conductance / valve for s in jacketed.stages if s.jacket is not None
    )

    def point(outcome: Outcome, factor: float | None = None) -> ScaledPassage:
        ratio = _smallest_conductance(outcome) / valve
        change = compare(outcome, bare).delivered_mass_flow
        return ScaledPassage(factor=factor or ratio / min(each), ratio=ratio, change=change)

    def solve_point(factor: float) -> ScaledPassage | None:
        result = solve(factor)
        return None if result.failure else point(result.outcome, factor)

    known = [
        point(jacketed, 1.0),
        *(point(r.outcome) for r in (found[f"ratio {v:g}"] for v in RATIOS) if not r.failure),
    ]
    cooling = _part(found, "cooling alone")
    wide_open = cooling is not None and cooling.delivered_mass_flow > 0.0
    even = find_break_even(known, solve_point, gains_wide_open=wide_open)
    return ConductanceRatio(
        ratio=min(each),
        each=each,
        break_even=even.point.ratio if even.point else None,
        break_even_words=even.words,
        solved=even.solved,
        curve=tuple((p.ratio, p.change) for p in even.points),
    )


def _smallest_conductance(outcome: Outcome) -> float:
    return min(s.jacket.sonic_conductance for s in outcome.stages if s.jacket is not None)
