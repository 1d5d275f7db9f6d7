"""The verdict: two readings of bare, an imposed rate, limits by what the jackets do to them.

What each sentence must hold was written down from the tables of constructed outcomes below; the
cases of the first two are those that reviewers reported.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from typing import get_args

import pytest
from report_sample import CASES, found, report_of
from study_sample import invented

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.result import (
    Answer,
    Assessment,
    Interval,
    LimitCheck,
    LimitCount,
    Standing,
)
from jacketcalc.assessment.standing import count_limits, stand
from jacketcalc.assessment.standing_words import say_count
from jacketcalc.assessment.verdict import RULES, judge, summarise
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case
from jacketcalc.core.resolution import Resolution
from jacketcalc.inputs import Case, Currency
from jacketcalc.show.study_json import make_study_json
from jacketcalc.show.study_text import make_study_text
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import make_json
from jacketcalc.studies.study import run_study

ZERO = 273.15
STEPS = Resolution().scaled(0.5)
"""Steps enough for comparisons of a machine with itself."""


def limit(
    bare: float, jacketed: float, most: float = 260.0, what: str = "seal (PTFE), second"
) -> LimitCheck:
    """Make an upper limit with its two temperatures, in degC."""
    return LimitCheck(
        what=what, kind="at most", limit=most + ZERO, bare=bare + ZERO, jacketed=jacketed + ZERO,
        low=jacketed + ZERO, high=jacketed + ZERO,
    )  # fmt: skip


def interval(low: float, value: float, high: float) -> Interval:
    """Make an interval from per cent."""
    return Interval(low=low / 100, value=value / 100, high=high / 100)


def judged(
    stated: tuple[float, float, float],
    other: tuple[float, float, float] | None = None,
    *,
    free: tuple[float, float, float] | None = None,
    limits: tuple[LimitCheck, ...] = (),
    by: Currency = "delivered flow",
) -> Assessment:
    """Return the main case with changes of delivered flow in per cent put in place."""
    whole = found("impact_laboratory")
    case = replace(whole.case, judgement=replace(whole.case.judgement, by=by))
    if free is not None:
        valve = replace(case.machine.valve, cycle_rate=0.8)
        case = replace(case, machine=replace(case.machine, valve=valve))
    change = replace(whole.change, delivered_mass_flow=stated[1] / 100)

    def standing(values: tuple[float, float, float], reference: str, rate: str) -> Standing:
        band = replace(whole.band, delivered_mass_flow=interval(*values))
        return stand(case, reference, rate, band, limits)  # type: ignore[arg-type]

    told = [standing(stated, "straight", "as stated")]
    told += [standing(other, "through tube", "as stated")] if other else []
    told += [standing(free, "straight", "not imposed")] if free else []
    verdict = judge(case, whole.bare, whole.jacketed, change, whole.split, limits, tuple(told))
    band = replace(whole.band, delivered_mass_flow=interval(*stated))
    return replace(
        whole, case=case, change=change, band=band, limits=limits, verdict=verdict,
        other=whole.other if other else None,
    )  # fmt: skip


def plain(text: str) -> str:
    """Return print as the screen has it: hyphens for minus signs, plain blanks."""
    return " ".join(text.replace("−", "-").replace("\u00a0", " ").split())


def told_by(assessment: Assessment) -> dict[str, str]:
    """Return what each reader of the verdict says first."""
    cover = report_of(assessment).cover
    kept = json.loads(make_json(assessment))["verdict"]
    return {
        "screen": plain(make_text(assessment).split("\n\n")[1]).replace("°C", "degC"),
        "JSON": plain(f"{kept['headline']}: {kept['sentence']}"),
        "cover": plain(f"{cover.verdict}: {cover.sentence}").replace("°C", "degC"),
    }


# --- two readings of bare ---------------------------------------------------------------------

READINGS: list[tuple[tuple[float, ...], tuple[float, ...], str, tuple[str, ...]]] = [
    # "judge.bare alone turns 'cannot tell, -1.6 %' into 'pays, +8.7 %'" (a reviewer's machine).
    ((-4.0, -1.6, 1.0), (6.0, 8.7, 11.0), "CANNOT TELL / PAYS",
     ("The answer depends on the bare machine that is compared with. "
      "Cannot tell, -1.6 % (-4.0 % to +1.0 %), against direct exhaust; "
      "pays, +8.7 % (+6.0 % to +11.0 %), against the exhaust through its tube.",)),
    ((-9.0, -7.0, -5.0), (-2.0, 0.5, 2.0), "COSTS / CANNOT TELL",
     ("Costs, -7.0 %", "cannot tell, +0.5 %")),
    ((4.0, 6.9, 9.0), (5.0, 7.3, 9.0), "PAYS",
     ("delivers 6.9 % more than with direct exhaust and 7.3 % more than with the exhaust through "
      "its tube:",)),
    ((-2.0, 0.0, 2.0), (-1.0, 0.9, 3.0), "CANNOT TELL",
     ("delivers the same as with direct exhaust and 0.9 % more than with the exhaust",
      "band runs from -2.0 % to +2.0 % and from -1.0 % to +3.0 %")),
    # Equal as printed: one reading says both.
    ((4.0, 6.91, 9.0), (5.0, 6.94, 9.0), "PAYS", ("delivers 6.9 % more: each cycle",)),
]  # fmt: skip


@pytest.mark.parametrize(("stated", "other", "headline", "said"), READINGS)
def test_both_readings_of_bare_are_said_where_they_differ(
    stated: tuple[float, float, float],
    other: tuple[float, float, float],
    headline: str,
    said: tuple[str, ...],
) -> None:
    assessment = judged(stated, other)
    for reader, words in told_by(assessment).items():
        assert words.startswith(f"{headline}: "), reader
        for part in said:
            assert part in words, reader
    assert [s.reference for s in assessment.verdict.standings] == ["straight", "through tube"]


def test_one_reading_needs_no_name() -> None:
    for words in told_by(judged((4.0, 6.9, 9.0))).values():
        assert words.startswith("PAYS: With the jackets the machine delivers 6.9 % more: each")
        assert "direct exhaust" not in words


def test_a_cover_that_says_two_things_has_no_colour_of_one() -> None:
    assert report_of(judged((4.0, 6.9, 9.0))).cover.tone == "good"
    assert report_of(judged((4.0, 6.9, 9.0), (-1.0, 1.0, 2.0))).cover.tone == "open"
    assert report_of(judged((4.0, 6.9, 9.0), free=(4.0, 5.0, 6.0))).cover.tone == "open"


# --- imposed rate -----------------------------------------------------------------------------


def test_an_imposed_rate_is_said_with_the_machine_left_free() -> None:
    """A reviewer's machine: cannot tell, -3.5 %, became pays, +5.4 %, by its measured rate."""
    for reader, words in told_by(judged((3.0, 5.4, 8.0), free=(-8.0, -3.5, 1.0))).items():
        assert words.startswith("PAYS AT THE IMPOSED RATE: "), reader
        assert "The cycle rate of 0.8 a second is imposed." in words
        assert "With the rate not imposed, delivered flow: cannot tell, -3.5 % (-8.0 % to +1.0 %)" \
            in words  # fmt: skip


