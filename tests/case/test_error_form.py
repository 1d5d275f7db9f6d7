"""The form of an error: the line as typed, the place below it, in eighty columns, one red word."""

from __future__ import annotations

import re

import pytest
from broken import FULL, make_corpus

from jacketcalc.casefile.columns import count_columns, cut_columns, pad_columns, wrap_columns
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.rendering import render_problems
from jacketcalc.errors import CaseError, Problem


def shown(line: str, column: int, width: int, label: str = "wrong", color: bool = False) -> str:
    """Return how a problem at a place of a line is printed."""
    problem = Problem(
        name="key-unknown", message="it is wrong", file="c.toml", line=7, column=column,
        text=line, width=width, label=label, why="a reason", fix="a cure",
    )  # fmt: skip
    return render_problems(CaseError([problem]), color)


def rows(text: str) -> dict[str, str]:
    """Return the rows of a problem by what they begin with."""
    found = re.findall(r"^  (line \d+|here|why|fix): (.*)$", text, re.M)
    return dict(found)


def test_a_problem_says_place_line_mark_reason_and_cure() -> None:
    assert shown('rib = "3 mm" # thin', 7, 6, "leaves -1 mm").split("\n") == [
        "c.toml:7:7: error: it is wrong [key-unknown]",
        '  line 7: rib = "3 mm" # thin',
        '  here: >> "3 mm" <<  leaves -1 mm',
        "  why: a reason",
        "  fix: a cure",
        "",
        "1 problem; nothing was computed.",
        "More on the first: jacketcalc remedy key-unknown",
        "",
    ]


@pytest.mark.parametrize("broken", make_corpus()[::9], ids=lambda broken: broken.label)
def test_every_broken_case_keeps_the_form(broken: object) -> None:
    """No bar beside a line, no line of carets; the mark holds what stands at the place."""
    with pytest.raises(CaseError) as caught:
        read_case_text(broken.text, "c.toml")  # type: ignore[attr-defined]
    text = render_problems(caught.value)
    for line in text.split("\n"):
        assert not re.match(r"\s*\d*\s*\|", line) and not re.fullmatch(r"[\s|]*[\^~]+.*", line)
        assert line.startswith("c.toml") or count_columns(line) <= 80
    for problem in caught.value.problems:
        place = problem.text[problem.column - 1 : problem.column - 1 + problem.width].rstrip()
        if place and count_columns(place) <= 48:
            assert f">> {place}" in text


def test_only_the_word_error_is_coloured() -> None:
    with pytest.raises(CaseError) as caught:
        read_case_text(FULL.replace('"120 mm"', '"120 mmm"').replace("[receiver]", "[tnak]"))
    colored = render_problems(caught.value, color=True)
    painted = re.findall(r"\x1b\[[0-9;]+m([^\x1b]*)\x1b\[0m", colored)
    assert painted == ["error"] * len(caught.value.problems)
    plain = re.sub(r"\x1b\[[0-9;]*m", "", colored)
    assert plain == render_problems(caught.value) and "\x1b" not in plain


def test_key_and_value_alike_are_told_apart() -> None:
    assert rows(shown('first = "first"', 1, 5))["here"] == ">> first <<  wrong"
    assert rows(shown('first = "first"', 10, 5))["here"] == 'first = ">> first <<  wrong'
    line = 'inlet = { C = "2 x", b = 0.3, cracking_pressure = "2 x" }'
    assert rows(shown(line, 51, 5))["here"] == '...cracking_pressure = >> "2 x" <<  wrong'


def test_places_without_letters_have_words() -> None:
    assert rows(shown("bore =", 7, 1))["here"] == "the end of the line  wrong"
    assert rows(shown("bore =   ", 8, 1))["here"] == "the end of the line  wrong"
    assert rows(shown("bore \u00a0= 1", 5, 1))["here"] == "a blank  wrong"
    assert rows(shown("a\t\t= 1", 2, 2))["here"] == "blanks  wrong"
    empty = rows(shown("", 1, 1))
    assert empty["line 7"] == "(empty)" and empty["here"] == "an empty line  wrong"
    assert rows(shown("bore = 1", 8, 0, ""))["here"] == ">> 1 <<"


def test_tabs_are_blanks_and_do_not_move_the_mark() -> None:
    found = rows(shown('\tbore\t=\t"3 mmm"', 12, 3))
    assert found == {"line 7": ' bore = "3 mmm"', "here": ">> mmm <<  wrong",
                     "why": "a reason", "fix": "a cure"}  # fmt: skip


@pytest.mark.parametrize("letter", ["x", "雷"])
@pytest.mark.parametrize("before", [0, 5, 40, 79, 200, 3000])
@pytest.mark.parametrize("behind", [0, 5, 40, 79, 200, 3000])
def test_a_long_line_is_cut_round_the_place(letter: str, before: int, behind: int) -> None:
    line = f"{letter * before}BORE{letter * behind}"
    text = shown(line, before + 1, 4)
    found = rows(text)
    quoted = found["line 7"]
    assert max(map(count_columns, text.split("\n"))) <= 80
    assert "BORE" in quoted and found["here"] == ">> BORE <<  wrong"
    assert quoted.strip(".") in line
    whole = count_columns(line) <= 80 - len("  line 7: ")
    assert (quoted == line) is whole
    assert quoted.startswith("...") is (not line.startswith(quoted.strip(".")))
    assert quoted.endswith("...") is (not line.endswith(quoted.strip(".")))


def test_a_long_place_and_a_long_label_stay_in_the_page() -> None:
    text = shown(f'title = "{"雷" * 300}"', 9, 302, "much too long " * 12)
    lines = text.split("\n")
    assert max(map(count_columns, lines)) <= 80
    assert lines[2].startswith('  here: >> "雷') and lines[2].endswith("雷... <<")
    assert " ".join(line.strip() for line in lines[3:6]) == ("much too long " * 12).strip()


def test_columns_are_those_of_unicode() -> None:
    """Unicode Standard Annex 11 (from memory): W and F take two columns, A and N one."""
    assert [count_columns(text) for text in ("bore", "雷", "Ｗ", "ｱ", "é", "e\u0301", "Ω", "")] == [
        4, 2, 2, 1, 1, 1, 1, 0,
    ]  # fmt: skip
    assert cut_columns("雷雷雷", 5) == "雷雷" and cut_columns("abc", 2) == "ab"
    assert pad_columns("雷", 4) == "雷  "
    assert wrap_columns("雷雷雷 ab  cd", 4, "-", "+") == ["-雷", "+雷", "+雷", "+ab", "+cd"]
    assert wrap_columns("", 10, "  head: ") == ["  head:"]
