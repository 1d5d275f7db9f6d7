"""Every number of a case leads to the field of the machine that it became, and to no other."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import Any

import pytest
from bench_sample import NAMES, shipped

from jacketcalc.casefile.describe import field_at
from jacketcalc.casefile.overrides import set_value
from jacketcalc.errors import CaseError
from jacketcalc.input_paths import field_path, read_field, with_numbers
from jacketcalc.inputs import Case, Given

NOT_OF_THE_MACHINE = ("judge", "make", "document", "materials", "reading")
"""Tables that are a question, a shop, a title, a material that several parts share, or a bench."""


def numbers(case: Case) -> list[Given]:
    """Return the entries of a case that are numbers of its machine."""
    return [
        given for given in case.given
        if field_at(given.path).kind in ("quantity", "count")
        and given.path.partition(".")[0] not in NOT_OF_THE_MACHINE
    ]  # fmt: skip


def differing(one: Any, two: Any, at: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
    """Return the paths of all fields in which two records differ."""
    if is_dataclass(one) and is_dataclass(two):
        names = [field.name for field in fields(one)]
        pairs = [(name, getattr(one, name), getattr(two, name)) for name in names]
        return set().union(*(differing(a, b, (*at, name)) for name, a, b in pairs))
    if isinstance(one, tuple) and isinstance(two, tuple):
        each = enumerate(zip(one, two, strict=True))
        return set().union(*(differing(a, b, (*at, i)) for i, (a, b) in each))
    return set() if one == two else {at}


@pytest.mark.parametrize("name", NAMES)
def test_every_number_is_found_with_the_value_that_was_read(name: str) -> None:
    case = shipped(name)
    held = numbers(case)
    assert len(held) > 60
    for given in held:
        steps = field_path(case.machine, given.path)
        assert steps is not None, given.path
        assert read_field(case.machine, steps) == given.value, given.path


@pytest.mark.parametrize("name", ["impact_laboratory", "single_stage"])
def test_a_number_set_by_its_path_is_the_number_read_from_a_changed_case(name: str) -> None:
    case = shipped(name)
    moved = 0
    for given in numbers(case):
        if field_at(given.path).kind == "count":
            continue
        value = float(given.value) * 0.999
        steps = field_path(case.machine, given.path)
        assert steps is not None
        try:
            again = set_value(case, given.path, value)
        except CaseError:
            # A size at its limit, which no smaller number keeps: the reader refuses, rightly.
            continue
        moved += 1
        typed = read_field(again.machine, steps)
        assert typed == pytest.approx(value, rel=1e-12, abs=1e-15), given.path
        set_here = with_numbers(case.machine, {steps: typed})
        filled = {
            field_path(again.machine, other.path) for other in again.given
            if other.assumed and field_at(other.path).rule
        }  # fmt: skip
        # Entries that are filled in from this one follow it when a case is read anew, as gauge
        # pressures follow the ambient pressure that they count from.
        if given.path == "ambient.pressure":
            filled |= {field_path(again.machine, o.path) for o in again.given if "(g)" in o.text}
        assert differing(set_here, again.machine) <= filled, given.path
    assert moved >= len(numbers(case)) - 8


def test_a_number_that_is_replaced_changes_its_own_field_alone() -> None:
    case = shipped("impact_laboratory")
    for given in numbers(case):
        steps = field_path(case.machine, given.path)
        assert steps is not None
        changed = with_numbers(case.machine, {steps: float(given.value) + 1.0})
        assert differing(case.machine, changed) == {steps}


def test_several_numbers_are_replaced_at_once_and_words_are_no_numbers() -> None:
    machine = shipped("impact_laboratory").machine
    first, second = (field_path(machine, f"stage.{s}.jacket.gap") for s in ("first", "second"))
    drive = field_path(machine, "drive.bore")
    assert first and second and drive
    changed = with_numbers(machine, {first: 1.0, second: 2.0, drive: 3.0})
    assert differing(machine, changed) == {first, second, drive}
    for path in ("models.jacket", "stage.third.bore", "stage.first", "exhaust.port_1.silencer.C",
                 "nothing", "drive.material"):  # fmt: skip
        assert field_path(machine, path) is None
