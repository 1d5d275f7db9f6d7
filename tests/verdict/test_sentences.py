"""What an assessment says: what decides first, one set of units, and no more than is known."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest
from changed import VARIANTS, in_units, judged_by, spoken
from command_line import CASE, laboratory
from judged_case import judged
from report_sample import found, report_of
from study_sample import invented

from jacketcalc.assessment.compare import compare
from jacketcalc.assessment.result import Answer, Assessment, Interval
from jacketcalc.assessment.verdict import summarise
from jacketcalc.cli.main import main
from jacketcalc.inputs import Currency
from jacketcalc.report.html import make_html
from jacketcalc.report.sections.checks import what_drives
from jacketcalc.report.traced import Pen
from jacketcalc.show.study_text import make_study_text
from jacketcalc.show.text import make_text


def sentences_of(assessment: Assessment) -> tuple[str, str]:
    """Return the two paragraphs behind the first screen: the verdict's, and what it leaves out."""
    behind = make_text(assessment, full=True).split("\n\n")
    at = make_text(assessment).count("\n\n") + 1
    return behind[at], behind[at + 1]


def test_what_stalls_has_a_reason_and_no_numbers() -> None:
    text = make_text(VARIANTS["both stall"](laboratory()), full=True)
    assert text.split("\n\n")[1].startswith("CANNOT TELL: The machine stalls in stage second")
    assert "bar(a)" in text and "delivery" not in text and "LIMITS" not in text
    text = make_text(VARIANTS["jacketed stalls"](laboratory()), full=True)
    assert "DOES NOT PAY: With the jackets the machine stalls" in text
    assert re.search(r"^delivery  +kg/h", text, re.M)
    for gone in ("WHERE THE CHANGE", "LIMITS", "COLD AND WATER", "frost", "condense"):
        assert gone not in text
    text = make_text(VARIANTS["bare stalls"](laboratory()), full=True)
    assert "PAYS: The machine without jackets stalls" in text and "LIMITS" in text


def test_what_delivers_nothing_has_a_reason_and_no_change() -> None:
    for name, said in (("both idle", "CANNOT TELL: The machine delivers nothing"),
                       ("jacketed idles", "DOES NOT PAY: With the jackets the machine delivers"),
                       ("bare idles", "PAYS: The machine without jackets delivers nothing"),
                       ):  # fmt: skip
        text = make_text(VARIANTS[name](laboratory()), full=True)
        assert said in text
        assert "expands over the whole stroke" in " ".join(text.split())
        assert re.search(r"^delivery  +kg/h", text, re.M) and "LIMITS" in text
        for gone in ("WHERE THE CHANGE", "MODEL RANGE", "WHY", "lose", "same drive air"):
            assert gone not in text, gone
    for whose, name in (("with", "jacketed idles"), ("without", "bare idles")):
        notes = [n.text for n in VARIANTS[name](laboratory()).notes if n.name == "delivery"]
        assert len(notes) == 2
        assert all(f"of the machine {whose} jackets delivers nothing" in text for text in notes)


@pytest.mark.parametrize("by", get_args(Currency))
def test_all_three_currencies_are_told_whichever_judges(by: Currency) -> None:
    """Against both machines without jackets, whose changes differ as printed in this case."""
    whole = judged_by(found("hot"), by)
    verdict, more = sentences_of(whole)
    told = " ".join(f"{verdict} {more}".split())
    change = whole.change
    assert f"{100 * change.delivered_mass_flow:.1f} %" in told
    assert f"{-100 * change.specific_air_consumption:.1f} % less drive air" in told
    assert f"{-whole.band.discharge_temperature.value:.0f} K cooler" in told
    assert "Of 10 limits 8 are kept, 0 mended by the jackets, 0 newly broken and 2 broken" in told
    assert whole.other is not None
    other = 100 * whole.other.change.delivered_mass_flow
    assert f"{other:.1f}" != f"{100 * change.delivered_mass_flow:.1f}"
    said = f"{other:.1f} % more than" if by == "delivery" else f"by {other:+.1f} % against"
    assert f"{said} " in told


def test_sentences_and_tables_agree_as_printed() -> None:
    """Each figure of the verdict stands in the table below it, to the same digits."""
    found = laboratory()
    verdict, more = sentences_of(found)
    *_, rest = make_text(found, full=True).partition(more)
    assert len(re.findall(r"\d+\.\d+", verdict)) >= 4
    table = rest.split()
    for number in re.findall(r"\d+\.\d+", verdict):
        assert number in table or f"+{number}" in table or f"-{number}" in table, number


