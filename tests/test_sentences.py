"""What an assessment says: one set of units, what decides first, nothing of what stalls."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import get_args

import pytest
from changed import VARIANTS, in_units, judged_by, spoken
from command_line import laboratory

from jacketcalc.assessment.result import Interval
from jacketcalc.assessment.verdict import summarise
from jacketcalc.inputs import Currency
from jacketcalc.show.text import make_text


def test_what_stalls_has_a_reason_and_no_numbers() -> None:
    text = make_text(VARIANTS["both stall"](laboratory()))
    assert text.split("\n\n")[1].startswith("CANNOT TELL: The machine stalls in stage high")
    assert "bar(a)" in text and "delivered air" not in text and "LIMITS" not in text
    text = make_text(VARIANTS["jacketed stalls"](laboratory()))
    assert "COSTS: With the jackets the machine stalls" in text and "delivered air" in text
    for gone in ("WHERE THE CHANGE", "LIMITS", "COLD AND WATER", "frost", "condense"):
        assert gone not in text
    text = make_text(VARIANTS["bare stalls"](laboratory()))
    assert "PAYS: The bare machine stalls" in text and "LIMITS" in text


def test_what_delivers_nothing_has_a_reason_and_no_change() -> None:
    for name, said in (("both idle", "CANNOT TELL: The machine delivers nothing"),
                       ("jacketed idles", "COSTS: With the jackets the machine delivers nothing"),
                       ("bare idles", "PAYS: The bare machine delivers nothing")):  # fmt: skip
        text = make_text(VARIANTS[name](laboratory()))
        assert said in text
        assert "expands over the whole stroke" in " ".join(text.split())
        assert "delivered air" in text and "LIMITS" in text
        for gone in ("WHERE THE CHANGE", "OWN BAND", "lose", "same drive air"):
            assert gone not in text, gone
    for whose, name in (("jacketed", "jacketed idles"), ("bare", "bare idles")):
        notes = [n.text for n in VARIANTS[name](laboratory()).notes if n.name == "delivery"]
        assert len(notes) == 2
        assert all(f"of the {whose} machine delivers nothing" in text for text in notes)


@pytest.mark.parametrize("by", ["delivered flow", "drive air", "temperature"])
def test_all_three_currencies_are_told_whichever_judges(by: Currency) -> None:
    found = judged_by(laboratory(), by)
    _, verdict, more, *_ = make_text(found).split("\n\n")
    told = " ".join(f"{verdict} {more}".split())
    change = found.change
    assert f"{100 * change.delivered_mass_flow:.1f} %" in told
    assert f"{-100 * change.drive_air_per_kg:.1f} % less drive air" in told
    assert f"{-found.band.discharge_temperature.value:.0f} K cooler" in told
    assert "limit" in told
    assert found.other is not None
    other = 100 * found.other.change.delivered_mass_flow
    said = f"{other:.1f} % more than" if by == "delivered flow" else f"by {other:+.1f} % against"
    assert f"{said} " in told


def test_sentences_and_tables_agree_as_printed() -> None:
    """Each figure of the verdict stands in the table below it, to the same digits."""
    found = laboratory()
    _, verdict, _, *rest = make_text(found).split("\n\n")
    table = " ".join(rest).split()
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
            shown = make_text(variant).replace(found.case.title, "")
            assert not re.search(words, shown), (units, re.search(words, shown))
            assert not re.search(words, summarise(variant))


def test_a_limit_that_only_the_band_breaks_is_noted() -> None:
    found = laboratory()
    check = replace(found.limits[0], limit=440.0, bare=430.0, jacketed=439.6, low=435.0, high=445.0)
    (note,) = [n for n in spoken(replace(found, limits=(check,))).notes if n.name == "limit"]
    assert note.level == "note"
    assert "166.5 degC keeps its limit of 166.9 degC" in note.text and "172 degC" in note.text


@pytest.mark.parametrize("by", ["delivered flow", "drive air", "temperature"])
def test_what_the_model_cannot_tell_is_said_with_its_band(by: Currency) -> None:
    found = laboratory()
    open_ = Interval(low=-1.5, value=0.004, high=0.02)
    band = replace(
        found.band, delivered_mass_flow=open_, drive_air_per_kg=open_, discharge_temperature=open_
    )
    found = replace(found, other=None)
    text = make_text(judged_by(replace(found, band=band), by))
    told = " ".join(text.split("\n\n")[1].split())
    assert told.startswith("CANNOT TELL: With the jackets")
    ends = "-1.5 K to 0.0 K" if by == "temperature" else "-150.0 % to +2.0 %"
    assert f"though the model's own band runs from {ends}" in told
