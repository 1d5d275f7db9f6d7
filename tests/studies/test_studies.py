"""Studies solve what an assessment solves: one physics for one machine and for many."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

import pytest
from study_sample import COARSE, main_case, small_case

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.overrides import set_value
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.errors import CaseError
from jacketcalc.studies.axes import parse_axis
from jacketcalc.studies.columns import COOLING_ALONE, RESISTANCE_ALONE, list_columns
from jacketcalc.studies.grid import make_plan, make_points
from jacketcalc.studies.study import run_study

CASE = main_case()


def floats(record: object) -> Iterator[float]:
    """Return every number of a nest of records."""
    if isinstance(record, float):
        yield record
    elif dataclasses.is_dataclass(record):
        for field in dataclasses.fields(record):
            yield from floats(getattr(record, field.name))
    elif isinstance(record, (tuple, dict)):
        for item in record.values() if isinstance(record, dict) else record:
            yield from floats(item)


def test_designs_side_by_side_give_the_numbers_of_each_alone() -> None:
    tight = set_value(CASE, "jacket.pitch", "9 mm").machine
    high = set_value(CASE, "receiver.pressure", "390 bar(g)").machine  # beyond its stall pressure
    machines = [tight, CASE.machine, bare_machine(CASE.machine, "exhaust direct"), high]
    designs = [Design(machine=machine) for machine in machines]
    together = run(designs, resolution=COARSE)
    assert [r.outcome.stalled for r in together] == [False, False, False, True]
    for design, one in zip(designs[:2], together[:2], strict=True):
        alone = run([design], resolution=COARSE)[0]
        assert alone.failure == one.failure == ""
        assert len(list(floats(one.outcome))) > 80
        assert one == alone


def test_gas_beyond_the_property_table_spoils_no_neighbour() -> None:
    """A stage that delivers above 1000 K, beside one that does not."""
    glowing = small_case()
    for path, value in (
        ("receiver.pressure", "390 bar(g)"), ("supply.pressure", "5 bar(g)"),
        ("supply.temperature", "80 degC"), ("ambient.temperature", "50 degC"),
        ("drive.bore", "200 mm"), ("stage.bore", "17 mm"), ("stage.clearance", "0.5 %"),
        ("stage.material", "PTFE"), ("stage.wall_thickness", "20 mm"),
        ("stage.seal_friction", "0.3"),
    ):  # fmt: skip
        glowing = set_value(glowing, path, value)
    designs = [Design(machine=case.machine) for case in (small_case(), glowing)]
    plain, hot = run(designs)
    alone = run(designs[:1])[0]
    assert plain.failure == hot.failure == ""
    assert hot.outcome.stages[0].discharge_temperature > 1000.0
    assert plain == alone


def test_points_are_the_machines_of_the_changed_cases() -> None:
    typed = ("jacket.pitch=20mm,30mm", "receiver.pressure=200bar(g),300bar(g)")
    axes = [parse_axis(CASE, text) for text in typed]
    points = make_points(CASE, axes)
    changed = set_value(set_value(CASE, "jacket.pitch", "20 mm"), "receiver.pressure", "200 bar(g)")
    assert points[0].machine == changed.machine
    assert [p.texts for p in points] == [
        ("20 mm", "200 bar(g)"), ("20 mm", "300 bar(g)"),
        ("30 mm", "200 bar(g)"), ("30 mm", "300 bar(g)"),
    ]  # fmt: skip


def test_the_bare_machine_is_solved_once_for_each_member_that_it_feels() -> None:
    plan = make_plan(CASE, [parse_axis(CASE, "jacket.pitch=10mm:40mm:4")], split=False)
    # Eleven members of four points. Without jackets their heat transfer low and high is the nominal
    # machine again: nine machines. 30 mm is as drawn, so that only the nine other machines without
    # jackets come for the comparisons of the case as drawn.
    assert len(plan.designs) == 4 * 11 + 9 + 9
    assert len(make_plan(CASE, plan.axes, split=False, drawn=False).designs) == 4 * 11 + 9
    assert set(plan.bare) == {plan.bare[0]}
    bare = [plan.designs[i].machine for i in plan.bare[0]]
    laws = [(m.models.mixing, m.models.in_cylinder_factor, m.ambient.film_factor) for m in bare]
    mixing = CASE.machine.models.mixing
    assert laws == [
        *[(mixing, 1.0, 1.0)] * 3, (0.0, 1.0, 1.0), (1.0, 1.0, 1.0), (mixing, 0.67, 1.0),
        (mixing, 2.0, 1.0), (mixing, 1.0, 0.7), (mixing, 1.0, 2.5), (0.0, 0.67, 2.5),
        (1.0, 2.0, 0.7),
    ]  # fmt: skip
    assert {m.models.jacket for m in bare} == {CASE.machine.models.jacket}
    assert all(stage.jacket is None for machine in bare for stage in machine.stages)


def test_a_bare_machine_that_changes_is_solved_at_every_point() -> None:
    axes = [parse_axis(CASE, "receiver.pressure=200bar(g):300bar(g):3")]
    plan = make_plan(CASE, axes, drawn=False)
    # Eleven members, nine machines without jackets, cooling alone and resistance alone.
    assert len(plan.designs) == 3 * (11 + 9 + 2)
    alone = make_plan(CASE, plan.axes, band=False, drawn=False)
    assert len(alone.designs) == 3 * 2 and set(alone.alone) == {()}


OTHERS = ("in-cylinder law x 0.67", "in-cylinder law x 2", "film outside x 0.7",
          "film outside x 2.5", "all together, least", "all together, most")  # fmt: skip


def test_a_varied_law_is_not_overwritten_by_the_model_range() -> None:
    """Not by the members of its own kind, which are left out, nor by all together."""
    plan = make_plan(CASE, [parse_axis(CASE, "models.mixing=0,0.5,1")])
    jackets = ("jacket heat transfer low", "jacket heat transfer high")
    assert plan.members == ("nominal", *jackets, *OTHERS)
    for places, mixing in zip(plan.jacketed, (0.0, 0.5, 1.0), strict=True):
        assert {plan.designs[i].machine.models.mixing for i in places} == {mixing}
    plan = make_plan(CASE, [parse_axis(CASE, "ambient.film_factor=1,2")])
    mixings = ("in-cylinder mixing none", "in-cylinder mixing full")
    assert plan.members == ("nominal", *jackets, *mixings, *OTHERS[:2], *OTHERS[4:])
    for places, factor in zip(plan.jacketed, (1.0, 2.0), strict=True):
        assert {plan.designs[i].machine.ambient.film_factor for i in places} == {factor}


def test_a_study_solves_what_can_be_and_names_the_rest() -> None:
    axes = [parse_axis(CASE, "jacket.pitch=2mm,30mm")]
    seen: list[float] = []
    table = run_study(CASE, axes, resolution=COARSE, progress=seen.append)
    gap, row = table.rows
    assert (gap.state, gap.members) == ("impossible", ())
    assert gap.reason == "the rib is as wide as the pitch or wider"
    assert row.state == "solved" and len(row.members) == 11
    assert set(row.numbers) == {c.name for c in list_columns(CASE.machine, split=True)}
    # The assessment solves the same machines on a way of its own.
    found = assess(CASE, resolution=COARSE).split
    for column, wanted in ((COOLING_ALONE, found.cooling_alone),
                           (RESISTANCE_ALONE, found.resistance_alone)):  # fmt: skip
        # 1e-9 of the flows, whose ratio less one this is.
        assert row.numbers[column] == pytest.approx(wanted.delivered_mass_flow, abs=1e-9)
        assert all(column not in member for member in row.members[1:])
    low, high = row.spread("change.delivered_mass_flow") or (0.0, 0.0)
    assert low < row.numbers["change.delivered_mass_flow"] < high
    for member, bare in zip(row.members, table.bare, strict=True):
        change = member["delivered_mass_flow"] / bare["delivered_mass_flow"] - 1.0
        assert member["change.delivered_mass_flow"] == pytest.approx(change, rel=1e-12)
    # 120 mm wound at 30 mm a start: four turns, by hand.
    assert row.numbers["turns.first"] == pytest.approx(4.0)
    assert seen == sorted(seen) and seen[-1] == 1.0


def test_a_stalled_point_says_so() -> None:
    axes = [parse_axis(CASE, "receiver.pressure=300bar(g),390bar(g)")]
    table = run_study(CASE, axes, band=False, resolution=COARSE)
    assert [row.state for row in table.rows] == ["solved", "stalled"]
    assert "in the receiver" in table.rows[1].reason
    assert table.rows[1].numbers["delivered_mass_flow"] == 0.0
    assert table.bare == ()


def test_the_short_interface_runs_from_text() -> None:
    from jacketcalc import compare_pitches, sweep

    case = small_case()
    table = run_study(case, ["jacket.pitch=20mm,30mm"], band=False, resolution=COARSE)
    pitches = [set_value(case, "jacket.pitch", text) for text in ("20 mm", "30 mm")]
    for row, result in zip(table.rows, sweep(pitches, resolution=COARSE), strict=True):
        wanted = result.outcome.delivered_mass_flow
        assert row.numbers["delivered_mass_flow"] == pytest.approx(wanted, rel=1e-9)
    with pytest.raises(CaseError, match="begins and ends at 8 mm"):
        compare_pitches(case, "8 mm", "8 mm")
