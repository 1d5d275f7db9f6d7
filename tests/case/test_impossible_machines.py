"""Cases whose entries are sound one by one and whose machine cannot be."""

from __future__ import annotations

import re

import pytest
from broken import FULL
from case_problems import find_problems

from jacketcalc.casefile.schema_stage import MOST_STAGES
from jacketcalc.core.layout import constants

MACHINES = {
    "rib-pitch": ("rib = .*", 'rib = "30 mm"', 2),
    "jacket-length": ("^length = .*", 'length = "300 mm"', 2),
    "jacket-turns": ("pitch = .*", 'pitch = "0.14 m"', 2),
    "tip-gap": ("gap = .*", 'gap = "0.1 mm"', 2),
    "receiver-below-supply": ('pressure = "300 bar\\(g\\)"', 'pressure = "6 bar(g)"', 1),
    "dew-point": (
        'pressure_dew_point = "3 degC"',
        'pressure_dew_point = "30 degC"',
        1,
    ),
    "rod-bore": ("rod_1 = .*", 'rod_1 = "100 mm"', 1),
    "rod-missing": ("rod_2 = .*", 'rod_2 = "0 mm"', 1),
    "stage-bore": ('bore = "14 mm"', 'bore = "100 mm"', 1),
    "stroke-order": ("compresses_on_stroke = 1", "compresses_on_stroke = 2", 1),
    "stage-unknown": ('to = "second"', 'to = "higher"', 1),
    "name-taken": ('name = "second"', 'name = "first"', None),
    "stage-order": ('draws_from = "supply"', 'draws_from = "second"', 1),
    "line-unused": ('draws_from = "first"', 'draws_from = "supply"', 1),
    "value-range": ('pressure = "7 bar\\(g\\)"', 'pressure = "0.3 bar(g)"', 1),
    "barrel-short": ('bore = "14 mm"', 'bore = "14 mm"\nbarrel_length = "110 mm"', None),
    "material-unknown": ('"POM"', '"Delrn"', 2),
}
"""Kind of problem to the pattern and replacement that make it, and how often it is found."""


@pytest.mark.parametrize("name", MACHINES)
def test_machines_that_cannot_be(name: str) -> None:
    pattern, replacement, count = MACHINES[name]
    text = re.sub(f"(?m)(?<![a-z_]){pattern}", replacement, FULL)
    assert text != FULL
    found = [problem.name for problem in find_problems(text)]
    assert name in found
    if count is not None:
        assert found == [name] * count


def test_supply_limits_and_receiver_limit() -> None:
    for typed, sound in [
        ("1.4 bar(a)", False),
        ("1.5 bar(a)", True),
        ("16 bar(a)", True),
        ("16.1 bar(a)", False),
    ]:
        text = FULL.replace('"7 bar(g)"', f'"{typed}"')
        assert (find_problems(text) == []) is sound
    assert find_problems(FULL.replace('"300 bar(g)"', '"400 bar(a)"')) == []
    assert find_problems(FULL.replace('"300 bar(g)"', '"400 bar(g)"'))


def test_stage_counts() -> None:
    start, end = FULL.index("[[stage]]"), FULL.index("[receiver]")
    none = FULL[:start] + FULL[end:]
    assert "table-missing" in {problem.name for problem in find_problems(none)}
    empty = "stage = []\n" + none
    assert "stage-count" in {problem.name for problem in find_problems(empty)}
    more = [added_stage(name, before) for name, before in
            (("third", "second"), ("fourth", "third"), ("fifth", "fourth"))]  # fmt: skip
    for count in (1, 2, 3):
        text = FULL[:end] + "".join(more[:count]) + FULL[end:]
        found = [problem.name for problem in find_problems(text)]
        assert found == (["stage-count"] if count == 3 else [])


def added_stage(name: str, before: str) -> str:
    """The second stage of the full case again, on the same stroke, with a line that takes it."""
    start, end = FULL.rindex("[[stage]]"), FULL.index("[receiver]")
    text = FULL[start:end].replace('"second"', f'"{name}"').replace('"first"', f'"{before}"')
    return re.sub(r"(?m)^volume = .*", 'volume = "300 cm3"', text)


def test_a_line_leads_to_one_stage() -> None:
    """Two stages that draw from one are refused; two that draw from the supply are not."""
    end = FULL.index("[receiver]")
    text = FULL[:end] + added_stage("third", "first") + FULL[end:]
    assert [problem.name for problem in find_problems(text)] == ["stage-branch"]
    line = re.compile(r"(?s)\[stage\.line\].*?(?=\n\[)")
    beside = FULL[:end] + line.sub("", added_stage("third", "supply")) + FULL[end:]
    assert find_problems(beside) == []


def test_every_pair_in_series_needs_its_line() -> None:
    """The third stage pushes while the second does: its line must take what that sweeps."""
    end = FULL.index("[receiver]")
    small = added_stage("third", "second").replace("300 cm3", "5 cm3")
    found = find_problems(FULL[:end] + small + FULL[end:])
    assert [problem.name for problem in found] == ["stroke-order"]


def test_as_many_stages_as_the_core_has_room_for() -> None:
    assert constants()["MAX_STAGES"] == MOST_STAGES


def test_exhaust_to_a_stage_without_a_jacket() -> None:
    start = FULL.rindex("[stage.jacket]")
    text = FULL[:start] + FULL[FULL.index("[receiver]") :]
    assert [problem.name for problem in find_problems(text)] == ["jacket-missing"]