@cache
def narrow(rate: str, bare: str = "straight") -> Assessment:
    """Solve the shipped single stage with a gap of 2 mm, at a rate where one is given."""
    case = set_value(read_case(str(CASES / "single_stage.toml")), "judge.bare", bare)
    case = set_value(case, "jacket.gap", "2 mm")
    return assess(set_value(case, "valve.cycle_rate", rate) if rate else case, resolution=STEPS)


def same(one: Standing, two: Standing) -> None:
    """Hold two comparisons together that were solved in different batches."""
    for name in ("delivered_mass_flow", "drive_air_per_kg", "discharge_temperature"):
        for end in ("low", "value", "high"):
            got, wanted = (getattr(getattr(s, name), end) for s in (one, two))
            assert got == pytest.approx(wanted, rel=1e-6, abs=1e-7)
    assert (one.answer, one.limits) == (two.answer, two.limits)


def test_the_machine_left_free_is_the_case_without_the_entry() -> None:
    """Held at a cycle a second, less than half of its own rate, what costs seems to pay."""
    imposed, free = narrow("1 1/s"), narrow("")
    assert (imposed.verdict.answer, free.verdict.answer) == ("pays", "costs")
    assert imposed.verdict.headline.startswith("PAYS AT THE IMPOSED RATE")
    loss = 100 * free.change.delivered_mass_flow
    assert loss < -2.0
    assert f"With the rate not imposed, delivered flow: costs, {loss:.1f} % (" in (
        imposed.verdict.sentence
    )
    left = [s for s in imposed.verdict.standings if s.rate == "not imposed"]
    for one, two in zip(left, free.verdict.standings, strict=True):
        same(one, two)


