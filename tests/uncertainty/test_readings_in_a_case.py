"""Readings in a case or a CSV: what they must hold, and how broken ones are refused."""

from __future__ import annotations

import math

import pytest
from bench_sample import shipped, table, with_tables
from case_problems import find_problems

from jacketcalc.casefile.reading_csv import with_readings
from jacketcalc.casefile.remedy import tell_remedy
from jacketcalc.errors import CaseError, Problem
from jacketcalc.readings import Reading

BROKEN = [
    (table(jackets="with"), "reading-number"),
    (table(cycle_time="0.7 s u 0.01 s", valve_pressure="6 bar(g) u 0.1 bar"), "reading-number"),
    (table(cycle_time="0.7 s"), "reading-uncertainty"),
    (table(wall_temperature="60 degC u 2 K"), "reading-part"),
    (table(wall_temperature="60 degC u 2 K", stage="third"), "reading-part"),
    (table(exhaust_temperature="5 degC u 2 K"), "reading-part"),
    (table(exhaust_temperature="5 degC u 2 K", stage="single", jackets="bypassed"), "reading-part"),
    (table(delivered_mass="50 g u 1 g"), "reading-part"),
    (table(fill_time="900 s u 5 s", pressure_from="8 bar(g)", pressure_to="9 bar(g)"),
     "reading-part"),
    (table(fill_time="900 s u 5 s", receiver_volume="10 L", pressure_to="9 bar(g)"),
     "reading-part"),
    (table(fill_time="900 s u 5 s", receiver_volume="10 L", pressure_from="12 bar(g)",
           pressure_to="9 bar(g)"), "reading-part"),
    (table(cycle_time="0.7 s u 0.01 s", jackets="off"), "word-unknown"),
    (table(wall_temperature="60 degC u 2 K", stage="single", place="top"), "word-unknown"),
    (table(cycle_time="0.7 u 0.01"), "unit-missing"),
    (table(cycle_time="0.7 bar u 0.01 bar"), "unit-dimension"),
    (table(cycle_time="-0.7 s u 0.01 s"), "value-not-positive"),
    (table(cycle_time="0.7 s u 0.8 s"), "tolerance-wrong"),
    (table(cycletime="0.7 s u 0.01 s"), "key-unknown"),
]  # fmt: skip


def refused(*tables: str) -> list[Problem]:
    return find_problems(shipped().text.rstrip("\n") + "\n" + "".join(tables))


@pytest.mark.parametrize(("text", "name"), BROKEN)
def test_each_broken_form_is_refused_where_it_stands(text: str, name: str) -> None:
    first = shipped().text.rstrip("\n").count("\n") + 2
    problems = refused(text)
    assert name in {problem.name for problem in problems}
    for problem in problems:
        assert problem.line >= first and problem.why and problem.fix
        assert problem.path.startswith("reading.1")
        assert tell_remedy(problem.name) is not None


def test_all_broken_forms_are_refused_at_once() -> None:
    problems = refused(*(text for text, _ in BROKEN))
    found = {problem.path.split(".")[1] for problem in problems}
    assert found == {str(i) for i in range(1, len(BROKEN) + 1)}
    lines = [problem.line for problem in problems]
    assert lines == sorted(lines)


def test_a_number_that_cannot_be_read_is_not_called_missing() -> None:
    assert {p.name for p in refused(table(cycle_time="0,7 s u 0.01 s"))} == {"unit-comma"}


