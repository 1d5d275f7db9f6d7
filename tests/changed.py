"""Assessments that were changed afterwards, with their sentences made again."""

from __future__ import annotations

from dataclasses import replace

from jacketcalc.assessment.notes import collect_notes
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.standing import apply_rule, judged_gain, stand
from jacketcalc.assessment.verdict import judge
from jacketcalc.core.outcome import Outcome
from jacketcalc.inputs import Currency
from jacketcalc.unit_display import System


def spoken(assessment: Assessment) -> Assessment:
    """Say again what an assessment that was changed has to say."""
    a = assessment
    members = a.band.members
    first = replace(members[0], bare=a.bare, jacketed=a.jacketed)
    band = replace(a.band, members=(first, *members[1:]))
    by = a.case.judgement.by
    told = [stand(a.case, a.case.judgement.no_jackets, "as stated", band, a.limits)]
    # What stalls or idles, or was given another band, has no second reading here.
    if a.other is not None and a.delivers:
        told += [replace(s, answer=apply_rule(judged_gain(by, s))) for s in a.verdict.standings[1:]]
    verdict = judge(a.case, a.bare, a.jacketed, a.change, a.split, a.limits, tuple(told))
    return replace(a, verdict=verdict, notes=collect_notes(a.case, a.bare, a.jacketed, a.limits))


def in_units(assessment: Assessment, units: System) -> Assessment:
    document = replace(assessment.case.document, units=units)
    return spoken(replace(assessment, case=replace(assessment.case, document=document)))


def judged_by(assessment: Assessment, by: Currency) -> Assessment:
    judgement = replace(assessment.case.judgement, by=by)
    return spoken(replace(assessment, case=replace(assessment.case, judgement=judgement)))


def stalled(outcome: Outcome) -> Outcome:
    return replace(
        outcome, stalled=True, held_by="stage", stalls_in="second",
        stall_reach=outcome.stall_pressure, cycle_rate=0.0, delivered_mass_flow=0.0,
    )  # fmt: skip


def idle(outcome: Outcome) -> Outcome:
    stages = tuple(
        replace(s, volumetric_efficiency=0.0, mass_per_stroke=0.0) for s in outcome.stages
    )
    return replace(outcome, stages=stages, delivered_mass_flow=0.0, specific_air_consumption=0.0)


VARIANTS = {
    "as it is": lambda a: a,
    "inch-pound": lambda a: in_units(a, "inch-pound"),
    "one machine without jackets": lambda a: replace(a, other=None),
    "jacketed stalls": lambda a: spoken(replace(a, jacketed=stalled(a.jacketed))),
    "bare stalls": lambda a: spoken(replace(a, bare=stalled(a.bare))),
    "both stall": lambda a: spoken(replace(a, jacketed=stalled(a.jacketed), bare=stalled(a.bare))),
    "jacketed idles": lambda a: spoken(replace(a, jacketed=idle(a.jacketed))),
    "bare idles": lambda a: spoken(replace(a, bare=idle(a.bare))),
    "both idle": lambda a: spoken(replace(a, jacketed=idle(a.jacketed), bare=idle(a.bare))),
    "no notes, no limits": lambda a: replace(a, notes=(), limits=()),
    "no break-even": lambda a: replace(
        a, conductance=replace(a.conductance, break_even=None, break_even_words="it gains")
    ),
    "from standard input": lambda a: replace(a, case=replace(a.case, file="-")),
    "long names": lambda a: replace(
        a,
        case=replace(a.case, title="A very long title " * 9, file="a folder/" * 12 + "x.toml"),
        limits=tuple(replace(c, what=f"{c.what} {'of a stage' * 7}") for c in a.limits),
        notes=tuple(replace(n, text=n.text + "w" * 120) for n in a.notes),
    ),
    "letters": lambda a: replace(a, case=replace(a.case, title="Stoßlabor\x1b[31m\n雷")),
}
