"""Case files that are sound: shipped cases, defaults, gauge pressures, descriptions, notes."""

from __future__ import annotations

import hashlib
import io
import sys
import tomllib
from dataclasses import fields, is_dataclass
from math import pi, sqrt
from pathlib import Path

import pytest
from broken import FULL
from places import FILES, LABORATORY

from jacketcalc.casefile.describe import field_at, list_notes
from jacketcalc.casefile.fields import SOURCES, CaseTable
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case, read_case_text
from jacketcalc.casefile.schema import ROOT
from jacketcalc.casefile.template import make_template
from jacketcalc.inputs import Case
from jacketcalc.show.case_text import describe_case


@pytest.fixture(scope="module")
def template() -> Case:
    return read_case_text(make_template())


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_shipped_cases_are_sound(path: Path) -> None:
    case = read_case(str(path))
    assert case.title
    assert case.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert case.text == path.read_text("utf-8")
    assert "invented" in case.text
    assert {given.source for given in case.given} <= set(SOURCES)
    assert_sound(case)


def assert_sound(record: object) -> None:
    """Every number of a record is finite and every record below it is one of ours."""
    for entry in fields(record):  # type: ignore[arg-type]
        value = getattr(record, entry.name)
        if isinstance(value, float):
            assert abs(value) < 1e9, entry.name
        elif is_dataclass(value):
            assert_sound(value)
        elif isinstance(value, tuple):
            for item in value:
                assert_sound(item)


def test_laboratory_numbers_arrive_in_si() -> None:
    machine = read_case(str(LABORATORY)).machine
    typed = tomllib.loads(LABORATORY.read_text("utf-8"))
    assert machine.drive.stroke == pytest.approx(float(typed["drive"]["stroke"].split()[0]) / 1e3)
    assert [stage.name for stage in machine.stages] == ["first", "second"]
    assert machine.supply.pressure == pytest.approx(
        float(typed["supply"]["pressure"].split()[0]) * 1e5 + machine.ambient.pressure
    )


def test_template_is_complete_and_reads_with_and_without_its_defaults(template: Case) -> None:
    text = make_template()
    for table, keys in walk_schema(ROOT):
        for key in keys:
            assert f"{key} =" in text or f"{key}]" in text, f"{table}: {key}"
    full = read_case_text(FULL)
    assert not [given.path for given in full.given if given.assumed and "first" in given.path]
    assert template.machine.stages[1].material.name == "my_steel"
    assert template.machine.stages[1].material.conductivity == 19.0
    assert full.machine.stages[0].barrel_length == pytest.approx(
        template.machine.stages[0].barrel_length
    )
    assert full.machine.stages[0].head_thickness == template.machine.stages[0].head_thickness


def walk_schema(table: CaseTable) -> list[tuple[str, list[str]]]:
    found = [(table.key, [field.key for field in table.fields])]
    for inner in table.tables:
        found += walk_schema(inner)
    return found


def test_what_is_left_out_is_filled_in_and_said(template: Case) -> None:
    filled = {given.path: given for given in template.given if given.assumed}
    first, high = template.machine.stages
    for path in (
        "drive.friction",
        "stage.second.seal_friction",
        "stage.second.inlet.C",
        "stage.first.jacket.outlet_bore",
        "valve.pause",
        "exhaust.port_1.tube.roughness",
        "models.mixing",
        "supply.pressure_dew_point",
    ):
        assert filled[path].source == "assumed"
        assert filled[path].text
    assert len({given.path for given in template.given}) == len(template.given)
    assert first.piston_length == pytest.approx(1.2 * 0.032)
    assert high.piston_length == pytest.approx(0.020)
    assert first.barrel_length == pytest.approx(0.12 * 1.05 + 0.0384)
    # 5.020 mm2 per dm3/(s bar) is the nozzle of the same flow (ISO 6358-1, computed).
    area = pi / 4 * 0.014**2 / 60
    assert high.inlet.conductance.sonic == pytest.approx(area / 5.020e-6 * 1e-8, rel=1e-12)
    jacket = first.jacket
    assert jacket is not None
    around = pi * (0.032 + 2 * 0.004 + 0.008)
    channel = 0.008 * (0.030 - 0.003) * around / sqrt(around**2 + 0.030**2)
    assert pi / 4 * jacket.outlet_bore**2 == pytest.approx(1.5 * channel, rel=1e-12)


def test_gauge_pressures_count_from_the_stated_ambient() -> None:
    text = FULL.replace('"1.01325 bar(a)"', '"0.8 bar(a)"')
    case = read_case_text(text)
    assert case.machine.supply.pressure - case.machine.ambient.pressure == pytest.approx(7e5)
    assert case.machine.ambient.pressure == pytest.approx(0.8e5)


def test_tolerances_sources_and_references_reach_the_energy_balance() -> None:
    text = FULL.replace(
        'switching_time = "30 ms"', 'switching_time = "30 ms"\nreference = "data sheet 7"'
    )
    case = read_case_text(text)
    given = {entry.path: entry for entry in case.given}
    assert given["drive.bore"].tolerance == pytest.approx(1e-4)
    assert given["valve.supply_path.C"].reference == "data sheet 7"
    assert given["stage.second.jacket.gap"].source == "drawing"
    assert given["valve.switching_time"].unit == "s"
    assert given["valve.switching_time"].text == "30 ms"


def test_standard_input_and_windows_line_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    data = b"\xef\xbb\xbf" + FULL.replace("\n", "\r\n").encode()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))
    case = read_case("-")
    assert case.file == "-"
    assert case.sha256 == hashlib.sha256(data).hexdigest()
    assert case.machine == read_case_text(FULL).machine


@pytest.mark.parametrize("system", ["SI", "inch-pound"])
@pytest.mark.parametrize("text", [LABORATORY.read_text("utf-8"), make_template(), FULL])
def test_description_says_everything_in_eighty_plain_columns(text: str, system: str) -> None:
    case = set_value(read_case_text(text), "document.units", system)
    shown = describe_case(case)
    assert shown.isascii()
    assert max(map(len, shown.split("\n"))) <= 80
    for given in case.given:
        assert field_at(given.path).key.replace("_", " ") in shown or given.path == "title"
    assert shown.count("FILLED IN") == 1
    if system == "inch-pound":
        assert "psi(a)" in shown and "degF" in shown


def test_notes_name_what_is_sound_but_easily_not_meant() -> None:
    text = FULL.replace('to = "second" ', 'to = "first" ')
    notes = " ".join(list_notes(read_case_text(text)))
    assert 'jacket of "second" is fed by no exhaust port' in notes
    assert 'Both exhaust ports feed the jacket of "first"' in notes