def test_sound_readings_come_in_as_they_were_read() -> None:
    """A tolerance counts as rectangular: JCGM 100, 4.3.7."""
    case = with_tables(
        shipped(),
        table(cycle_time="0.7 s +- 0.03 s", jackets="bypassed", supply_pressure="7 bar(a)"),
        table(wall_temperature="60 degC u 2 K", stage="single", place="flange",
              ambient_temperature="25 degC"),
        table(delivered_mass="50 g u 1 %", duration="10 min", receiver_pressure="20 bar(a)"),
        table(fill_time="15 min u 5 s", receiver_volume="10 L", pressure_from="10 bar(a)",
              pressure_to="20 bar(a)"),
    )  # fmt: skip
    assert case.readings == (
        Reading(kind="cycle time", value=0.7, standard_uncertainty=0.03 / math.sqrt(3.0),
                jackets="bypassed", supply_pressure=7e5),
        Reading(kind="wall temperature", value=333.15, standard_uncertainty=2.0, stage="single",
                place="flange", ambient_temperature=298.15),
        Reading(kind="delivered mass", value=0.05, standard_uncertainty=0.05 * 0.01,
                duration=600.0, receiver_pressure=2e6),
        Reading(kind="fill time", value=900.0, standard_uncertainty=5.0, receiver_volume=0.01,
                pressure_from=1e6, pressure_to=2e6),
    )  # fmt: skip
    assert case.machine == shipped().machine


SHEET = """# bench of Tuesday
cycle_time,jackets,wall_temperature,stage

0.70 s u 0.01 s,,,
,bypassed,60 degC u 2 K,single
,,,
"""


@pytest.mark.parametrize("mark", [",", ";"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("lead", ["", "\ufeff"])
def test_a_csv_holds_the_same_readings(mark: str, end: str, lead: str) -> None:
    sheet = lead + SHEET.replace(",", mark).replace("\n", end)
    case = with_readings(shipped(), sheet.encode(), "bench.csv")
    assert case.readings == with_tables(
        shipped(),
        table(cycle_time="0.70 s u 0.01 s"),
        table(wall_temperature="60 degC u 2 K", stage="single", jackets="bypassed"),
    ).readings  # fmt: skip


def problems_of(sheet: str | bytes) -> list[Problem]:
    data = sheet if isinstance(sheet, bytes) else sheet.encode()
    with pytest.raises(CaseError) as caught:
        with_readings(shipped(), data, "bench.csv")
    for problem in caught.value.problems:
        assert problem.file == "bench.csv" and problem.why and problem.fix
        assert tell_remedy(problem.name) is not None
        if problem.line:
            coded = "latin-1" if problem.name == "file-encoding" else "utf-8-sig"
            typed = data.decode(coded).split("\n")[problem.line - 1]
            assert problem.text.rstrip("\r") == typed.rstrip("\r")
    return caught.value.problems


def test_a_csv_with_an_unknown_column_is_refused_with_the_nearest() -> None:
    (problem,) = problems_of("cycle_tme,jackets\n0.7 s u 0.01 s,with\n")
    assert (problem.name, problem.line, problem.column) == ("key-unknown", 1, 1)
    assert "cycle_time" in problem.fix


@pytest.mark.parametrize("sheet", ["", "\n\n", "cycle_time,jackets\n", "# only words\n"])
def test_a_csv_without_a_reading_is_refused(sheet: str) -> None:
    assert [p.name for p in problems_of(sheet)] == ["file-empty"]


def test_a_csv_in_another_encoding_is_refused() -> None:
    sheet = "wall_temperature,stage\n60 °C u 2 K,single\n"
    assert [p.name for p in problems_of(sheet.encode("latin-1"))] == ["file-encoding"]
    assert [p.name for p in problems_of(sheet.encode("utf-16"))] == ["file-encoding"]


def test_a_decimal_comma_never_loses_a_cell() -> None:
    (problem,) = problems_of("cycle_time,jackets\n0.7 s u 0.01 s,with\n0,7 s u 0,01 s,with\n")
    assert (problem.name, problem.line) == ("text-unusable", 3)
    (problem,) = problems_of("cycle_time;jackets\n0,7 s u 0,01 s;with\n")
    assert (problem.name, problem.line) == ("unit-comma", 2)


def test_a_broken_reading_is_placed_at_its_line_of_the_csv() -> None:
    lines = ["# bench", "cycle_time,wall_temperature,stage", "0.7 s,,", "",
             ",60 degC u 2 K,thrid", ",,single", ""]  # fmt: skip
    found = [(p.name, p.line) for p in problems_of("\n".join(lines))]
    assert found == [("reading-uncertainty", 3), ("reading-part", 5), ("reading-number", 6)]
