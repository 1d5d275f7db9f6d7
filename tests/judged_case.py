"""The main case judged anew with changes of its flow put in place, and what is then said of it."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import pytest
from report_sample import CASES, found, report_of

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.result import Assessment, Interval, LimitCheck, Standing
from jacketcalc.assessment.standing import stand
from jacketcalc.assessment.verdict import judge
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case
from jacketcalc.core.resolution import Resolution
from jacketcalc.inputs import Currency
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import make_json

STEPS = Resolution().scaled(0.5)
"""Steps enough for comparisons of a machine with itself."""


def interval(low: float, value: float, high: float) -> Interval:
    """Make an interval from per cent."""
    return Interval(low=low / 100, value=value / 100, high=high / 100)


def judged(
    stated: tuple[float, float, float],
    other: tuple[float, float, float] | None = None,
    *,
    free: tuple[float, float, float] | None = None,
    limits: tuple[LimitCheck, ...] = (),
    by: Currency = "delivery",
) -> Assessment:
    """Return the main case with changes of its delivery in per cent put in place."""
    whole = found("hot")
    case = replace(whole.case, judgement=replace(whole.case.judgement, by=by))
    if free is not None:
        valve = replace(case.machine.valve, cycle_rate=0.8)
        case = replace(case, machine=replace(case.machine, valve=valve))
    change = replace(whole.change, delivered_mass_flow=stated[1] / 100)

    def standing(values: tuple[float, float, float], reference: str, rate: str) -> Standing:
        band = replace(whole.band, delivered_mass_flow=interval(*values))
        return stand(case, reference, rate, band, limits)  # type: ignore[arg-type]

    told = [standing(stated, "exhaust direct", "as stated")]
    told += [standing(other, "exhaust through tube", "as stated")] if other else []
    told += [standing(free, "exhaust direct", "not imposed")] if free else []
    verdict = judge(case, whole.bare, whole.jacketed, change, whole.split, limits, tuple(told))
    band = replace(whole.band, delivered_mass_flow=interval(*stated))
    return replace(
        whole, case=case, change=change, band=band, limits=limits, verdict=verdict,
        other=whole.other if other else None,
    )  # fmt: skip


def plain(text: str) -> str:
    """Return print as the screen has it: hyphens for minus signs, plain blanks."""
    return " ".join(text.replace("−", "-").replace("\u00a0", " ").split())


def headline_of(assessment: Assessment) -> str:
    """Return the words in capitals that begin the answer on the first screen."""
    first = make_text(assessment).split("\n\n")[1].split("\n")[0]
    return first.partition(":")[0]


def told_by(assessment: Assessment) -> dict[str, str]:
    """Return what each reader of the verdict says: headline and sentence.

    On screen the headline stands first, and the sentence behind the first screen.
    """
    assert report_of(assessment).cover.statements[0].head == headline_of(assessment)
    kept = json.loads(make_json(assessment))["verdict"]
    behind = make_text(assessment, full=True).split("\n\n")
    sentence = plain(behind[make_text(assessment).count("\n\n") + 1])
    return {
        "screen": f"{headline_of(assessment)}: {sentence}".replace("°C", "degC"),
        "JSON": plain(f"{kept['headline']}: {kept['sentence']}"),
    }


@cache
def narrow(rate: str, bare: str = "exhaust direct") -> Assessment:
    """Solve the shipped single stage with a gap of 1.5 mm, at a rate where one is given."""
    case = set_value(read_case(str(CASES / "single.toml")), "judge.no_jackets", bare)
    case = set_value(case, "jacket.gap", "1.5 mm")
    return assess(set_value(case, "valve.cycle_rate", rate) if rate else case, resolution=STEPS)


def same(one: Standing, two: Standing) -> None:
    """Hold two comparisons together that were solved in different batches."""
    for name in ("delivered_mass_flow", "specific_air_consumption", "discharge_temperature"):
        for end in ("low", "value", "high"):
            got, wanted = (getattr(getattr(s, name), end) for s in (one, two))
            assert got == pytest.approx(wanted, rel=1e-6, abs=1e-7)
    assert (one.answer, one.limits) == (two.answer, two.limits)
