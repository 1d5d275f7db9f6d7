"""The first screen: within 29 lines and 80 columns, and every number of it the computed one."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest
from changed import VARIANTS, judged_by, stalled
from command_line import laboratory
from first_screen_reader import statements_of, varied
from judged_case import judged
from printed import near
from report_sample import found
from report_sample import stalled as against_high_pressure

from jacketcalc.assessment.compare import compare, make_band
from jacketcalc.assessment.result import Assessment, LimitCheck
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.core.outcome import Outcome
from jacketcalc.inputs import Currency
from jacketcalc.show.text import make_text

ESCAPE = re.compile(r"\x1b\[[0-9;]*m")
TWO, FREE = (6.0, 8.7, 11.0), (-8.0, -3.5, 1.0)


def broken(what: str, bare: float, jacketed: float) -> LimitCheck:
    return LimitCheck(what=what, kind="at most", limit=423.15, bare=bare, jacketed=jacketed,
                      low=jacketed, high=jacketed)  # fmt: skip


LONG = "barrel service temperature (a steel with a very long name of its own), stage of many words"
THREE = (broken(LONG, 430.0, 400.0), broken(LONG, 400.0, 430.0), broken(LONG, 440.0, 430.0))


def monster(stated: tuple[float, float, float]) -> Assessment:
    """Everything that can stand on the screen at once, all of it long."""
    whole = judged(stated, (-200.0, 8.7, 211.0), free=FREE, limits=THREE)
    verdict = replace(whole.verdict, missing=("one did not settle",))
    even = replace(whole.conductance, break_even=None, break_even_words="no search " * 20)
    case = replace(whole.case, title="A long title " * 20, file="a/folder/of some words.toml")
    return replace(whole, verdict=verdict, conductance=even, case=case)


def losing_a_member(whole: Assessment) -> Assessment:
    """Return an assessment one member of whose range stalls with jackets."""
    first, second, *rest = whole.band.members
    lost = stalled(second.jacketed)
    members = (first, replace(second, jacketed=lost, change=compare(lost, second.bare)), *rest)
    return replace(whole, other=None, band=make_band(members, first))


MADE: dict[str, Callable[[], Assessment]] = {
    **{name: lambda name=name: VARIANTS[name](laboratory()) for name in VARIANTS},
    **{by: lambda by=by: judged_by(found("hot"), by) for by in get_args(Currency)},
    "pays": lambda: judged((4.0, 6.9, 9.0)),
    "does not pay": lambda: judged((-9.0, -6.9, -4.0)),
    "cannot tell": lambda: judged((-4.0, -1.6, 1.0)),
    "two answers": lambda: judged((-4.0, -1.6, 1.0), TWO),
    "two longer answers": lambda: judged((-9.0, -6.9, -4.0), (-1.0, 0.5, 2.0)),
    "imposed rate": lambda: judged((3.0, 5.4, 8.0), free=FREE),
    "two answers at an imposed rate": lambda: judged((-9.0, -6.9, -4.0), TWO, free=FREE),
    "a member stalls": lambda: judged_by(losing_a_member(found("hot")), "specific air consumption"),
    "changes of thousands": lambda: varied({"in-cylinder mixing full": 1234.5}, nominal=-0.999),
    "little": lambda: replace(found("hot"), bare=little(), jacketed=little()),
    "stalled": against_high_pressure,
    "pays, all at once": lambda: monster((4.0, 6.9, 9.0)),
    "does not pay, all at once": lambda: monster((-9.0, -6.9, -4.0)),
    "cannot tell, all at once": lambda: monster((-4.0, -1.6, 1.0)),
}  # fmt: skip


def little() -> Outcome:
    return replace(found("hot").bare, delivered_mass_flow=1.2345e-12)


@pytest.mark.parametrize("units", ["SI", "inch-pound"])
@pytest.mark.parametrize("name", MADE)
def test_it_keeps_to_the_screen_and_colour_adds_only_escapes(name: str, units: str) -> None:
    made = MADE[name]()
    document = replace(made.case.document, units=units)
    made = replace(made, case=replace(made.case, document=document))
    text = make_text(made)
    for shown in (text, make_text(made, ascii_only=True)):
        lines = shown.removesuffix("\n").split("\n")
        assert len(lines) < 30
        assert max(map(len, lines)) <= 80
        assert all(line == line.rstrip() for line in lines) and "\n\n\n" not in shown
        assert not re.search(r"\b(nan|inf|None)\b|[-+] ?%", shown)
    if name != "letters":
        make_text(made, ascii_only=True).encode("ascii")
    coloured = make_text(made, color=True)
    assert "\x1b[" in coloured and ESCAPE.sub("", coloured) == text


@pytest.mark.parametrize("name", MADE)
def test_caution_answer_limits_and_next_stand_in_this_order(name: str) -> None:
    made = MADE[name]()
    head, answer, *_ = make_text(made).split("\n\n")
    assert " ".join(head.split("\n")[1:]) == CAUTION_BRIEF
    assert answer.startswith(made.verdict.headline)
    told = statements_of(make_text(made))
    order = ["LIMITS", "WATER", "STALL", "INPUTS", "LEFT OUT", "WHY", "LOSS", "NEXT"]
    assert list(told) == [head for head in order if head in told]
    assert told.keys() >= {"INPUTS", "NEXT"}
    assert ("LIMITS" in told) == (not made.jacketed.stalled)
    assert "--full" in told["NEXT"]


def test_a_range_one_of_whose_members_stalls_has_no_end() -> None:
    """That member delivers nothing, -100 %; its air for a delivered kilogram is endless."""
    whole = MADE["a member stalls"]()
    text = make_text(whole)
    first, *rest = [(m.bare, m.jacketed) for m in whole.band.members if not m.jacketed.stalled]
    assert len(rest) == len(whole.band.members) - 2
    air, *airs = [100 * (new.specific_air_consumption / old.specific_air_consumption - 1)
                  for old, new in (first, *rest)]  # fmt: skip
    flow, *flows = [100 * (new.delivered_mass_flow / old.delivered_mass_flow - 1)
                    for old, new in (first, *rest)]  # fmt: skip
    told = re.search(r"specific air consumption +(\S+) % +(\S+) % to no end$", text, re.M)
    assert told is not None and [air, min(airs)] == [near(printed) for printed in told.groups()]
    told = re.search(r"delivery +(\S+) % +-100.0 % to (\S+) %$", text, re.M)
    assert told is not None and [flow, max(flows)] == [near(printed) for printed in told.groups()]
    delivered, used = [line for line in text.split("\n") if "kg/kg" in line or "kg/h" in line]
    told = re.search(r" -100 to (\S+) %$", delivered)
    assert told is not None and max(flows) == near(told[1])
    told = re.search(r" (\S+) % to no end$", used)
    assert told is not None and min(airs) == near(told[1])


def test_limits_are_counted_as_they_were_judged() -> None:
    for name in ("hot", "single", "tight"):
        whole = found(name)
        told = statements_of(make_text(whole))["LIMITS"]
        counted = re.match(
            r"(\d+) mended, (\d+) newly broken, (\d+) broken in both; (\d+) of (\d+) kept\.", told
        )
        assert counted is not None
        # By hand from both temperatures of each limit, whatever the record calls its fate.
        pairs = []
        for c in whole.limits:
            sign = 1 if c.kind == "at most" else -1
            pairs.append((sign * c.bare <= sign * c.limit, sign * c.jacketed <= sign * c.limit))
        wanted = [pairs.count(p) for p in ((False, True), (True, False), (False, False))]
        assert [int(n) for n in counted.groups()] == [
            *wanted, pairs.count((True, True)), len(pairs)
        ]  # fmt: skip
        count = whole.verdict.limits
        assert [len(n) for n in (count.mended, count.newly_broken, count.broken_in_both,
                                 count.kept)] == [int(n) for n in counted.groups()[:4]]  # fmt: skip


def test_a_newly_broken_limit_is_named_whatever_else_gives_way() -> None:
    names = [f"seal (PTFE), stage {n}" for n in ("one", "two", "three")]
    limits = (broken(names[0], 430.0, 400.0), broken(names[1], 440.0, 430.0),
              broken(names[2], 400.0, 430.0))  # fmt: skip
    text = make_text(judged((-9.0, -6.9, -4.0), TWO, free=FREE, limits=limits))
    assert f"Newly broken: {names[2]}: 157 °C" in statements_of(text)["LIMITS"]


def test_limits_of_a_machine_that_stalls_without_jackets_are_those_with_them() -> None:
    text = make_text(VARIANTS["bare stalls"](laboratory()))
    assert statements_of(text)["LIMITS"] == "10 of 10 kept with jackets."
    whole = laboratory()
    hot = tuple(replace(c, limit=300.0) if c.what == "discharge temperature, second" else c
                for c in whole.limits)  # fmt: skip
    text = make_text(VARIANTS["bare stalls"](replace(whole, limits=hot)))
    told = statements_of(text)["LIMITS"]
    assert told.startswith("9 of 10 kept with jackets. Broken: discharge temperature, second: ")


def test_the_second_reading_and_the_free_machine_are_named() -> None:
    """Whichever machine without jackets the case names, the other one stands behind."""
    two = make_text(judged((-4.0, -1.6, 1.0), TWO))
    assert "Against exhaust through its tube: pays, +8.7 % (+6.0 % to +11.0 %)." in two
    whole = judged((-4.0, -1.6, 1.0), TWO)
    turned = replace(whole.verdict, standings=whole.verdict.standings[::-1])
    assert "Against direct exhaust: cannot tell, -1.6 % (-4.0 % to +1.0 %)." in make_text(
        replace(whole, verdict=turned)
    )
    free = make_text(judged((3.0, 5.4, 8.0), free=FREE))
    assert "Without the imposed rate: cannot tell, -3.5 % (-8.0 % to +1.0 %)." in free
    alone = make_text(judged((3.0, 5.4, 8.0)))
    assert "Against" not in alone and "imposed" not in alone


def test_a_file_is_named_where_it_can_be_typed() -> None:
    whole = laboratory()
    for file, said in (("b.toml", "pitch b.toml"), ("-", "pitch CASE"), ("", "pitch CASE"),
                       ("two words.toml", "pitch 'two words.toml'"), ("a" * 40, "pitch CASE"),
                       (str(Path("x" * 9, "y.toml")), "pitch xxxxxxxxx/y.toml")):  # fmt: skip
        text = make_text(replace(whole, case=replace(whole.case, file=file)))
        assert re.search(rf"jacketcalc {re.escape(said)}$", text, re.M), file
