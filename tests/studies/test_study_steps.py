"""Round steps of a range, steps that are given, and words in place of numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from study_sample import main_case

from jacketcalc.casefile.overrides import set_value
from jacketcalc.studies.axes import parse_axis
from jacketcalc.studies.grid import make_points
from jacketcalc.studies.steps import MOST_ROUND, round_values
from jacketcalc.studies.study import pitch_axis

CASE = main_case()


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        # By hand: the step is the smallest of 1, 2, 5 times a power of ten with 21 values at most.
        ("jacket.pitch=8mm:48mm", [f"{n} mm" for n in range(8, 49, 2)]),
        ("jacket.pitch=8.5mm:13mm", ["8.5 mm", *(f"{n / 2:g} mm" for n in range(18, 27))]),
        ("jacket.gap=8mm:4mm", [f"{8 - n / 5:g} mm" for n in range(21)]),
        ("jacket.gap=0.2in:0.4in", [f"{0.2 + n / 100:g} in" for n in range(21)]),
        ("supply.pressure=6bar(g):8bar(g):0.5bar",
         ["6 bar(g)", "6.5 bar(g)", "7 bar(g)", "7.5 bar(g)", "8 bar(g)"]),
        ("ambient.temperature=10degC:25degC:5K", ["10 degC", "15 degC", "20 degC", "25 degC"]),
        ("models.mixing=0:1:0.4", ["0", "0.4", "0.8"]),
        ("stage.first.clearance=5%:8%:1%", ["5 %", "6 %", "7 %", "8 %"]),
        ("jacket.pitch=8mm:48mm:3", ["8 mm", "28 mm", "48 mm"]),
        ("jacket.starts=4:1", ["4", "3", "2", "1"]),
    ],
)  # fmt: skip
def test_a_range_is_spread(typed: str, wanted: list[str]) -> None:
    assert list(parse_axis(CASE, typed).texts) == wanted


@given(st.floats(0.01, 1e4), st.floats(0.001, 1e4))
def test_values_inside_are_multiples_of_a_round_step(first: float, reach: float) -> None:
    last = first + reach
    found = [float(text) for text in round_values(first, last)]
    assert len(found) + 2 <= MOST_ROUND + 1
    if len(found) > 1:
        step = found[1] - found[0]
        mantissa = step / 10 ** math.floor(math.log10(step) + 1e-6)
        assert min(abs(mantissa - m) for m in (1.0, 2.0, 5.0)) < 1e-3
        assert all(first < value < last for value in found)


def test_pitches_are_round_where_nothing_is_asked_for() -> None:
    assert pitch_axis(CASE).texts == tuple(f"{n} mm" for n in range(8, 49, 2))
    inches = set_value(CASE, "document.units", "inch-pound")
    assert pitch_axis(inches).texts[:3] == ("0.3 in", "0.4 in", "0.5 in")
    assert pitch_axis(CASE, "10 mm", step="15mm").texts == ("10 mm", "25 mm", "40 mm")
    assert pitch_axis(CASE, count=3).texts == ("8 mm", "28 mm", "48 mm")


def test_words_are_varied_like_numbers() -> None:
    axis = parse_axis(CASE, "drive.material=brass, carbon steel")
    assert (axis.texts, axis.values, axis.words) == (("brass", "carbon steel"), (0.0, 1.0), True)
    machines = [point.machine for point in make_points(CASE, [axis])]
    assert [m.drive.material.name for m in machines if m] == ["brass", "carbon steel"]
    goals = parse_axis(CASE, "exhaust.port_1.to=first,atmosphere")
    assert [p.machine.exhaust_1.to for p in make_points(CASE, [goals]) if p.machine] == [
        "first", "atmosphere",
    ]  # fmt: skip
