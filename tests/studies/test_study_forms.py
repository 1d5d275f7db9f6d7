"""What every file of a study carries: caution, program, case; numbers in full; CF in NetCDF."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import openpyxl
import pytest
from scipy.io import netcdf_file
from study_sample import invented

from jacketcalc import __version__
from jacketcalc.assessment.notes import CAUTION
from jacketcalc.core.output_record import UNITS
from jacketcalc.report.study_workbook import HEADS, make_workbook
from jacketcalc.show.study_json import make_study_json
from jacketcalc.show.study_sheet import make_csv, make_sheet
from jacketcalc.show.study_text import make_study_text
from jacketcalc.studies.netcdf import make_netcdf, spell, udunits

THIRD = 1.0 / 3.0
TABLE = invented("jacket.pitch=20mm,30mm,40mm", number=lambda pitch, member: pitch * THIRD + member)
WORDS = invented("drive.material=brass,PTFE", "jacket.gap=6mm,4mm,5mm", number=lambda *_: THIRD)
WHOLE = " ".join(CAUTION.split())


def test_every_form_carries_the_caution_the_program_and_the_case() -> None:
    book = openpyxl.load_workbook(io.BytesIO(make_workbook(TABLE)))
    with netcdf_file(io.BytesIO(make_netcdf(TABLE)), "r", mmap=False) as file:
        attributes = b" ".join(v for v in vars(file)["_attributes"].values()).decode()
    forms = {
        "CSV": make_csv(make_sheet(TABLE)),
        "JSON": " ".join(map(str, json.loads(make_study_json(TABLE)).values())),
        "summary": " ".join(str(c.value) for row in book["summary"] for c in row),
        "points": " ".join(str(c.value) for row in book["points"] for c in row),
        "NetCDF": attributes,
    }
    for form, text in forms.items():
        assert WHOLE in " ".join(text.split()), form
        assert __version__ in text and TABLE.case.sha256 in text, form
    text = make_study_text(TABLE)
    assert " ".join(text.split()).endswith(WHOLE) and __version__ in text


def test_a_csv_is_read_without_its_comments_whatever_a_cell_holds() -> None:
    """As readers that drop lines from # on: RFC 4180 quotes keep it in a cell."""
    odd = replace(TABLE.rows[0], reason='a "b", # c')
    text = make_csv(make_sheet(replace(TABLE, rows=(odd, *TABLE.rows[1:]))))
    lines = text.splitlines(keepends=True)
    comments = [line for line in lines if line.startswith("#")]
    assert lines[: len(comments)] == comments and all(c.startswith("# ") for c in comments)
    rows = list(csv.reader(lines[len(comments) :]))
    assert len({len(row) for row in rows}) == 1
    assert rows[4][rows[0].index("reason")] == odd.reason
    assert all("#" not in re.sub(r'"(?:[^"]|"")*"', "", line) for line in lines[len(comments) :])


def test_numbers_are_numbers_in_full() -> None:
    """30 mm gives 10 and a member more: in kg/h 36 000, of 20 mm 24 000, each to 15 digits."""
    book = openpyxl.load_workbook(io.BytesIO(make_workbook(TABLE)))["points"]
    names, _, *rows = list(book.iter_rows(values_only=True))[HEADS:]
    place = names.index("delivered_mass_flow")
    assert [row[place] for row in rows[-3:]] == pytest.approx(
        [3600 * pitch * THIRD for pitch in (20, 30, 40)], rel=1e-14
    )
    text = list(csv.reader(make_csv(make_sheet(TABLE)).splitlines()))
    assert float(text[-3][place]) == pytest.approx(24000.0, rel=1e-14)
    assert [row[0] for row in rows[-3:]] == [20, 30, 40]
    cell = book.cell(row=len(rows) + HEADS + 2, column=names.index("change.cycle_rate") + 1)
    assert isinstance(cell.value, float) and re.fullmatch(r"0\.0+", cell.number_format)


def test_a_workbook_can_be_filtered_and_printed() -> None:
    book = openpyxl.load_workbook(io.BytesIO(make_workbook(TABLE)))
    page = book["points"]
    units = [cell.value for cell in page[HEADS + 2]]
    assert units[0] == "mm"
    assert str(page.auto_filter.ref).startswith(f"A{HEADS + 2}:")
    assert page.freeze_panes == f"B{HEADS + 3}"
    assert page.print_title_rows == f"$1:${HEADS + 2}" and page.print_title_cols == "$A:$A"
    assert page.page_setup.orientation == "landscape" and "&P" in str(page.oddFooter.right.text)
    assert int(page.page_setup.paperSize or 0) == 9  # A4 (ECMA-376, from memory)


