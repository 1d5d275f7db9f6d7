"""Columns of a study's files: names that mean one thing, bands only where one was solved."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import openpyxl
import pytest
from scipy.io import netcdf_file
from study_sample import CASES, COARSE, invented, main_case

from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.errors import CaseError
from jacketcalc.report.study_workbook import HEADS, make_workbook
from jacketcalc.show.study_json import make_study_json
from jacketcalc.show.study_sheet import make_csv, make_sheet
from jacketcalc.show.study_text import make_study_text
from jacketcalc.studies.columns import list_columns
from jacketcalc.studies.netcdf import FILL, make_netcdf
from jacketcalc.studies.study import run_study
from jacketcalc.studies.study_table import StudyTable

PITCHES = "jacket.pitch=2mm,20mm,30mm"
BANDED = invented(PITCHES, number=lambda pitch, member: pitch - 3.0 * member, members=3)
ALONE = invented(PITCHES, number=lambda pitch, member: pitch, members=1)
KEY = "stage.second.line.heat_loss"
LOSSES = ("0.2 W/K", "6 W/K")


def csv_rows(table: StudyTable) -> list[dict[str, str]]:
    lines = (n for n in io.StringIO(make_csv(make_sheet(table))) if not n.startswith("#"))
    names, _, *rows = csv.reader(lines)
    assert len(set(names)) == len(names)
    return [dict(zip(names, row, strict=True)) for row in rows]


def json_of(table: StudyTable) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(make_study_json(table))
    return found


def book_rows(table: StudyTable) -> list[dict[str, Any]]:
    sheet = openpyxl.load_workbook(io.BytesIO(make_workbook(table)))["points"]
    names, _, *rows = list(sheet.iter_rows(values_only=True))[HEADS:]
    return [dict(zip(map(str, names), row, strict=True)) for row in rows]


def netcdf_columns(table: StudyTable) -> dict[str, np.ndarray[Any, Any]]:
    with netcdf_file(io.BytesIO(make_netcdf(table)), "r", mmap=False) as file:
        return {name: variable[:].copy() for name, variable in file.variables.items()}


def netcdf_name(name: str) -> str:
    """Return the name of a variable, which CF wants of letters, digits and _ alone."""
    return name.replace(".", "_").replace("@", "_range_")


def test_an_end_of_a_band_bears_a_name_no_stage_can_give() -> None:
    """Not even a stage called high can: .high behind a column is that stage, in every form."""
    case = read_case_text((CASES / "hot.toml").read_text("utf-8").replace('"second"', '"high"'))
    banded = replace(BANDED, case=case, columns=list_columns(case.machine))
    names = list(csv_rows(banded)[0])
    ends = [name for name in names if name.endswith(("@low", "@high"))]
    assert len(ends) == 30 and not [name for name in names if name.endswith(".low")]
    assert [n for n in names if n.endswith(".high")] == [
        n.replace(".first", ".high") for n in names if n.endswith(".first")
    ]
    found = json_of(banded)
    assert [c["name"] for c in found["range_columns"]] == ends
    assert list(book_rows(banded)[0]) == names
    assert {netcdf_name(name) for name in ends} <= set(netcdf_columns(banded))


@pytest.mark.parametrize("name", ["a@low", "first@high", "@high"])
def test_a_stage_cannot_be_called_like_an_end(name: str) -> None:
    text = (CASES / "single.toml").read_text("utf-8")
    own = read_case_text(text).machine.stages[0].name
    with pytest.raises(CaseError, match="cannot be a name"):
        read_case_text(text.replace(f'"{own}"', f'"{name}"'))


def test_without_a_band_its_ends_are_empty() -> None:
    """One member alone has no band: repeating its number would claim one of no width."""
    for rows, empty in ((csv_rows(ALONE), ""), (book_rows(ALONE), None)):
        assert all(row[name] == empty for row in rows for name in row if "@" in name)
        assert rows[-1]["change.delivered_mass_flow"] not in ("", None)
    assert all(row["range"] == {} for row in json_of(ALONE)["rows"])
    ends = [values for name, values in netcdf_columns(ALONE).items() if "_range_" in name]
    assert ends and all((values == FILL).all() for values in ends)


def test_a_band_spans_its_members_in_every_form() -> None:
    """By hand: 30 mm, less 3 a member, spans 24 to 30."""
    name = "change.mass_per_cycle"
    wanted = {f"{name}@low": 24.0, f"{name}@high": 30.0}
    band = json_of(BANDED)["rows"][-1]["range"]
    table, book = netcdf_columns(BANDED), book_rows(BANDED)[-1]
    for end, value in wanted.items():
        assert band[end] == pytest.approx(value)
        assert table[netcdf_name(end)][-1] == pytest.approx(value)
        assert book[end] == pytest.approx(100.0 * value)  # in percent
        assert float(csv_rows(BANDED)[-1][end]) == pytest.approx(100.0 * value)
    impossible = json_of(BANDED)["rows"][0]
    assert (impossible["state"], impossible["range"]) == ("impossible", {})


@cache
def cooled() -> StudyTable:
    """Return the main case over a number that changes the machine without jackets too."""
    return run_study(main_case(), [f"{KEY}={','.join(LOSSES)}"], band=False, resolution=COARSE)


@cache
def machines() -> dict[str, tuple[Outcome, Outcome]]:
    """Solve bare and machine with jackets of the case and of each point, outside any study."""
    cases = {"as drawn": main_case()}
    cases |= {text: set_value(main_case(), KEY, text) for text in LOSSES}
    designs = [
        Design(machine=machine)
        for case in cases.values()
        for machine in (bare_machine(case.machine, case.judgement.no_jackets), case.machine)
    ]
    solved = [result.outcome for result in run(designs, resolution=COARSE)]
    return dict(zip(cases, zip(solved[::2], solved[1::2], strict=True), strict=True))


def test_a_point_shows_both_machines_and_what_each_changes_from_the_case() -> None:
    """Machines solved one by one, their ratios by hand: what the cooler alone gains is seen."""
    stands_bare, stands = machines()["as drawn"]
    gains = []
    for row, text in zip(cooled().rows, LOSSES, strict=True):
        bare, jacketed = machines()[text]
        for name in ("delivered_mass_flow", "cycle_rate", "specific_air_consumption"):
            wanted = {
                name: getattr(jacketed, name),
                f"no_jackets.{name}": getattr(bare, name),
                f"change.{name}": getattr(jacketed, name) / getattr(bare, name) - 1.0,
                f"from_drawn.{name}": getattr(jacketed, name) / getattr(stands, name) - 1.0,
                f"no_jackets_from_drawn.{name}": getattr(bare, name) / getattr(stands_bare, name)
                - 1.0,
            }
            # 1e-9 of the flows, whose ratios less one these are.
            assert {n: row.numbers[n] for n in wanted} == pytest.approx(wanted, rel=1e-9, abs=3e-9)
        hottest = max(s.discharge_temperature for s in bare.stages)
        assert row.numbers["no_jackets.hottest_discharge"] == pytest.approx(hottest, rel=1e-9)
        gains.append(row.numbers["no_jackets_from_drawn.delivered_mass_flow"])
    # The line's cooler helps the machine without jackets: a change against its own hides that.
    assert gains[0] < -0.01 < 0.01 < gains[1]
    changes = [row.numbers["change.delivered_mass_flow"] for row in cooled().rows]
    assert changes[0] > changes[1] > 0.0


def test_files_hold_the_drawn_design_above_its_points() -> None:
    bare, jacketed = machines()["as drawn"]
    wanted = {"delivered_mass_flow": jacketed, "no_jackets.delivered_mass_flow": bare}
    for rows in (csv_rows(cooled()), book_rows(cooled())):
        assert [row["state"] for row in rows] == ["as drawn", "solved", "solved"]
        for name, outcome in wanted.items():  # kg/h
            assert float(rows[0][name]) == pytest.approx(3600.0 * outcome.delivered_mass_flow)
        assert float(rows[0]["from_drawn.delivered_mass_flow"]) == 0.0
    found = json_of(cooled())["drawn"]
    assert found["members"][0]["cycle_rate"] == pytest.approx(jacketed.cycle_rate, rel=1e-9)


def test_maps_show_both_machines_where_both_change() -> None:
    """One number for all points, 1 of the case: 100 %."""
    table = invented("jacket.pitch=20mm,30mm", "jacket.gap=4mm,6mm", number=lambda *_: 1.0)
    text = make_study_text(replace(table, bare=()))
    assert max(map(len, text.splitlines())) <= 80
    alone = "DELIVERED AIR, no jackets, change from the drawn design / %"
    assert alone in text and alone not in make_study_text(table)
    for name in ("no jackets", "with jackets"):
        title = f"DELIVERED AIR, {name}, change from the drawn design / %"
        block = text[text.index(title) :].partition("\n\n")[0].splitlines()
        assert [line.split()[-2:] for line in block[-2:]] == 2 * [["+100.0", "+100.0"]]
        assert block[3].split()[:3] == ["as", "drawn", "0.0"]


def test_the_screen_shows_both_machines_where_both_change() -> None:
    text = make_study_text(cooled())
    assert max(map(len, text.splitlines())) <= 80
    block = text[text.index("NO JACKETS AND JACKETS") :].partition("\n\n")[0].splitlines()
    for label, line in zip(("as drawn", *LOSSES), block[3:], strict=False):
        bare, jacketed = machines()[label]
        words = line.removeprefix(f"{label:>11}").split()
        assert float(words[0]) == pytest.approx(3600 * bare.delivered_mass_flow, abs=5.1e-4)
        assert float(words[3]) == pytest.approx(3600 * jacketed.delivered_mass_flow, abs=5.1e-4)
    flat = " ".join(text.split())
    assert "from its own machine with no jackets" in flat and "% from the drawn design" in flat
    shared = make_study_text(BANDED)
    assert "its own machine" not in shared and "NO JACKETS AND JACKETS" not in shared
