"""Sizes that only a fill needs are no inputs of the verdict, and change nothing of it."""

from __future__ import annotations

from command_line import CASE

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.uncertainty.uncertain import list_uncertain

PRESSURE = 'pressure = "190 bar(g)"'


def test_a_receiver_that_is_filled_adds_no_uncertain_input() -> None:
    text = CASE.read_text()
    filled = text.replace(PRESSURE, PRESSURE + '\nvolume = "50 L"\ncooled_by = "water bath"')
    with_, without = (
        {one.path for one in list_uncertain(read_case_text(own))} for own in (filled, text)
    )
    assert with_ == without and "receiver.pressure" in with_
