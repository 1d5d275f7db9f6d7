"""What the shop can make: lists of sizes, and what of a drawn jacket cannot be made.

Widths, steps and turns are worked out by hand from `tests/machines/single.toml`: pitch 28 mm, rib
3 mm, gap 7 mm, 1 start over 100 mm, tubes of 12 mm.
"""

from __future__ import annotations

import re

import pytest
from case_problems import find_problems
from places import CASES
from unjacketed import MAKE, with_make

from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.inputs import Case, Make
from jacketcalc.makeable import list_unmade, say_unmade
from jacketcalc.show.case_text import describe_case

SINGLE = (CASES / "single.toml").read_text("utf-8")


def case(**make: str) -> Case:
    lines = "".join(f"{key} = {value}\n" for key, value in make.items())
    return read_case_text(with_make(SINGLE, f'[make]\n{lines}source = "invented"\n\n'))


def unmade(**make: str) -> str:
    return say_unmade(list_unmade(case(**make)))


def test_lists_are_read_in_their_units_and_rise() -> None:
    read = case(cutter_widths='"0.5 in, 12 mm"', tube_bores='"10mm"').make
    assert read == Make(cutter_widths=(0.012, 0.0127), tube_bores=(0.010,))
    assert read_case_text(SINGLE).make == Make()


@pytest.mark.parametrize(
    ("typed", "name", "marked"),
    [
        ("8 mm, 9 qx", "unit-unknown", "9 qx"),
        ("8 mm, 8 mm", "sizes-wrong", "8 mm"),
        ("8 mm, -2 mm", "sizes-wrong", "-2 mm"),
        ("8 mm, ", "number-unreadable", ""),
        ("8, 9 mm", "unit-missing", "8"),
    ],
)
def test_a_wrong_size_of_a_list_is_told_at_its_place(typed: str, name: str, marked: str) -> None:
    text = with_make(SINGLE, f'[make]\ntube_bores = "{typed}"\nsource = "invented"\n\n')
    (problem,) = find_problems(text)
    assert problem.name == name
    place = problem.text[problem.column - 1 :][: problem.width]
    assert place == marked or not marked
    assert problem.text.startswith("tube_bores")


def test_nothing_stated_leaves_everything_free() -> None:
    assert unmade() == ""


def test_each_thing_that_cannot_be_made_is_named() -> None:
    assert unmade(step='"1 mm"') == ""
    assert unmade(step='"2 mm"') == (
        "stage.main: gap 7 mm is not in steps of 2 mm, rib 3 mm is not in steps of 2 mm"
    )
    assert unmade(smallest_rib='"3.2 mm"') == "stage.main: rib 3 mm is thinner than 3.2 mm"
    assert unmade(cutter_widths='"25 mm"') == ""
    assert unmade(cutter_widths='"20 mm, 24 mm"') == (
        "stage.main: no cutter is 25 mm wide (20 mm, 24 mm)"
    )
    # 100 mm over a lead of 28 mm.
    assert unmade(least_turns="3.5") == ""
    assert unmade(least_turns="3.6") == "stage.main: 3.57 turns are fewer than 3.6"
    bore = re.search(r'tube = { bore = "([\d.]+) mm"', SINGLE)
    assert bore is not None
    said = f"tube {bore[1]} mm is not on the shelf (99 mm)"
    assert unmade(tube_bores='"99 mm"') == f"port_1: {said}; port_2: {said}"


def test_a_cutter_makes_the_pitch_whatever_the_step() -> None:
    assert "pitch" not in unmade(step='"5 mm"', cutter_widths='"25 mm"')
    assert "pitch 28 mm" in unmade(step='"5 mm"')


def test_a_loose_rib_needs_no_cutter() -> None:
    loose = set_value(case(cutter_widths='"24 mm"'), "jacket.rib_joint", "loose")
    assert list_unmade(loose) == ()


def test_check_says_it_with_the_notes() -> None:
    text = describe_case(read_case_text(with_make(SINGLE, MAKE)))
    said = " ".join(text.split())
    assert "As drawn it cannot be made with what [make] states: stage.main: no cutter" in said
    assert "cutter widths 12 mm, 16 mm, 20 mm, 27 mm" in said


def test_holes_that_are_filled_in_fall_on_the_step() -> None:
    """1.5 times 7 mm x 24.3 mm as a circle are 18.0 mm: 25 mm along the axis, 0.23 rad steep."""
    free = read_case_text(SINGLE).machine.stages[0].jacket
    bound = case(step='"2 mm"').machine.stages[0].jacket
    assert free is not None and bound is not None
    assert free.outlet_bore == pytest.approx(18.0e-3, abs=0.2e-3)
    assert bound.outlet_bore in (pytest.approx(16e-3), pytest.approx(18e-3))
    assert bound.outlet_bore <= free.outlet_bore
