"""How problems of a case are printed: all at once, in order, each with its line and place."""

from __future__ import annotations

import re

import pytest
from broken import FULL
from case_problems import find_problems

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.rendering import render_problems
from jacketcalc.errors import CaseError


def test_all_problems_of_a_file_are_found_at_once_and_in_order() -> None:
    text = (
        FULL.replace('switching_time = "30 ms"', "switching_time = 30 ms")
        .replace('rod_1 = "12 mm"', 'rod_1 = "12 mm"\nrod_1 = "20 mm"')
        .replace('"40 cm3"', '"40 ccm"')
        .replace("[receiver]", "[reciever]")
        .replace('material = "stainless 304"', 'material = "stainles 304"')
    )
    problems = find_problems(text)
    assert [problem.name for problem in problems] == [
        "quotes-missing",
        "key-duplicate",
        "unit-unknown",
        "unit-unknown",
        "material-unknown",
        "key-unknown",
    ]
    assert [problem.line for problem in problems] == sorted(problem.line for problem in problems)
    assert problems[-1].fix == 'write "receiver" for "reciever"'


def test_a_line_without_quotes_still_has_its_key_checked() -> None:
    text = FULL.replace('switching_time = "30 ms"', "  switching_tme = 30 ms")
    found = [(p.name, p.column) for p in find_problems(text)]
    assert found == [("key-unknown", 3), ("quotes-missing", 19)]
    assert find_problems(text)[0].fix == 'write "switching_time" for "switching_tme"'


@pytest.mark.parametrize("units, unit", [("SI", "mm"), ("inch-pound", "in")])
def test_sizes_speak_the_units_of_the_case_and_mend_it_as_typed(units: str, unit: str) -> None:
    """A size offered as `or less` is rounded so that typing it is enough."""
    sound = FULL.replace('units = "SI"', f'units = "{units}"')
    jacket = r"(?ms)(^\[stage\.jacket\].*?^length = )[^\n]*"
    text = re.sub(jacket, r'\1"301 mm"', sound)
    problems = find_problems(text)
    assert [problem.name for problem in problems] == ["jacket-length"] * 2
    mended = text
    for problem in problems:
        assert problem.label.startswith("barrel ") and f" {unit}" in problem.label
        offered = re.fullmatch(rf"a length of ([\d.]+ {unit}) or less", problem.fix)
        assert offered is not None
        mended = mended.replace('length = "301 mm"', f'length = "{offered[1]}"', 1)
    assert find_problems(mended) == []
    text = sound.replace('"300 bar(g)"', '"5 bar(g)"').replace('"7 bar(g)"', '"20 bar(g)"')
    pressures = " ".join(p.label + p.why + p.fix for p in find_problems(text))
    assert ("psi(a)" in pressures, "bar(a)" in pressures) == (unit == "in", unit == "mm")


def test_the_smallest_place_is_marked_below_the_line_as_typed() -> None:
    text = FULL.replace('stroke = "120 mm"', 'stroke = "120 mmm"')
    with pytest.raises(CaseError) as caught:
        read_case_text(text, "a.toml")
    lines = render_problems(caught.value).split("\n")
    assert lines[0].startswith("a.toml:")
    number = text.split("\n").index('stroke = "120 mmm"') + 1
    assert lines[1] == f'  line {number}: stroke = "120 mmm"'
    assert lines[2].startswith("  here: >> mmm <<  ")


def test_problems_at_one_place_share_its_line() -> None:
    text = FULL.replace('rod_1 = "12 mm"', "").replace('rod_2 = "12 mm"', "")
    with pytest.raises(CaseError) as caught:
        read_case_text(text)
    shown = render_problems(caught.value)
    assert [problem.name for problem in caught.value.problems] == ["key-missing"] * 2
    assert shown.count(": [drive]") == 1 and shown.count("  here: ") == 1


def test_what_could_confuse_a_terminal_is_not_printed() -> None:
    text = FULL.replace('"supply"', '"sup\u009b31m\u202eply"')
    with pytest.raises(CaseError) as caught:
        read_case_text(text)
    shown = render_problems(caught.value)
    assert "\u009b" not in shown and "\u202e" not in shown
