"""Numbers and units as text, against Python's decimal arithmetic and the rules of the SI brochure.

SI brochure, 9th edition, section 5.4: a space between number and unit, powers raised, roman
units. Values worked out by hand stand beside their case.
"""

from __future__ import annotations

import unicodedata
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jacketcalc.number_text import (
    at_most,
    close_sum,
    decimals_for,
    fixed,
    percent,
    raised,
    significant,
    true_minus,
)
from jacketcalc.unit_display import typeset_unit

ORDINARY = st.floats(-1e6, 1e6).filter(lambda v: v == 0.0 or abs(v) > 1e-6)


@given(ORDINARY, st.integers(0, 6))
def test_fixed_is_the_nearest_with_its_decimals(value: float, decimals: int) -> None:
    text = fixed(value, decimals)
    exact, step = Decimal(value), Decimal(1).scaleb(-decimals)
    assert abs(Decimal(text) - exact) <= step / 2 + Decimal("1e-12")
    assert len(text.partition(".")[2]) == decimals
    assert not text.startswith("-") or Decimal(text) != 0


@given(ORDINARY, st.integers(0, 6))
def test_at_most_has_the_same_value_and_no_idle_zeros(value: float, decimals: int) -> None:
    text = at_most(value, decimals)
    assert Decimal(text) == Decimal(f"{value:.{decimals}f}")
    assert "." not in text or text[-1] not in "0."


@given(ORDINARY, st.integers(1, 9))
def test_significant_is_wrong_by_half_a_last_digit_at_most(value: float, digits: int) -> None:
    shown, exact = Decimal(significant(value, digits)), Decimal(value)
    last = Decimal(1).scaleb(exact.adjusted() - digits + 1) if exact else Decimal(1)
    assert abs(shown - exact) <= last / 2


@given(st.integers(-999, 999))
def test_a_raised_power_reads_as_its_number(power: int) -> None:
    """Unicode says which character a superscript stands for."""
    read = unicodedata.normalize("NFKC", raised(power)).replace("−", "-")
    assert int(read) == power


@pytest.mark.parametrize(
    ("value", "signed", "share"),
    [(0.128, "+12.8 %", "12.8 %"), (-0.0004, "0.0 %", "0.0 %"), (None, "-", "-")],
)
def test_percent(value: float | None, signed: str, share: str) -> None:
    assert (percent(value), percent(value, sign=False)) == (signed, share)


def test_a_hyphen_is_a_minus_before_numbers_alone() -> None:
    told = true_minus("low-pressure air at -40.5 to -3, step 1-2, (-7)")
    assert told == "low-pressure air at −40.5 to −3, step 1-2, (−7)"


@pytest.mark.parametrize(
    ("symbol", "screen", "paper"),
    [
        ("W/(m2 K)", "W/(m² K)", "W/(m² K)"),
        ("degC", "°C", "°C"),
        ("um", "um", "µm"),
        ("bar(a)", "bar(a)", "bar"),
        ("BTU/(h ft2 R)", "BTU/(h ft² R)", "Btu/(h ft² R)"),
        ("cm3", "cm³", "cm³"),
    ],
)
def test_units_are_set(symbol: str, screen: str, paper: str) -> None:
    assert (typeset_unit(symbol), typeset_unit(symbol, paper=True)) == (screen, paper)


@given(st.lists(st.floats(-1e4, 1e4), max_size=20), st.integers(0, 3))
def test_rounded_parts_add_up_to_the_rounded_whole(values: list[float], decimals: int) -> None:
    parts = close_sum(values, decimals)
    unit = 10.0**-decimals
    assert all(abs(p - v) < unit * (1 + 1e-6) for p, v in zip(parts, values, strict=True))
    assert sum(parts) == pytest.approx(sum(values), abs=0.5 * unit * (1 + 1e-6))


def test_numbers_in_print() -> None:
    assert fixed(-0.0004, 2) == "0.00"
    assert fixed(None, 2) == fixed(float("inf"), 2) == "-"
    assert percent(0.128) == "+12.8 %" and percent(-0.0004) == "0.0 %"
    assert decimals_for([0.0, None], 3) == 0
    assert decimals_for([1234.5, 2.0], 4) == 0
    assert decimals_for([0.0123], 3) == 4
