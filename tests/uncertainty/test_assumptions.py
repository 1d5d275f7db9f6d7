"""A case made of assumptions ends with those that could flip its answer; others are not asked.

What an assumption does is solved again here: the case changed by its path, in standard steps.
"""

from __future__ import annotations

import json
from functools import cache

import pytest
from command_line import laboratory

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.assumption import Assumption
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.summary import is_made_of_assumptions
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.quick_options import read_options
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.core.run import run
from jacketcalc.designs import Design, without_jackets
from jacketcalc.inputs import Case
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import make_object
from jacketcalc.studies.first_case import make_first_case
from jacketcalc.uncertainty.assumptions import (
    group_alike,
    list_assumed,
    with_assumptions,
)

ASKED = read_options(
    drive="80x100mm",
    stages="28mm",
    supply="6 bar(g)",
    receiver="40 bar(g)",
    tube="10mm",
    valve="2.5 dm3/(s bar)",
)


@cache
def found() -> Assessment:
    return with_assumptions(assess(read_case_text(make_first_case(ASKED))))


def gain(case: Case) -> float:
    """Change of the delivery from no jackets, exhaust direct, solved in standard steps."""
    pair = [Design(machine=case.machine),
            Design(machine=without_jackets(case.machine, tubes=False))]  # fmt: skip
    new, old = (result.outcome.delivered_mass_flow for result in run(pair))
    return new / old - 1.0


def test_five_are_told_those_that_flip_first() -> None:
    told = found().assumptions
    assert len(told) == 5
    assert [one.flips for one in told] == sorted((one.flips for one in told), reverse=True)
    base = found().change.delivered_mass_flow
    for one in told:
        ends = (one.at_low, one.at_high)
        assert one.flips is any((end > 0.0) != (base > 0.0) for end in ends)
    for flips in (True, False):
        reach = [max(abs(one.at_low - base), abs(one.at_high - base))
                 for one in told if one.flips is flips]  # fmt: skip
        assert reach == sorted(reach, reverse=True)


@pytest.mark.parametrize("place", range(5))
def test_an_assumption_does_what_the_case_changed_alone_does(place: int) -> None:
    """Coarse steps move a change by 0.3 % at most: see `tests/studies/test_made.py`."""
    one: Assumption = found().assumptions[place]
    ends = [(one.path, one.low), (one.path, one.high)]
    for (path, value), told in zip(ends, (one.at_low, one.at_high), strict=True):
        case = found().case
        if path == "tube.bore":
            # The jacket's inlet is filled in from the tube; an assumption moves the tube alone.
            inlet = case.machine.stages[0].jacket
            assert inlet is not None
            case = set_value(case, "jacket.inlet_bore", inlet.inlet_bore)
        assert gain(set_value(case, path, value)) == pytest.approx(told, abs=4e-3)


def test_what_was_told_is_no_assumption() -> None:
    paths = {one.path for one in list_assumed(found().case)}
    told = {"drive.bore", "drive.stroke", "stage.single.bore", "supply.pressure",
            "receiver.pressure"}  # fmt: skip
    assert not paths & told
    assert {"drive.moving_mass", "exhaust.port_1.tube.length", "valve.exhaust_path.C"} <= paths
    assert not any(path.startswith("models") for path in paths)


def test_tubes_of_both_ports_with_one_number_are_one_assumption() -> None:
    inputs = list_assumed(found().case)
    groups = group_alike(inputs)
    both = groups["tube.bore"]
    named = {f"exhaust.port_{port}.tube.bore" for port in (1, 2)}
    assert {inputs[i].path for i in both} == named
    assert sorted(place for own in groups.values() for place in own) == list(range(len(inputs)))
    case = set_value(found().case, "exhaust.port_2.tube.bore", "6 mm")
    apart = group_alike(list_assumed(case))
    assert len(apart["tube.bore"]) == 1 and len(apart["exhaust.port_2.tube.bore"]) == 1


def test_a_case_with_sources_is_not_asked() -> None:
    assert not is_made_of_assumptions(laboratory().case)
    assert with_assumptions(laboratory()) is laboratory()
    assert "Of what is assumed" not in make_text(laboratory())


def test_they_end_the_screen_within_its_width() -> None:
    text = make_text(found())
    lines = text.rstrip("\n").split("\n")
    assert max(map(len, lines)) <= 80 and len(lines) <= 33 + 1 + 6
    assert lines[-6].startswith("Of what is assumed ")
    for line, one in zip(lines[-5:], found().assumptions, strict=True):
        assert one.path in line and line.startswith("! ") is one.flips
        assert line.endswith("%")
    assert make_text(found(), full=True).rstrip("\n").split("\n")[-5:] == lines[-5:]


def test_the_json_names_them_with_units() -> None:
    told = json.loads(json.dumps(make_object(found())["assumptions"]))
    assert [one["path"] for one in told] == [one.path for one in found().assumptions]
    assert all(one["unit"] for one in told)
    assert make_object(laboratory())["assumptions"] == []
