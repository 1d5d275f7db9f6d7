"""Axes of a study: any entry with its unit, one stage or all, gaps where none can be built."""

from __future__ import annotations

import pytest
from study_sample import main_case

from jacketcalc.casefile.overrides import set_value
from jacketcalc.errors import CaseError
from jacketcalc.studies.axes import parse_axis
from jacketcalc.studies.grid import make_points
from jacketcalc.studies.study import pitch_axis

CASE = main_case()


def test_an_axis_is_read_with_its_unit() -> None:
    axis = parse_axis(CASE, "jacket.pitch=8mm:48mm:16")
    assert axis.texts[:3] == ("8 mm", "10.67 mm", "13.33 mm")
    assert axis.values[1] == pytest.approx(10.67e-3, rel=1e-12)
    assert axis.values[-1] == 0.048
    gauge = parse_axis(CASE, "supply.pressure=6 bar(g):8 bar(g):3")
    assert gauge.values[1] == pytest.approx(7e5 + CASE.machine.ambient.pressure)
    assert parse_axis(CASE, "jacket.starts=1:4").values == (1, 2, 3, 4)
    assert parse_axis(CASE, "jacket.gap=2 mm, 1/8in".replace("1/8", "0.125")).values == (
        0.002, 0.003175,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("jacket.pich=8mm:48mm:16", "path-unknown"),
        ("jacket.pitch=8:48:16", "unit-missing"),
        ("jacket.pitch=8 bar:9 bar:3", "unit-dimension"),
        ("jacket.pitch=-8mm:48mm:3", "value-not-positive"),
        ("jacket.pitch=8mm:48mm:1", "study-range"),
        ("jacket.pitch=8mm:48mm:0mm", "study-range"),
        ("jacket.pitch=8mm:48mm:50mm", "study-range"),
        ("jacket.pitch=8mm:48mm:1bar", "study-range"),
        ("jacket.pitch=8mm:48mm:2mm:3", "study-range"),
        ("jacket.starts=1:4:2mm", "study-range"),
        ("jacket.pitch", "study-range"),
        ("jacket.pitch=8mm,8mm", "study-range"),
        ("jacket.pitch=8mm:8mm:4", "study-range"),
        ("jacket.rib_joint=shell,glued", "word-unknown"),
        ("jacket.rib_joint=shell,shell", "study-range"),
        ("drive.material=brass,bras", "material-unknown"),
        ("exhaust.port_1.to=first,third", "stage-unknown"),
        ("title=one,two", "study-range"),
        ("stage.first.name=one,two", "study-range"),
        ("document.units=SI", "study-range"),
        ("jacket.starts=0:4", "value-range"),
        ("jacket", "study-range"),
        ("judge.discharge_limit=150 degC,160 degC", "study-range"),
    ],
)
def test_a_wrong_axis_is_refused_and_the_argument_named(typed: str, name: str) -> None:
    with pytest.raises(CaseError) as error:
        parse_axis(CASE, typed, "--over")
    problem = error.value.problems[0]
    assert (problem.name, problem.file) == (name, f"--over {typed}")


def test_an_impossible_point_is_a_gap_with_its_reason() -> None:
    points = make_points(CASE, [parse_axis(CASE, "jacket.pitch=2mm:152mm:4")])
    gaps = [point.gap for point in points]
    assert gaps[0] == "the rib is as wide as the pitch or wider"
    assert gaps[1] == "" == gaps[2]
    assert gaps[3] == "the jacket winds over less than one pitch"


def test_a_jacket_longer_than_its_barrel_is_a_gap() -> None:
    points = make_points(CASE, [parse_axis(CASE, "jacket.length=100mm,400mm")])
    assert [bool(point.gap) for point in points] == [False, True]
    assert "longer than the barrel" in points[1].gap


def test_an_entry_that_was_filled_in_can_be_varied() -> None:
    points = make_points(CASE, [parse_axis(CASE, "jacket.tip_clearance=0.05mm,0.2mm")])
    found = [p.machine.stages[0].jacket.tip_clearance for p in points if p.machine]  # type: ignore[union-attr]
    assert found == [5e-5, 2e-4]


def test_a_stage_can_be_varied_alone() -> None:
    points = make_points(CASE, [parse_axis(CASE, "stage.second.jacket.pitch=11mm,12mm")])
    machine = points[0].machine
    assert machine is not None
    assert [s.jacket.pitch for s in machine.stages if s.jacket] == [
        CASE.machine.stages[0].jacket.pitch, 0.011,  # type: ignore[union-attr]
    ]  # fmt: skip


def test_pitches_of_one_stage_or_of_all() -> None:
    assert pitch_axis(CASE, "10 mm", "40 mm", 4).path == "jacket.pitch"
    axis = pitch_axis(CASE, "40 mm", "10 mm", 4, "second")
    assert (axis.path, axis.values) == ("stage.second.jacket.pitch", (0.04, 0.03, 0.02, 0.01))
    with pytest.raises(CaseError) as error:
        pitch_axis(CASE, "10 mm", "40 mm", 4, "third")
    problem = error.value.problems[0]
    assert (problem.file, problem.fix) == ("--stage third", 'one of "first", "second"')
    exhausted = set_value(CASE, "exhaust.port_1.to", "atmosphere")
    with pytest.raises(CaseError, match="no jacket that an exhaust port feeds"):
        pitch_axis(exhausted, "10 mm", "40 mm", 4, "second")
