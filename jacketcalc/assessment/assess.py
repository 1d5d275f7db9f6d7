"""Assess a case: solve every variant in one batch, compare, judge."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from itertools import pairwise

from jacketcalc.assessment.compare import check_limits, compare, make_band
from jacketcalc.assessment.notes import collect_notes
from jacketcalc.assessment.result import (
    Assessment,
    BandMember,
    Conductance,
    Reading,
    Split,
)
from jacketcalc.assessment.variants import (
    BAND_CLOSURES,
    RATIOS,
    STIRRING_ENDS,
    has_jacket,
    list_variants,
)
from jacketcalc.assessment.verdict import judge
from jacketcalc.assessment.water import water_margins
from jacketcalc.components.stroke_grid import Resolution
from jacketcalc.coupling.details import Detail
from jacketcalc.coupling.outcome import Outcome
from jacketcalc.coupling.run import Result, run
from jacketcalc.errors import CaseError, ConvergenceError, Problem
from jacketcalc.inputs import Case, Reference

Results = Mapping[str, Result]


def assess(
    case: Case,
    *,
    resolution: Resolution | None = None,
    progress: Callable[[float], None] | None = None,
) -> Assessment:
    """Find out whether the jackets of a case pay.

    Parameters
    ----------
    case : the case, from `read_case`
    resolution : steps of a stroke; the standard ones when None
    progress : called with the share done, 0 to 1

    Raises
    ------
    CaseError
        The case feeds no jacket.
    ConvergenceError
        A machine did not settle; the message says which, where, and by how much.
    """
    if not has_jacket(case.machine):
        raise CaseError([_no_jacket(case)])
    variants = list_variants(case.machine, case.judgement.bare)
    results = run(list(variants.values()), resolution=resolution, details=True, progress=progress)
    found = dict(zip(variants, results, strict=True))
    _refuse_failures(found)
    return _assemble(case, found)


def _no_jacket(case: Case) -> Problem:
    return Problem(
        name="jacket-missing",
        message="no exhaust port feeds a jacket, so there is nothing to assess",
        path="exhaust",
        file=case.file,
        why="bare and jacketed machine are compared",
        fix='give a stage a [stage.jacket] and send a port there: exhaust.port_1.to = "its name"',
    )


def _refuse_failures(found: Results) -> None:
    failed = [(name, r) for name, r in found.items() if r.failure]
    if failed:
        lines = [f"  {name}: {result.failure}" for name, result in failed]
        raise ConvergenceError(
            f"{len(failed)} of {len(found)} machines did not settle:\n" + "\n".join(lines)
        )


def _assemble(case: Case, found: Results) -> Assessment:
    def outcome(name: str) -> Outcome:
        return found[name].outcome

    bare, jacketed = outcome("bare"), outcome("jacketed")
    change = compare(jacketed, bare)
    split = Split(
        cooling_alone=compare(outcome("cooling alone"), bare),
        resistance_alone=compare(outcome("resistance alone"), bare),
    )
    band = make_band(_members(case, found), _member("as stated", jacketed, bare))
    limits = check_limits(case, bare, band, jacketed)
    margins = water_margins(case.machine, jacketed)
    other: Reading | None = None
    if "other bare" in found:
        name: Reference = "through tube" if case.judgement.bare == "straight" else "straight"
        other = Reading(
            reference=name,
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
        conductance=_conductance(case, found, bare, jacketed),
        band=band,
        limits=limits,
        margins=margins,
        verdict=judge(case, bare, jacketed, change, split, band, limits),
        notes=collect_notes(case, bare, jacketed, limits, margins),
        bare_detail=_detail(found["bare"]),
        jacketed_detail=_detail(found["jacketed"]),
    )


def _detail(result: Result) -> Detail:
    assert result.detail is not None
    return result.detail


def _member(label: str, jacketed: Outcome, bare: Outcome) -> BandMember:
    return BandMember(label=label, bare=bare, jacketed=jacketed, change=compare(jacketed, bare))


def _members(case: Case, found: Results) -> list[BandMember]:
    bare = found["bare"].outcome
    members = [_member("as stated", found["jacketed"].outcome, bare)]
    for closure in BAND_CLOSURES:
        jacketed = found[f"jacketed, closure {closure}"].outcome
        members.append(_member(f"jacket closure {closure}", jacketed, bare))
    for stirring in STIRRING_ENDS:
        members.append(
            _member(
                f"stirring {stirring:g}",
                found[f"jacketed, stirring {stirring:g}"].outcome,
                found[f"bare, stirring {stirring:g}"].outcome,
            )
        )
    return members


def _conductance(case: Case, found: Results, bare: Outcome, jacketed: Outcome) -> Conductance:
    valve = case.machine.valve.vent.sonic
    each = tuple(
        s.jacket.sonic_conductance / valve for s in jacketed.stages if s.jacket is not None
    )
    ratio = min(each)
    points = [(ratio, compare(jacketed, bare).delivered_mass_flow)]
    for wanted in RATIOS:
        outcome = found[f"ratio {wanted:g}"].outcome
        factor = _smallest_conductance(outcome) / (ratio * valve)
        points.append((ratio * factor, compare(outcome, bare).delivered_mass_flow))
    points.sort()
    value, words = _crossing(points)
    return Conductance(
        ratio=ratio, each=each, break_even=value, break_even_words=words, curve=tuple(points)
    )


def _smallest_conductance(outcome: Outcome) -> float:
    return min(s.jacket.sonic_conductance for s in outcome.stages if s.jacket is not None)


def _crossing(points: list[tuple[float, float]]) -> tuple[float | None, str]:
    """Find where the change of flow crosses zero, straight in ln(ratio)."""
    for (r0, c0), (r1, c1) in pairwise(points):
        if c0 < 0.0 <= c1:
            share = -c0 / (c1 - c0)
            return math.exp(math.log(r0) + share * math.log(r1 / r0)), ""
    if points[0][1] >= 0.0:
        return None, f"delivered flow gains down to a ratio of {points[0][0]:.2g}"
    return None, f"delivered flow loses up to a ratio of {points[-1][0]:.2g}"