def test_every_sentence_speaks_the_units_of_the_case() -> None:
    found = laboratory()
    foreign = {"SI": r"degF|°F|psi|\bR\b|\blb\b|BTU|pound", "inch-pound": r"degC|°C|(?<!s )\bbar\b"
               r"|\d K\b|\bkg\b|\bmm\b|\d W\b|kilogram"}  # fmt: skip
    for units, words in foreign.items():
        spoken_in = in_units(found, units)
        verdicts = [judged_by(spoken_in, by) for by in get_args(Currency)]
        for variant in (
            *verdicts,
            *(VARIANTS[n](spoken_in) for n in VARIANTS if "stall" in n or "idle" in n),
        ):
            shown = make_text(variant, full=True).replace(found.case.title, "")
            assert not re.search(words, shown), (units, re.search(words, shown))
            assert not re.search(words, summarise(variant))


def test_a_limit_that_only_the_band_breaks_is_noted() -> None:
    found = laboratory()
    check = replace(found.limits[0], limit=440.0, bare=430.0, jacketed=439.6, low=435.0, high=445.0)
    (note,) = [n for n in spoken(replace(found, limits=(check,))).notes if n.name == "limit"]
    assert note.level == "note"
    assert "166.5 degC keeps its limit of 166.9 degC" in note.text and "172 degC" in note.text


@pytest.mark.parametrize("by", get_args(Currency))
def test_what_the_model_cannot_tell_is_said_with_its_band(by: Currency) -> None:
    found = laboratory()
    open_ = Interval(low=-1.5, value=0.004, high=0.02)
    band = replace(
        found.band,
        delivered_mass_flow=open_,
        specific_air_consumption=open_,
        discharge_temperature=open_,
    )
    found = replace(found, other=None)
    assessment = judged_by(replace(found, band=band), by)
    assert make_text(assessment).split("\n\n")[1].startswith(f"CANNOT TELL: {by}  ")
    told = " ".join(sentences_of(assessment)[0].split())
    assert told.startswith("With the jackets")
    ends = "-1.5 K to 0.0 K" if by == "discharge temperature" else "-150.0 % to +2.0 %"
    assert f", but the model range is {ends}" in told


def test_every_answer_can_be_given() -> None:
    found_answers = {judged(f).verdict.answer for f in ((1, 2, 3), (-3, -2, -1), (-1, 0, 1))}
    assert found_answers == set(get_args(Answer))


def test_what_moves_most_is_the_change_and_not_the_flow() -> None:
    """A member that doubles both flows moves the flow by 100 % and the change by nothing.

    Worked by hand: the stated change is +10 %; one member makes 2.2 out of 2, the other 1.2 out
    of 1.
    """
    whole = found("hot")
    flows = {"as stated": (1.1, 1.0), "both double": (2.2, 2.0), "the change doubles": (1.2, 1.0)}
    members = []
    for label, (jacketed, bare) in flows.items():
        new, old = (replace(o, delivered_mass_flow=f) for o, f in
                    ((whole.jacketed, jacketed), (whole.bare, bare)))  # fmt: skip
        members.append(replace(whole.band.members[0], label=label, jacketed=new, bare=old,
                               change=compare(new, old)))  # fmt: skip
    stated = members[0]
    told = what_drives(Pen(replace(
        whole, jacketed=stated.jacketed, bare=stated.bare, change=stated.change,
        band=replace(whole.band, members=tuple(members)),
    )))  # fmt: skip
    assert "change of delivery depends most on “the change doubles”: +10.0 percent" in told
    assert "Delivery itself moves by +9.1\u00a0% with the jackets" in told
    assert "by 0.0\u00a0% without them" in told
    assert "moves delivery most" not in told


@pytest.mark.parametrize(
    ("low", "stated", "said"),
    [
        (
            -0.03,
            0.014,
            "+1.4 % (-3.0 % to +1.4 %) from no jackets, so better or worse is not certain",
        ),
        (0.01, 0.014, "+1.4 % (+1.0 % to +1.4 %) from no jackets"),
        (-0.05, -0.014, "-1.4 % (-5.0 % to -1.4 %) from no jackets"),
    ],
)
def test_a_change_whose_band_holds_nought_cannot_be_told_from_bare(
    low: float, stated: float, said: str
) -> None:
    table = invented("jacket.pitch=20mm,30mm,40mm", number=lambda p, m: low if m else stated)
    told = " ".join(make_study_text(table).split())
    assert f", {said}" in told
    assert "no difference" not in told


def test_the_report_does_not_claim_when_limits_were_fixed() -> None:
    text = make_html(report_of(found("single")))
    assert "before the machine was solved" not in text
    assert "Rule and limits are those of the case file" in text


@pytest.mark.parametrize("part", ["readings", "supply_path", "pitch,readings"])
def test_parts_that_do_not_exist_are_not_offered(
    part: str, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert main(["report", str(CASE), "-o", str(tmp_path), "--with", part]) == 2
    assert "it takes pitch" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
    assert main(["report", "--help"]) == 0
    assert part.split(",")[-1] not in capsys.readouterr().out.replace("fills", "")
