"""Two readings of bare and an imposed rate: both are judged, and named where they differ.

What each sentence must hold was written down from the tables of constructed outcomes below; the
cases of the first two are those that reviewers reported.
"""

from __future__ import annotations

import pytest
from judged_case import judged, narrow, same, told_by
from report_sample import report_of

READINGS: list[tuple[tuple[float, ...], tuple[float, ...], str, tuple[str, ...]]] = [
    # judge.no_jackets alone turned "cannot tell, -1.6 %" into "pays, +8.7 %" for a reviewer.
    ((-4.0, -1.6, 1.0), (6.0, 8.7, 11.0), "CANNOT TELL / PAYS",
     ("The answer depends on where the exhaust goes without jackets. "
      "Cannot tell, -1.6 % (-4.0 % to +1.0 %), against direct exhaust; "
      "pays, +8.7 % (+6.0 % to +11.0 %), against the exhaust through its tube.",)),
    ((-9.0, -7.0, -5.0), (-2.0, 0.5, 2.0), "DOES NOT PAY / CANNOT TELL",
     ("Does not pay, -7.0 %", "cannot tell, +0.5 %")),
    ((4.0, 6.9, 9.0), (5.0, 7.3, 9.0), "PAYS",
     ("delivers 6.9 % more than with direct exhaust and 7.3 % more than with the exhaust through "
      "its tube:",)),
    ((-2.0, 0.0, 2.0), (-1.0, 0.9, 3.0), "CANNOT TELL",
     ("delivers the same as with direct exhaust and 0.9 % more than with the exhaust",
      "but the model range is -2.0 % to +2.0 % and -1.0 % to +3.0 %")),
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
    assert assessment.verdict.headline == headline
    for reader, words in told_by(assessment).items():
        assert words.startswith(f"{headline}: "), reader
        for part in said:
            assert part in words, reader
    assert [s.reference for s in assessment.verdict.standings] == [
        "exhaust direct",
        "exhaust through tube",
    ]


def test_one_reading_needs_no_name() -> None:
    for words in told_by(judged((4.0, 6.9, 9.0))).values():
        assert words.startswith("PAYS: With the jackets the machine delivers 6.9 % more: each")
        assert "direct exhaust" not in words


def test_a_cover_that_says_two_things_has_no_colour_of_one() -> None:
    assert report_of(judged((4.0, 6.9, 9.0))).cover.statements[0].tone == "good"
    assert report_of(judged((4.0, 6.9, 9.0), (-1.0, 1.0, 2.0))).cover.statements[0].tone == "open"
    assert (
        report_of(judged((4.0, 6.9, 9.0), free=(4.0, 5.0, 6.0))).cover.statements[0].tone == "open"
    )


def test_an_imposed_rate_is_said_with_the_machine_left_free() -> None:
    """A reviewer's machine: cannot tell, -3.5 %, became pays, +5.4 %, by its measured rate."""
    for reader, words in told_by(judged((3.0, 5.4, 8.0), free=(-8.0, -3.5, 1.0))).items():
        assert words.startswith("PAYS AT THE IMPOSED RATE: "), reader
        assert "The cycle rate of 0.8 a second is imposed." in words
        assert "Without an imposed rate, delivery: cannot tell, -3.5 % (-8.0 % to +1.0 %)" in words


def test_the_machine_left_free_is_the_case_without_the_entry() -> None:
    """Held at a cycle a second, less than half of its own rate, what does not pay seems to."""
    imposed, free = narrow("1 1/s"), narrow("")
    assert (imposed.verdict.answer, free.verdict.answer) == ("pays", "does not pay")
    assert imposed.verdict.headline.startswith("PAYS AT THE IMPOSED RATE")
    loss = 100 * free.change.delivered_mass_flow
    assert loss < -2.0
    assert f"Without an imposed rate, delivery: does not pay, {loss:.1f} % (" in (
        imposed.verdict.sentence
    )
    left = [s for s in imposed.verdict.standings if s.rate == "not imposed"]
    for one, two in zip(left, free.verdict.standings, strict=True):
        same(one, two)


def test_each_bare_machine_is_judged_as_if_it_were_asked_for() -> None:
    """The other reading of one case is the first of the case that names the other machine."""
    straight, tube = narrow(""), narrow("", "exhaust through tube")
    same(straight.verdict.standings[0], tube.verdict.standings[1])
    same(straight.verdict.standings[1], tube.verdict.standings[0])
    assert straight.verdict.standings[0].delivered_mass_flow.value == (
        straight.change.delivered_mass_flow
    )
