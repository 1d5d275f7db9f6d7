"""The catalogue of results: one entry is told everywhere, and every number has one.

What is added here is worked out again from the fields of the outcome.
"""

from __future__ import annotations

import ast
import csv
import dataclasses
import inspect
import io
import json
import re
from functools import cache
from typing import Any

import pytest
from command_line import laboratory
from study_sample import COARSE, main_case

from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.outcome import (
    JacketOutcome,
    Outcome,
    StageOutcome,
    SurfaceTemperature,
    WallTemperature,
)
from jacketcalc.core.output_record import UNITS, Output, Place
from jacketcalc.report.gather import gather
from jacketcalc.report.model import plain
from jacketcalc.show.json_names import json_path
from jacketcalc.show.record_units import RECORD_UNITS
from jacketcalc.show.study_json import make_study_json
from jacketcalc.show.study_sheet import make_csv, make_sheet
from jacketcalc.show.study_text import make_study_text
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import make_json
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.studies.study import run_study
from jacketcalc.studies.study_table import StudyTable
from jacketcalc.verification.published import Verification


def _rise(outcome: Outcome, place: Place) -> float:
    stage = outcome.stages[place.stage]
    return stage.discharge_temperature - stage.compression_start_temperature


def _warming(outcome: Outcome, place: Place) -> float | None:
    jacket = outcome.stages[place.stage].jacket
    return None if jacket is None else jacket.outlet_temperature - jacket.inlet_temperature


ADDED = (
    Output(key="drive_power", label="drive power", dimension="power",
           compute=lambda outcome, _: outcome.drive_work * outcome.cycle_rate),
    Output(key="rise", label="rise in the stage", dimension="temperature difference",
           owner="stage", change="difference", heading=("rise", ""), compute=_rise),
    Output(key="warming", label="warming in the jacket", dimension="temperature difference",
           owner="jacket", change="difference", heading=("warming", ""), compute=_warming),
)  # fmt: skip
"""Results that no file of the package knows."""
MORE = (*OUTPUTS, *ADDED)


def wanted(outcome: Outcome) -> dict[str, list[float]]:
    """Work the added results out, by label, one number a stage where they are a stage's."""
    jackets = [stage.jacket for stage in outcome.stages if stage.jacket is not None]
    return {
        "drive power": [outcome.drive_work * outcome.cycle_rate],
        "rise in the stage": [
            s.discharge_temperature - s.compression_start_temperature for s in outcome.stages
        ],
        "warming in the jacket": [j.outlet_temperature - j.inlet_temperature for j in jackets],
    }


@pytest.mark.parametrize("label", [output.label for output in ADDED])
def test_an_added_result_is_a_row_on_screen(label: str) -> None:
    found = laboratory()
    lines = [
        re.findall(r"(?<= )[-+]?[\d.]+(?= |$)", line)
        for line in make_text(found, full=True, outputs=MORE).splitlines()
        if line.strip().startswith(f"{label} ")
    ]
    assert not any(label in line for line in make_text(found, full=True).splitlines())
    jacketed = wanted(found.jacketed)[label]
    assert len(lines) == len(jacketed)
    # A machine without jackets warms nothing in a jacket.
    at = 0 if label.startswith("warming") else 1
    for printed, value in zip(lines, jacketed, strict=True):
        assert float(printed[at]) == pytest.approx(value, rel=1e-3)


def test_added_results_stand_in_json_with_their_units() -> None:
    found = laboratory()
    result = json.loads(make_json(found, MORE))
    for path, outcome in (("with_jackets", found.jacketed), ("no_jackets", found.bare)):
        for machine in (result[path], result["detail"][path]):
            assert machine["drive_power"] == wanted(outcome)["drive power"][0]
            rises = [stage["rise"] for stage in machine["stages"]]
            assert rises == wanted(outcome)["rise in the stage"]
            jackets = [stage["jacket"] for stage in machine["stages"] if stage["jacket"]]
            warmings = [jacket["warming"] for jacket in jackets]
            assert warmings == wanted(outcome)["warming in the jacket"]
    units = result["units"]
    assert units["with_jackets.drive_power"] == units["detail.no_jackets.drive_power"] == "W"
    assert units["with_jackets.stages[].rise"] == "K"
    assert units["detail.other.no_jackets.stages[].rise"] == "K"
    assert units["with_jackets.stages[].jacket.warming"] == "K"
    assert "bare.stages[].jacket.warming" not in units


@cache
def study() -> StudyTable:
    return run_study(
        main_case(), ["jacket.pitch=20mm,30mm"], band=False, split=False, resolution=COARSE,
        outputs=MORE,
    )  # fmt: skip


