"""Case files that are sound: shipped cases, defaults, gauge pressures, overrides, texts."""

from __future__ import annotations

import hashlib
import io
import json
import subprocess
import sys
import tomllib
from dataclasses import fields, is_dataclass
from math import pi, sqrt
from pathlib import Path
from typing import Any

import pytest
from broken import FULL

from jacketcalc.casefile import schema_json
from jacketcalc.casefile.describe import describe_case, field_at, list_notes
from jacketcalc.casefile.fields import SOURCES, CaseTable
from jacketcalc.casefile.overrides import find_target, parse_text, set_value, with_value
from jacketcalc.casefile.positions import find_spots
from jacketcalc.casefile.reading import read_case, read_case_text
from jacketcalc.casefile.schema import ROOT
from jacketcalc.casefile.template import make_template
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case

CASES = sorted((Path(__file__).parents[1] / "cases").glob("*.toml"))
LABORATORY = next(path for path in CASES if path.stem == "impact_laboratory")


@pytest.fixture(scope="module")
def template() -> Case:
    return read_case_text(make_template())


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
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
    assert [stage.name for stage in machine.stages] == ["medium", "high"]
    assert machine.supply.pressure == pytest.approx(
        float(typed["supply"]["pressure"].split()[0]) * 1e5 + machine.room.pressure
    )


def test_template_is_complete_and_reads_with_and_without_its_defaults(template: Case) -> None:
    text = make_template()
    for table, keys in walk_schema(ROOT):
        for key in keys:
            assert f"{key} =" in text or f"{key}]" in text, f"{table}: {key}"
    full = read_case_text(FULL)
    assert not [given.path for given in full.given if given.assumed and "medium" in given.path]
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
    medium, high = template.machine.stages
    for path in (
        "drive.friction",
        "stage.high.seal_friction",
        "stage.high.inlet.conductance",
        "stage.medium.jacket.vent_bore",
        "valve.dwell",
        "exhaust.port_1.tube.roughness",
        "models.stirring",
        "supply.pressure_dew_point",
    ):
        assert filled[path].source == "assumed"
        assert filled[path].text
    assert len({given.path for given in template.given}) == len(template.given)
    assert medium.piston_length == pytest.approx(1.2 * 0.032)
    assert high.piston_length == pytest.approx(0.020)
    assert medium.barrel_length == pytest.approx(0.12 * 1.05 + 0.0384)
    # 5.020 mm2 per dm3/(s bar) is the nozzle of the same flow (ISO 6358-1, computed).
    area = pi / 4 * 0.014**2 / 60
    assert high.inlet.conductance.sonic == pytest.approx(area / 5.020e-6 * 1e-8, rel=1e-12)
    jacket = medium.jacket
    assert jacket is not None
    around = pi * (0.032 + 2 * 0.004 + 0.008)
    channel = 0.008 * (0.030 - 0.003) * around / sqrt(around**2 + 0.030**2)
    assert pi / 4 * jacket.vent_bore**2 == pytest.approx(1.5 * channel, rel=1e-12)


def test_gauge_pressures_count_from_the_stated_room() -> None:
    text = FULL.replace('"1.01325 bar(a)"', '"0.8 bar(a)"')
    case = read_case_text(text)
    assert case.machine.supply.pressure - case.machine.room.pressure == pytest.approx(7e5)
    assert case.machine.room.pressure == pytest.approx(0.8e5)


def test_tolerances_sources_and_references_reach_the_ledger() -> None:
    text = FULL.replace('dead_time = "30 ms"', 'dead_time = "30 ms"\nreference = "data sheet 7"')
    case = read_case_text(text)
    given = {entry.path: entry for entry in case.given}
    assert given["drive.bore"].tolerance == pytest.approx(1e-4)
    assert given["valve.fill.conductance"].reference == "data sheet 7"
    assert given["stage.high.jacket.gap"].source == "drawing"
    assert given["valve.dead_time"].unit == "s"
    assert given["valve.dead_time"].text == "30 ms"


@pytest.mark.parametrize("path", [*CASES, None], ids=lambda path: path.stem if path else "full")
def test_every_value_is_found_where_it_stands(path: Path | None) -> None:
    text = path.read_text("utf-8") if path else FULL
    assert_spots_match(text)


def test_positions_in_awkward_toml() -> None:
    assert_spots_match(
        'a."b.c".d = 1 # x = 2\n"quo\\"ted" = [1, "x ] y", { z = \'#\' }, [2, 3]]\n'
        't = \'\'\'\nline \' " = 3\n\'\'\'\nu = """one \\" two"""\n[ tab . le ]\nk=true\n'
        "[[ar]]\nx = 1.5\n[ar.in]\ny = 1979-05-27\n[[ar]]\nx = { p = { q = 1 }, r.s = 2 }\n"
        "[ar.in]\ny = 0x1F\n"
    )