def test_each_bare_machine_is_judged_as_if_it_were_asked_for() -> None:
    """The other reading of one case is the first of the case that names the other bare machine."""
    straight, tube = narrow(""), narrow("", "through tube")
    same(straight.verdict.standings[0], tube.verdict.standings[1])
    same(straight.verdict.standings[1], tube.verdict.standings[0])
    assert straight.verdict.standings[0].delivered_mass_flow.value == (
        straight.change.delivered_mass_flow
    )


# --- limits -----------------------------------------------------------------------------------

FATES = [
    # Bare, jacketed, limit and fate; the first is the reviewer's seal of PTFE.
    (297.0, 161.0, 260.0, "mended"),
    (200.0, 161.0, 260.0, "kept"),
    (297.0, 261.0, 260.0, "broken in both"),
    (259.0, 261.0, 260.0, "newly broken"),
    (260.0, 260.0, 260.0, "kept"),
]


@pytest.mark.parametrize(("bare", "jacketed", "most", "fate"), FATES)
def test_a_limit_has_a_fate(bare: float, jacketed: float, most: float, fate: str) -> None:
    check = limit(bare, jacketed, most)
    assert check.fate == fate
    assert getattr(count_limits([check]), fate.replace(" ", "_")) == (check.what,)
    below = replace(check, kind="at least", bare=2 * check.limit - check.bare,
                    jacketed=2 * check.limit - check.jacketed, low=2 * check.limit - check.low,
                    high=2 * check.limit - check.high)  # fmt: skip
    assert below.fate == fate


MENDED, BROKEN = limit(297.0, 161.0), limit(140.0, 155.0, 150.0, "discharge temperature, first")
BOTH, KEPT = limit(283.0, 170.0, 150.0, "discharge, second"), limit(60.0, 30.0, 800.0, "barrel")
NAMED = [
    ((KEPT,), "", ()),
    ((KEPT, BOTH), "", ()),
    ((MENDED, KEPT), ", 1 LIMIT MENDED",
     ("The jackets mend a limit: seal (PTFE), second, 161 degC with them and 297 degC without, at "
      "most 260 degC asked.",)),
    ((BROKEN, KEPT), ", 1 LIMIT NEWLY BROKEN",
     ("The jackets newly break a limit: discharge temperature, first, 155 degC with them and 140 "
      "degC without, at most 150 degC asked.",)),
    ((MENDED, BROKEN, BOTH), ", 1 LIMIT MENDED, 1 LIMIT NEWLY BROKEN",
     ("mend a limit: seal", "newly break a limit: discharge temperature, first")),
    ((MENDED,) * 5, ", 5 LIMITS MENDED", ("The jackets mend 5 limits: seal", "; and 2 more.")),
]  # fmt: skip


@pytest.mark.parametrize(("limits", "behind", "said"), NAMED)
@pytest.mark.parametrize(
    ("answer", "flow"),
    [("PAYS", (4.0, 6.9, 9.0)), ("COSTS", (-9.0, -6.9, -4.0)), ("CANNOT TELL", (-2.0, 1.0, 4.0))],
)
def test_limits_mended_and_newly_broken_are_named_alike_and_decide_alike(
    answer: str,
    flow: tuple[float, float, float],
    limits: tuple[LimitCheck, ...],
    behind: str,
    said: tuple[str, ...],
) -> None:
    assessment = judged(flow, limits=limits)
    for reader, words in told_by(assessment).items():
        assert words.startswith(f"{answer}{behind}: "), reader
        for part in said:
            assert part in words, reader
        assert ("limit" in words.lower()) == bool(said), reader
    assert assessment.verdict.answer.upper() == answer
    assert all("mend" in rule and "newly break" in rule for rule in RULES.values())