def test_added_results_are_columns_of_studies() -> None:
    """In JSON, and in files with their units: power over rate is the work that no column shows."""
    names = ("drive_power", "no_jackets.drive_power", "rise.first", "rise.second",
             "no_jackets.rise.second", "warming.first", "warming.second")  # fmt: skip
    found = json.loads(make_study_json(study()))
    units = {column["name"]: column["unit"] for column in found["columns"]}
    assert [units[name] for name in names] == ["W", "W", *["K"] * 5]
    assert not any(name.startswith("no_jackets.warming") for name in units)
    lines = (n for n in io.StringIO(make_csv(make_sheet(study()))) if not n.startswith("#"))
    head, shown, *rows = csv.reader(lines)
    assert [shown[head.index(name)] for name in names] == ["W", "W", *["K"] * 5]
    for row, points in zip(rows[-2:], found["rows"], strict=True):
        numbers = points["members"][0]
        cells = dict(zip(head, row, strict=True))
        for stage in ("first", "second"):
            rise = (
                numbers[f"discharge_temperature.{stage}"]
                - numbers[f"compression_start_temperature.{stage}"]
            )
            assert numbers[f"rise.{stage}"] == pytest.approx(rise, abs=1e-9)
            assert float(cells[f"rise.{stage}"]) == pytest.approx(rise, abs=1e-6)
            assert numbers[f"warming.{stage}"] > 0.0


def test_added_results_are_columns_of_a_study_on_screen() -> None:
    """What is too wide for the page goes on below, and no line is longer than the page."""
    blocks = [block.splitlines() for block in make_study_text(study()).split("\n\n")]
    assert max(len(line) for block in blocks for line in block) <= 80
    heads = {"STAGE second": "rise", "JACKET second, back-pressure in bar, continued": "warming"}
    for title, head in heads.items():
        block = next(block for block in blocks if block[0] == title)
        assert block[1].split()[-1] == head and block[2].split()[-1] == "K"
        lines = [line.split() for line in block if line.split()[:2] in (["20", "mm"], ["30", "mm"])]
        for words, row in zip(lines, study().rows, strict=True):
            assert float(words[-1]) == pytest.approx(row.numbers[f"{head}.second"], rel=1e-3)


def _resolve(result: dict[str, Any], path: str) -> float:
    """Return what stands at a path of the JSON result."""
    inside: Any = result
    for step in re.findall(r"[^.\[\]]+", json_path(path)):
        inside = inside[int(step)] if step.isdigit() else inside[step]
    return float(inside)


def test_added_results_are_rows_of_the_report_with_a_trace() -> None:
    """Their cells lead to the number in the JSON result of the same catalogue."""
    found = laboratory()
    report = gather(make_dossier(found), Verification(findings=()), outputs=MORE)
    table = next(table for table in report.tables() if table.name == "results")
    result = json.loads(make_json(found, MORE))
    for label, values in wanted(found.jacketed).items():
        rows = [row for row in table.rows if plain(row.cells[0].text) == label]
        assert len(rows) == len(values)
        for row, value in zip(rows, values, strict=True):
            assert plain(row.cells[1].text) == ("W" if label == "drive power" else "K")
            cell = row.cells[3]
            assert cell.value == pytest.approx(value, rel=1e-12)
            assert _resolve(result, cell.path) == cell.value


def test_every_number_of_an_outcome_has_one_entry() -> None:
    """A field without an entry has neither label nor unit."""
    records = {Outcome: "", StageOutcome: "stages[{stage}].",
               JacketOutcome: "stages[{stage}].jacket.",
               SurfaceTemperature: "stages[{stage}].surface.",
               WallTemperature: "stages[{stage}].wall_temperature."}  # fmt: skip
    paths = [output.path.replace("[{node}]", "") for output in OUTPUTS]
    for record, begins in records.items():
        for field in dataclasses.fields(record):
            if field.type in ("float", "int", "tuple[float, ...]"):
                assert paths.count(begins + field.name) == 1, field.name
    assert len({output.key for output in OUTPUTS}) == len(OUTPUTS)


def test_entries_lead_to_the_numbers_of_a_machine() -> None:
    found = laboratory().jacketed
    for output in OUTPUTS:
        values = [output.find(found, place) for place in output.places(found)]
        assert values and all(value is not None for value in values), output.key
    assert len({output.label for output in OUTPUTS}) >= len(OUTPUTS) - 2  # back-pressures twice


def _stated(record: type) -> dict[str, str]:
    """Return the units that the docstrings of a record's fields state."""
    body = ast.parse(inspect.getsource(record)).body[0]
    assert isinstance(body, ast.ClassDef)
    found = {}
    for field, text in zip(body.body, body.body[1:], strict=False):
        if isinstance(field, ast.AnnAssign) and isinstance(text, ast.Expr):
            unit = re.search(r"\[([^\[\]]+)\]", ast.unparse(text))
            if unit:
                found[ast.unparse(field.target)] = unit[1]
    return found


def test_units_are_those_that_the_fields_state() -> None:
    """Docstring and catalogue are written by hand, each for its reader: they must agree."""
    for record, units in RECORD_UNITS.items():
        if record is not Outcome:
            assert _stated(record) == units, record.__name__
    owners = {"machine": Outcome, "port": Outcome, "stage": StageOutcome, "jacket": JacketOutcome}
    for output in OUTPUTS:
        name = output.path.rpartition(".")[2].partition("[")[0]
        stated = _stated(owners[output.owner])
        if name in stated and "water" not in output.path:
            assert stated[name] == (UNITS[output.dimension] or "-"), output.key