def netcdf(table: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return the global attributes and the variables of a study's NetCDF."""
    with netcdf_file(io.BytesIO(make_netcdf(table)), "r", mmap=False) as file:
        own = {k: v.decode() for k, v in vars(file)["_attributes"].items()}
        return own, {
            name: (v.dimensions, v[:].copy(), dict(v._attributes))
            for name, v in file.variables.items()
        }


@pytest.mark.parametrize("table", [TABLE, WORDS], ids=["one", "two"])
def test_netcdf_follows_cf(table: Any) -> None:
    """Rules of CF 1.11, sections 2.3, 2.6, 3, 3.1, 3.4, 5, 6.1; a whole checker passes it too."""
    own, variables = netcdf(table)
    assert own["Conventions"] == "CF-1.11"
    assert all(own[name] for name in ("title", "institution", "source", "history", "comment"))
    assert not re.search(r"\b20\d\d-\d\d", " ".join(own.values()))
    lowered = [name.lower() for name in variables]
    assert len(set(lowered)) == len(lowered)
    for name, (dimensions, values, attributes) in variables.items():
        assert re.fullmatch(r"[A-Za-z][A-Za-z0-9_]*", name)
        assert attributes["long_name"]
        if values.dtype.kind == "f":
            assert "/" not in attributes["units"].decode() and attributes["units"]
        if "_FillValue" in attributes:
            assert np.asarray(attributes["_FillValue"]).dtype == values.dtype.newbyteorder("=")
        for word in ("coordinates", "ancillary_variables"):
            for other in attributes.get(word, b"").decode().split():
                assert set(variables[other][0]) <= {*dimensions, f"{other}_letters"}
        if dimensions == (name,):
            assert values.dtype.kind == "f" and "_FillValue" not in attributes
            steps = np.diff(values)
            assert (steps > 0).all() or (steps < 0).all()
    change = variables["change_hottest_discharge"][2]
    assert change["units_metadata"] == b"temperature: difference"
    assert variables["hottest_discharge"][2]["units_metadata"] == b"temperature: on_scale"
    ends = change["ancillary_variables"].decode().split()
    assert ends == [f"change_hottest_discharge_range_{end}" for end in ("low", "high")]


def test_netcdf_names_words_and_what_is_drawn() -> None:
    _, variables = netcdf(WORDS)
    dimensions, letters, _ = variables["drive_material"]
    assert dimensions[0] == "drive_material_place"
    assert [b"".join(row).decode().strip() for row in letters] == ["brass", "PTFE"]
    # Values that neither rise nor fall make no coordinate variable.
    assert variables["jacket_gap"][0] == ("jacket_gap_place",)
    flow = variables["delivered_mass_flow"]
    assert flow[0] == ("member", "drive_material_place", "jacket_gap_place")
    assert flow[2]["coordinates"] == b"member_name drive_material jacket_gap"
    assert flow[2]["column"] == b"delivered_mass_flow"
    assert list(flow[2]["as_drawn"]) == [0.0, 0.0]
    _, one = netcdf(TABLE)
    assert one["jacket_pitch"][2]["as_drawn"] == 0.03
    members = [b"".join(row).decode().strip() for row in one["member_name"][1]]
    assert tuple(members) == TABLE.members


@pytest.mark.parametrize(
    ("unit", "wanted"),
    [("kg/s", "kg s-1"), ("W/(m2 K)", "W m-2 K-1"), ("m3/(s Pa)", "m3 s-1 Pa-1"), ("", "1"),
     ("1/s", "s-1"), ("K", "K"), ("m3", "m3")],
)  # fmt: skip
def test_units_are_in_the_form_of_udunits(unit: str, wanted: str) -> None:
    assert udunits(unit) == wanted
    assert all(re.fullmatch(r"[A-Za-z0-9 -]+", udunits(own)) for own in UNITS.values())


def test_names_of_variables_are_letters_digits_and_lines() -> None:
    assert spell("change.x@low") == "change_x_low" and spell("1.a-b") == "n_1_a_b"


def test_the_best_case_carries_the_caution(tmp_path: Path) -> None:
    from jacketcalc.studies.variables import best_case, make_variable

    own = [make_variable(TABLE.case, "jacket.pitch", "20mm:40mm", "--pitch")]
    made = best_case(TABLE.case, own, ["24 mm"], "most")
    head = made.text.partition("\n\n")[0]
    assert WHOLE in " ".join(line.removeprefix("#").strip() for line in head.splitlines())
