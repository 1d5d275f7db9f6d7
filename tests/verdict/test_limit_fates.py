"""What the jackets do to each limit: kept, mended, broken or newly broken, named and counted."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import get_args

import pytest
from judged_case import headline_of, judged, plain, told_by
from report_sample import report_of

from jacketcalc.assessment.result import LimitCheck, LimitCount
from jacketcalc.assessment.standing import count_limits
from jacketcalc.assessment.standing_words import say_count
from jacketcalc.assessment.verdict import RULES, summarise
from jacketcalc.inputs import Currency
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import make_json

ZERO = 273.15


def limit(
    bare: float, jacketed: float, most: float = 260.0, what: str = "seal (PTFE), second"
) -> LimitCheck:
    """Make an upper limit with its two temperatures, in degC."""
    return LimitCheck(
        what=what, kind="at most", limit=most + ZERO, bare=bare + ZERO, jacketed=jacketed + ZERO,
        low=jacketed + ZERO, high=jacketed + ZERO,
    )  # fmt: skip


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
    # Limits, what the first screen counts of them, and what the sentence names.
    ((KEPT,), "0 mended, 0 newly broken, 0 broken in both; 1 of 1 kept.", ()),
    ((KEPT, BOTH), "0 mended, 0 newly broken, 1 broken in both; 1 of 2 kept. Broken in both: "
     "discharge, second: 170 degC, without 283 degC, limit 150 degC.", ()),
    ((MENDED, KEPT), "1 mended, 0 newly broken, 0 broken in both; 1 of 2 kept. Mended: seal (PTFE),"
     " second: 161 degC, without 297 degC, limit 260 degC.",
     ("The jackets mend a limit: seal (PTFE), second, 161 degC with them and 297 degC without, at "
      "most 260 degC asked.",)),
    ((BROKEN, KEPT), "0 mended, 1 newly broken, 0 broken in both; 1 of 2 kept. Newly broken: "
     "discharge temperature, first: 155 degC, without 140 degC, limit 150 degC.",
     ("The jackets newly break a limit: discharge temperature, first, 155 degC with them and 140 "
      "degC without, at most 150 degC asked.",)),
    ((MENDED, BROKEN, BOTH), "1 mended, 1 newly broken, 1 broken in both; 0 of 3 kept. Newly "
     "broken: discharge temperature, first: 155 degC,",
     ("mend a limit: seal", "newly break a limit: discharge temperature, first")),
    ((MENDED,) * 5, "5 mended, 0 newly broken, 0 broken in both; 0 of 5 kept. Mended: seal (PTFE), "
     "second: 161 degC, without 297 degC, limit 260 degC; 4 more.",
     ("The jackets mend 5 limits: seal", "; and 2 more.")),
]  # fmt: skip


@pytest.mark.parametrize(("limits", "counted", "said"), NAMED)
@pytest.mark.parametrize(
    ("answer", "flow"),
    [
        ("PAYS", (4.0, 6.9, 9.0)),
        ("DOES NOT PAY", (-9.0, -6.9, -4.0)),
        ("CANNOT TELL", (-2.0, 1.0, 4.0)),
    ],
)
def test_limits_are_named_and_counted_and_never_change_the_headline(
    answer: str,
    flow: tuple[float, float, float],
    limits: tuple[LimitCheck, ...],
    counted: str,
    said: tuple[str, ...],
) -> None:
    assessment = judged(flow, limits=limits)
    assert assessment.verdict.headline == headline_of(assessment) == answer
    screen = make_text(assessment).split("\n\n")
    assert "limit" not in screen[1].lower()
    assert plain(screen[2]).replace("°C", "degC").startswith(f"LIMITS {counted}")
    for reader, words in told_by(assessment).items():
        assert words.startswith(f"{answer}: "), reader
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
    statements = report_of(judged((4.0, 6.9, 9.0), limits=(BROKEN,))).cover.statements
    assert [s.tone for s in statements[:2]] == ["good", "bad"]


def test_the_currencies_have_one_rule_for_limits() -> None:
    for by in get_args(Currency):
        for limits in ((MENDED,), (BROKEN,), (MENDED, BROKEN)):
            plainly = judged((4.0, 6.9, 9.0), by=by).verdict.answer
            assert judged((4.0, 6.9, 9.0), limits=limits, by=by).verdict.answer == plainly