def assert_spots_match(text: str) -> None:
    """Read each value again from the place the scanner gives, with the standard reader."""
    tree = tomllib.loads(text)
    spots = find_spots(text)
    leaves = dict(walk_leaves(tree))
    assert leaves.keys() <= spots.values.keys()
    for path, value in leaves.items():
        spot = spots.values[path]
        assert tomllib.loads(f"x = {text[spot.start : spot.end]}")["x"] == value
    for path, spot in spots.keys.items():
        if isinstance(path[-1], str):
            assert tomllib.loads(f"{text[spot.start : spot.end]} = 0") == {path[-1]: 0}


def walk_leaves(node: Any, path: tuple[Any, ...] = ()) -> list[tuple[tuple[Any, ...], Any]]:
    if isinstance(node, dict):
        return [leaf for key, item in node.items() for leaf in walk_leaves(item, (*path, key))]
    if isinstance(node, list):
        return [
            leaf for index, item in enumerate(node) for leaf in walk_leaves(item, (*path, index))
        ]
    return [(path, node)]


def test_standard_input_and_windows_line_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    data = b"\xef\xbb\xbf" + FULL.replace("\n", "\r\n").encode()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))
    case = read_case("-")
    assert case.file == "-"
    assert case.sha256 == hashlib.sha256(data).hexdigest()
    assert case.machine == read_case_text(FULL).machine


@pytest.mark.parametrize(
    ("path", "value", "changed"),
    [
        ("stage.medium.jacket.pitch", "28 mm", {"stage.medium.jacket.pitch"}),
        ("jacket.pitch", 0.029, {"stage.medium.jacket.pitch", "stage.high.jacket.pitch"}),
        ("stage.jacket.gap", "5 mm", {"stage.medium.jacket.gap", "stage.high.jacket.gap"}),
        ("jacket.starts", "2", {"stage.medium.jacket.starts", "stage.high.jacket.starts"}),
        ("tube.bore", "10 mm", {"exhaust.port_1.tube.bore", "exhaust.port_2.tube.bore"}),
        ("exhaust.port_2.tube.roughness", "9 um", {"exhaust.port_2.tube.roughness"}),
        ("valve.fill.conductance", 4e-8, {"valve.fill.conductance"}),
        ("drive.friction", 77.0, {"drive.friction"}),
        ("valve.cycle_rate", 0.5, {"valve.cycle_rate"}),
        ("tank.pressure", 2e7, {"tank.pressure"}),
        ("models.stirring", 0.5, {"models.stirring"}),
        ("room.temperature", 301.15, {"room.temperature"}),
        ("high.inlet.critical_ratio", 0.2, None),
        ("stage.high.inlet.critical_ratio", 0.2, {"stage.high.inlet.critical_ratio"}),
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
    assert set_value(case, "models.stirring", 0.5).machine.models.stirring == 0.5
    bare = make_template()
    changed = with_value(bare, "stage.high.inlet.critical_ratio", 0.2)
    assert read_case_text(changed).machine.stages[1].inlet.conductance.critical_ratio == 0.2


def test_a_changed_case_is_checked_again() -> None:
    with pytest.raises(CaseError) as caught:
        set_value(read_case_text(FULL), "jacket.land", "40 mm")
    assert [problem.name for problem in caught.value.problems] == ["land-pitch"] * 2
    target = find_target(parse_text(FULL), "jacket.pitch")
    assert target.field.dimension == "length"


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
    text = FULL.replace('to = "high" ', 'to = "medium" ')
    notes = " ".join(list_notes(read_case_text(text)))
    assert 'jacket of "high" is fed by no exhaust port' in notes
    assert 'Both exhaust ports feed the jacket of "medium"' in notes


def test_json_schema_fits_the_cases() -> None:
    schema = json.loads(schema_json.make_text())
    for path in CASES:
        assert_fits(tomllib.loads(path.read_text("utf-8")), schema)
    assert_fits(tomllib.loads(FULL), schema)


def assert_fits(value: Any, schema: dict[str, Any]) -> None:
    """Check the parts of JSON Schema that the schema uses."""
    if schema.get("type") == "object":
        known = schema.get("properties", {})
        more = schema["additionalProperties"]
        assert set(schema.get("required", [])) <= value.keys()
        for key, item in value.items():
            assert key in known or more is not False, key
            assert_fits(item, known.get(key, more))
    elif schema.get("type") == "array":
        assert schema["minItems"] <= len(value) <= schema["maxItems"]
        for item in value:
            assert_fits(item, schema["items"])
    elif "enum" in schema:
        assert value in schema["enum"]


def test_reading_a_case_loads_nothing_heavy() -> None:
    code = (
        "import sys\nfrom jacketcalc.casefile.reading import read_case_text\n"
        "read_case_text(sys.stdin.read())\n"
        "heavy = {'numpy', 'scipy', 'pydantic', 'CoolProp', 'matplotlib', 'rich', 'json'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        input=FULL,
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[1],
    )
    assert done.stdout.strip() == "[]"
