"""Entries set by their path: units kept, tables opened, the case checked again."""

from __future__ import annotations

import pytest
from broken import FULL

from jacketcalc.casefile.overrides import find_target, parse_text, set_value, with_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.template import make_template
from jacketcalc.errors import CaseError


@pytest.mark.parametrize(
    ("path", "value", "changed"),
    [
        ("stage.first.jacket.pitch", "28 mm", {"stage.first.jacket.pitch"}),
        ("jacket.pitch", 0.029, {"stage.first.jacket.pitch", "stage.second.jacket.pitch"}),
        ("stage.jacket.gap", "5 mm", {"stage.first.jacket.gap", "stage.second.jacket.gap"}),
        ("jacket.starts", "2", {"stage.first.jacket.starts", "stage.second.jacket.starts"}),
        ("tube.bore", "10 mm", {"exhaust.port_1.tube.bore", "exhaust.port_2.tube.bore"}),
        ("exhaust.port_2.tube.roughness", "9 um", {"exhaust.port_2.tube.roughness"}),
        ("valve.supply_path.C", 4e-8, {"valve.supply_path.C"}),
        ("drive.friction", 77.0, {"drive.friction"}),
        ("valve.cycle_rate", 0.5, {"valve.cycle_rate"}),
        ("receiver.pressure", 2e7, {"receiver.pressure"}),
        ("models.mixing", 0.5, {"models.mixing"}),
        ("ambient.temperature", 301.15, {"ambient.temperature"}),
        ("second.inlet.b", 0.2, None),
        ("stage.second.inlet.b", 0.2, {"stage.second.inlet.b"}),
    ],
)
def test_one_entry_is_set_by_its_path(
    path: str, value: str | float, changed: set[str] | None
) -> None:
    case = read_case_text(FULL)
    if changed is None:
        with pytest.raises(CaseError) as caught:
            set_value(case, path, value)
        assert caught.value.problems[0].name == "path-unknown"
        return
    other = set_value(case, path, value)
    before = {given.path: given.value for given in case.given if not given.assumed}
    after = {given.path: given.value for given in other.given if not given.assumed}
    assert {key for key in after if after[key] != before.get(key)} == changed
    if isinstance(value, float):
        for key in changed:
            assert after[key] == pytest.approx(value, rel=1e-12)
    assert other.text == with_value(case.text, path, value)


def test_tables_that_are_not_there_are_opened() -> None:
    start, end = FULL.index("[models]"), FULL.index("[materials")
    case = read_case_text(FULL[:start] + FULL[end:])
    assert set_value(case, "models.mixing", 0.5).machine.models.mixing == 0.5
    bare = make_template()
    changed = with_value(bare, "stage.second.inlet.b", 0.2)
    assert (
        read_case_text(changed).machine.stages[1].inlet.conductance.critical_back_pressure_ratio
        == 0.2
    )


def test_a_changed_case_is_checked_again() -> None:
    with pytest.raises(CaseError) as caught:
        set_value(read_case_text(FULL), "jacket.rib", "40 mm")
    assert [problem.name for problem in caught.value.problems] == ["rib-pitch"] * 2
    target = find_target(parse_text(FULL), "jacket.pitch")
    assert target.field.dimension == "length"
