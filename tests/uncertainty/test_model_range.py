"""The model range: which laws are taken otherwise, and that its ends are ends."""

from __future__ import annotations

from functools import cache

import pytest
from bench_sample import NAMES, shipped

from jacketcalc import assess
from jacketcalc.assessment.model_range import IN_CYLINDER_SPAN, LEAST, MOST, list_members
from jacketcalc.assessment.result import Assessment
from jacketcalc.casefile.overrides import set_value


@cache
def assessed(name: str) -> Assessment:
    return assess(shipped(name))


def test_the_members_are_labelled_and_begin_with_the_case_as_stated() -> None:
    machine = shipped().machine
    members = list_members(machine)
    assert [member.label for member in members] == [
        "nominal",
        "jacket heat transfer low", "jacket heat transfer high",
        "in-cylinder mixing none", "in-cylinder mixing full",
        "in-cylinder law x 0.67", "in-cylinder law x 2",
        "film outside x 0.7", "film outside x 2.5",
        "all together, least", "all together, most",
    ]  # fmt: skip
    assert members[0].apply(machine) is machine
    assert [m.label for m in list_members(machine, ranged=False)] == ["nominal"]
    alone = {m.label for m in members if m.jackets_alone}
    assert alone == {"nominal", "jacket heat transfer low", "jacket heat transfer high"}


def test_spans_count_from_what_the_case_states() -> None:
    case = set_value(shipped(), "models.in_cylinder_factor", 1.5)
    case = set_value(case, "ambient.film_factor_high", 4.0)
    found = {m.label: m.apply(case.machine) for m in list_members(case.machine)}
    low, high = (factor * 1.5 for factor in IN_CYLINDER_SPAN)
    assert found["in-cylinder law x 0.67"].models.in_cylinder_factor == pytest.approx(low)
    assert found["in-cylinder law x 2"].models.in_cylinder_factor == pytest.approx(high)
    assert found["film outside x 4"].ambient.film_factor == 4.0
    both = found[LEAST]
    assert (both.models.jacket, both.models.mixing) == ("low", 0.0)
    assert both.models.in_cylinder_factor == pytest.approx(low)
    assert both.ambient.film_factor == 4.0


@pytest.mark.parametrize("name", NAMES)
def test_all_together_are_the_ends_of_the_range(name: str) -> None:
    members = {m.label: m for m in assessed(name).band.members}
    assert len(members) == 11
    changes = {label: m.change.delivered_mass_flow for label, m in members.items()}
    assert min(changes, key=changes.__getitem__) == LEAST
    assert max(changes, key=changes.__getitem__) == MOST


@pytest.mark.parametrize("name", NAMES)
def test_the_range_is_that_of_its_members(name: str) -> None:
    band = assessed(name).band
    members = band.members
    for found, values in (
        (band.delivered_mass_flow, [m.change.delivered_mass_flow for m in members]),
        (band.specific_air_consumption, [m.change.specific_air_consumption for m in members]),
        (band.discharge_temperature,
         [m.jacketed.hottest_discharge - m.bare.hottest_discharge for m in members]),
    ):  # fmt: skip
        assert (found.low, found.value, found.high) == (min(values), values[0], max(values))
    for m in members:
        ratio = m.jacketed.delivered_mass_flow / m.bare.delivered_mass_flow
        assert m.change.delivered_mass_flow == pytest.approx(ratio - 1.0, rel=1e-12)


@pytest.mark.parametrize("name", NAMES)
def test_the_machine_without_jackets_has_the_same_laws_as_its_pair(name: str) -> None:
    found = assessed(name)
    alone = {m.label for m in list_members(found.case.machine) if m.jackets_alone}
    stated = found.bare.delivered_mass_flow
    for member in found.band.members:
        flow = member.bare.delivered_mass_flow
        if member.label in alone:
            assert flow == stated
        else:
            assert abs(flow / stated - 1.0) > 1e-5, member.label