def test_limits_are_counted_in_four_kinds() -> None:
    assessment = judged((4.0, 6.9, 9.0), limits=(MENDED, BROKEN, BOTH, BOTH, KEPT, KEPT, KEPT))
    said = "Of 7 limits 3 are kept, 1 mended by the jackets, 1 newly broken and 2 broken in both."
    assert said in summarise(assessment)
    kept = json.loads(make_json(assessment))
    assert {name: len(names) for name, names in kept["verdict"]["limits"].items()} == {
        "kept": 3, "mended": 1, "newly_broken": 1, "broken_in_both": 2,
    }  # fmt: skip
    assert [entry["fate"] for entry in kept["detail"]["limits"]][:3] == [
        "mended", "newly broken", "broken in both",
    ]  # fmt: skip
    assert say_count(LimitCount(kept=("one", "two"))) == "Every limit is kept."
    assert report_of(judged((4.0, 6.9, 9.0), limits=(BROKEN,))).cover.tone == "open"


def test_the_currencies_have_one_rule_for_limits() -> None:
    for by in get_args(Currency):
        for limits in ((MENDED,), (BROKEN,), (MENDED, BROKEN)):
            plainly = judged((4.0, 6.9, 9.0), by=by).verdict.answer
            assert judged((4.0, 6.9, 9.0), limits=limits, by=by).verdict.answer == plainly


# --- heads of studies -------------------------------------------------------------------------


def head_of(standings: tuple[Standing, ...], case: Case | None = None) -> str:
    """Return the head of an invented study of the main case."""
    table = invented("jacket.pitch=20mm,30mm", number=lambda p, m: p)
    table = replace(table, standings=standings, case=case or table.case)
    kept = json.loads(make_study_json(table))["drawn"]["standings"]
    assert [entry["reference"] for entry in kept] == [s.reference for s in standings]
    return plain(make_study_text(table).split("\n\n")[1])


def test_heads_of_studies_say_what_the_verdict_says() -> None:
    both = judged((-4.0, -1.6, 1.0), (6.0, 8.7, 11.0)).verdict.standings
    assert head_of(both) == (
        "As drawn, delivered flow: cannot tell, -1.6 % (-4.0 % to +1.0 %), against direct "
        "exhaust; pays, +8.7 % (+6.0 % to +11.0 %), against the exhaust through its tube."
    )
    free = judged((3.0, 5.4, 8.0), free=(-8.0, -3.5, 1.0))
    assert head_of(free.verdict.standings, free.case).endswith(
        "The cycle rate of 0.8 a second is imposed. With the rate not imposed, delivered flow: "
        "cannot tell, -3.5 % (-8.0 % to +1.0 %)."
    )


@pytest.mark.parametrize("band", [True, False])
def test_a_study_solves_the_comparisons_of_its_case(band: bool) -> None:
    """Its head holds what `assess` finds for the same case; without a band, no answer."""
    wanted = narrow("1 1/s")
    table = run_study(wanted.case, ["jacket.pitch=20mm,28mm"], band=band, split=False,
                      resolution=STEPS)  # fmt: skip
    assert len(table.standings) == len(wanted.verdict.standings) == 4
    for one, two in zip(table.standings, wanted.verdict.standings, strict=True):
        if band:
            same(one, two)
        assert one.answer == (two.answer if band else None)
        assert one.delivered_mass_flow.value == pytest.approx(
            two.delivered_mass_flow.value, rel=1e-6, abs=1e-7
        )
    assert "The cycle rate of 1 a second is imposed." in plain(make_study_text(table))


def test_every_answer_can_be_given() -> None:
    found_answers = {judged(f).verdict.answer for f in ((1, 2, 3), (-3, -2, -1), (-1, 0, 1))}
    assert found_answers == set(get_args(Answer))
