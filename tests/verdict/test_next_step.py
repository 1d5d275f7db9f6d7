"""What to do next depends on the answer, and what would decide is named after CANNOT TELL."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import get_args

import pytest
from changed import VARIANTS, in_units
from command_line import laboratory
from first_screen_reader import FILM, JACKET, LAW, MIXING, statements_of, varied
from judged_case import judged
from report_sample import found

from jacketcalc.assessment.next_step import WAYS_TO_KNOW, choose_steps
from jacketcalc.assessment.result import Assessment, LimitCheck
from jacketcalc.inputs import Currency
from jacketcalc.show.text import make_text


def commands(assessment: Assessment) -> list[str]:
    return [step.command.partition(" ")[0] for step in choose_steps(assessment)]


def test_jackets_that_pay_ask_for_pitch_and_report() -> None:
    whole = judged((4.0, 6.9, 9.0))
    assert commands(whole) == ["pitch", "report"]
    told = statements_of(make_text(whole))["NEXT"]
    assert "jacketcalc pitch " in told and "jacketcalc report " in told


def test_a_newly_broken_limit_comes_before_the_pitch() -> None:
    check = LimitCheck(what="seal, first", kind="at most", limit=400.0, bare=390.0, jacketed=410.0,
                       low=410.0, high=410.0)  # fmt: skip
    whole = judged((4.0, 6.9, 9.0), limits=(check,))
    assert commands(whole) == ["assess", "pitch"]
    assert choose_steps(whole)[0].why == "The jackets break a limit: seal, first."


@pytest.mark.parametrize(
    ("even", "ratio", "said"),
    [
        (2.5, 1.875, "C must be above 2.50 times the valve's, it is 1.88."),
        (2.3344, 2.3341, "C must be above 2.3344 times the valve's, it is 2.3341."),
        (1.6, 4.2, ""),
        (None, 4.2, ""),
    ],
)
def test_jackets_that_do_not_pay_ask_for_a_wider_passage(
    even: float | None, ratio: float, said: str
) -> None:
    """Where no wider passage would do, for other jackets."""
    whole = judged((-9.0, -6.9, -4.0))
    conductance = replace(whole.conductance, break_even=even, ratio=ratio)
    whole = replace(whole, conductance=conductance)
    (step,) = choose_steps(whole)
    assert step.command.startswith("optimise ")
    assert step.why == (f"Widen the passage: {said}" if said
                        else "Search pitch, gap and starts for jackets that pay.")  # fmt: skip
    assert "jacketcalc optimise " in statements_of(make_text(whole))["NEXT"]


DECIDERS = [
    # Both straddle nought with the nominal gain of +1 %: the wider decides.
    ({**MIXING, **JACKET}, 0.01, "In-cylinder mixing", (-2.0, 6.0)),
    ({label: -gain for label, gain in {**MIXING, **JACKET}.items()}, -0.01,
     "In-cylinder mixing", (-6.0, 2.0)),
    # The wider does not straddle, the narrower does.
    ({"in-cylinder mixing none": 0.005, "in-cylinder mixing full": 0.2, **JACKET}, 0.01,
     "Jacket heat transfer", (-1.0, 3.0)),
    # Both ends lie on the other side of nought than the nominal gain.
    ({"in-cylinder mixing none": -0.02, "in-cylinder mixing full": -0.01,
      "jacket heat transfer low": 0.005, "jacket heat transfer high": 0.5}, 0.01,
     "In-cylinder mixing", (-2.0, 1.0)),
    # One end settled.
    ({"jacket heat transfer high": -0.01}, 0.01, "Jacket heat transfer", (-1.0, 1.0)),
    # An end at nought gains nothing and loses nothing.
    ({"jacket heat transfer low": 0.0, "in-cylinder mixing full": 0.3}, 0.01,
     "Jacket heat transfer", (0.0, 1.0)),
    # Each kind by itself, and the widest of all four.
    (LAW, 0.01, "In-cylinder law", (-3.0, 7.0)),
    (FILM, 0.01, "Film outside", (-0.5, 2.0)),
    ({**FILM, **JACKET, **LAW, **MIXING}, 0.01, "In-cylinder law", (-3.0, 7.0)),
    # Ends of all together are no kind of their own, however wide.
    ({**FILM, "all together, least": -0.5, "all together, most": 0.9}, 0.01,
     "Film outside", (-0.5, 2.0)),
]  # fmt: skip


@pytest.mark.parametrize("by", get_args(Currency))
@pytest.mark.parametrize(("gains", "nominal", "decides", "ends"), DECIDERS)
def test_what_decides_is_what_straddles_nought(
    gains: dict[str, float],
    nominal: float,
    decides: str,
    ends: tuple[float, float],
    by: Currency,
) -> None:
    """Gains put in by hand; less air and cooler discharge are gains with a minus sign."""
    whole = varied(gains, by, nominal)
    assert whole.verdict.answer == "cannot tell"
    first, second = choose_steps(whole)
    low, high = ends if by == "delivery" else (-ends[1], -ends[0])
    unit = "K" if by == "discharge temperature" else "%"
    said = re.fullmatch(r"(.*) decides \((\S+) (\S+) to (\S+) (\S+)\): measure .*\.", first.why)
    assert said is not None
    assert (said[1], said[3], said[5]) == (decides, unit, unit)
    assert (float(said[2]), float(said[4])) == pytest.approx((low, high), abs=1e-9)
    assert second.command == "optimise CASE -o best"
    text = make_text(whole)
    assert text.split("\n\n")[1].startswith("CANNOT TELL")
    assert statements_of(text)["NEXT"].startswith(f"{decides} decides (")


@pytest.mark.parametrize("by", get_args(Currency))
def test_what_only_decides_together_is_said_so_with_the_widest(by: Currency) -> None:
    """No kind straddles nought alone; the ends of all together do."""
    gains = {"in-cylinder mixing none": 0.005, "in-cylinder mixing full": 0.06,
             "film outside x 2.5": 0.002, "all together, least": -0.01}  # fmt: skip
    whole = varied(gains, by)
    assert whole.verdict.answer == "cannot tell"
    low, high = {"delivery": ("+0.5 %", "+6.0 %"), "specific air consumption": ("-6.0 %", "-0.5 %"),
                 "discharge temperature": ("-6.0 K", "-0.5 K")}[by]  # fmt: skip
    assert choose_steps(whole)[0].why == (
        f"No law decides alone; the widest is in-cylinder mixing ({low} to {high}): measure "
        "discharge with and without jackets."
    )


def test_what_decides_is_one_of_the_members_that_are_solved() -> None:
    """Labels as a user reads them; all but those of all together belong to a way to know."""
    labels = [m.label for m in found("hot").band.members]
    names = [*JACKET, *MIXING, *LAW, *FILM]
    assert labels == ["nominal", *names, "all together, least", "all together, most"]
    kinds = [next(kind for kind in WAYS_TO_KNOW if name.startswith(kind)) for name in names]
    assert kinds == [kind for kind in WAYS_TO_KNOW for _ in range(2)]


def test_an_endless_member_counts_as_the_widest() -> None:
    whole = varied({**JACKET, "in-cylinder mixing none": -math.inf}, "specific air consumption")
    assert choose_steps(whole)[0].why.startswith(
        "In-cylinder mixing decides (-1.0 % to no end): measure"
    )


def test_what_decides_speaks_the_units_of_the_case() -> None:
    """1 K is 1.8 R by definition."""
    whole = in_units(varied(MIXING, "discharge temperature"), "inch-pound")
    assert "decides (-10.8 R to +3.6 R): measure" in choose_steps(whole)[0].why


def test_without_members_there_is_no_range() -> None:
    whole = varied({})
    assert whole.verdict.answer == "cannot tell"
    assert [step.why for step in choose_steps(whole)] == ["No model range could be computed."]


def test_two_answers_ask_where_the_exhaust_goes() -> None:
    for stated, other in (((-4.0, -1.6, 1.0), (6.0, 8.7, 11.0)), ((6.0, 8.7, 9.0), (-4, -1, 1))):
        first, second, *_ = choose_steps(judged(stated, other))
        assert "where the exhaust goes without jackets" in first.why.lower() and not first.command
        assert "judge.no_jackets" in first.why
        assert second.command.startswith("pitch") or "decides" in second.why
    assert len(choose_steps(judged((4.0, 6.9, 9.0), (5.0, 7.3, 9.0)))) == 2


def test_a_machine_that_stalls_or_idles_asks_why() -> None:
    for name in VARIANTS:
        if "stall" in name or "idle" in name:
            (step,) = choose_steps(VARIANTS[name](laboratory()))
            assert step.command == "assess CASE --full"
            assert ("holds the piston" in step.why) == ("stall" in name)
