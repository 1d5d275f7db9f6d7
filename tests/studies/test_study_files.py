"""Files of a study, read back by other readers."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from scipy.io import netcdf_file
from study_sample import invented

from jacketcalc.report.study_workbook import HEADS, make_workbook
from jacketcalc.show.study_json import make_study_json
from jacketcalc.show.study_sheet import make_csv, make_sheet
from jacketcalc.show.study_text import make_study_text
from jacketcalc.studies.files import write_bytes
from jacketcalc.studies.netcdf import FILL, make_netcdf
from jacketcalc.studies.study_table import StudyTable

MAP = invented(
    "jacket.pitch=2mm,20mm,30mm,40mm", "jacket.gap=4mm,6mm,8mm",
    number=lambda pitch, gap, member: pitch + 0.01 * gap + member,
)  # fmt: skip
LINE = invented("jacket.pitch=2mm:42mm:5", number=lambda p, m: 3.0 + 0.01 * (p - 22) ** 2 + m)
TABLES = pytest.mark.parametrize("table", [MAP, LINE], ids=["map", "line"])


def csv_rows(table: StudyTable) -> list[list[str]]:
    """Return names, units and rows of a study as CSV."""
    lines = make_csv(make_sheet(table)).splitlines(keepends=True)
    return list(csv.reader(line for line in lines if not line.startswith("#")))


def test_csv_has_a_row_of_units_and_the_numbers_in_them() -> None:
    rows = csv_rows(LINE)
    names, units, drawn, bare, gap, first = rows[:6]
    assert len({len(row) for row in rows}) == 1
    assert (names[0], units[0], gap[1]) == ("jacket.pitch", "mm", "impossible")
    assert (drawn[1], bare[1]) == ("as drawn", "no jackets")
    place = names.index("compression_start_temperature.first")
    assert units[place] == "degC"
    assert float(first[place]) == pytest.approx(LINE.rows[1].numbers[names[place]] - 273.15)
    assert float(first[0]) == 12.0
    change = names.index("change.delivered_mass_flow")
    assert names[change + 1 : change + 3] == [f"{names[change]}@low", f"{names[change]}@high"]
    assert units[change] == "%"
    assert float(first[change + 2]) - float(first[change]) == pytest.approx(100.0)
    assert set(gap[3:]) == {""}


@TABLES
def test_json_is_one_object_in_si(table) -> None:  # type: ignore[no-untyped-def]
    found = json.loads(make_study_json(table))
    assert found["format"] == "jacketcalc-study-2"
    assert [axis["values"] for axis in found["axes"]] == [list(a.values) for a in table.axes]
    assert [row["values"] for row in found["rows"]] == [list(r.values) for r in table.rows]
    for row, wanted in zip(found["rows"], table.rows, strict=True):
        assert (row["state"], row["reason"]) == (wanted.state, wanted.reason)
        assert row["members"] == [dict(numbers) for numbers in wanted.members]
    assert {c["name"] for c in found["columns"]} == {c.name for c in table.columns}
    assert {best["verdict"] for best in found["best"]} <= {"best", "still rising"}


@TABLES
def test_netcdf_is_read_back_by_its_own_reader(table) -> None:  # type: ignore[no-untyped-def]
    data = make_netcdf(table)
    assert data == make_netcdf(table)
    with netcdf_file(io.BytesIO(data), "r", mmap=False) as file:
        pitch = file.variables["jacket_pitch"]
        assert (pitch.units, list(pitch[:])) == (b"m", list(table.axes[0].values))
        flow = file.variables["delivered_mass_flow"]
        assert flow.units == b"kg s-1"
        assert flow.shape == (2, *table.shape)
        states = file.variables["state"]
        assert states.flag_meanings == b"solved stalled failed impossible idle"
        for i, row in enumerate(table.rows):
            place = np.unravel_index(i, table.shape)
            wanted = row.numbers.get("delivered_mass_flow", FILL)
            assert flow[(0, *place)] == wanted
            assert states[place] == (3 if row.state == "impossible" else 0)


def test_a_workbook_has_the_same_bytes_and_the_same_cells() -> None:
    data = make_workbook(LINE)
    assert data == make_workbook(LINE)
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        sheet = ElementTree.fromstring(book.read("xl/worksheets/sheet2.xml"))
    space = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
    cells = {c.get("r"): c.findtext(f"{space}v") for c in sheet.iter(f"{space}c")}
    rows = csv_rows(LINE)
    begin = HEADS + 1
    assert [float(cells[f"A{begin + i}"] or 0) for i in range(4, 9)] == [
        float(row[0]) for row in rows[4:]
    ]
    assert float(cells[f"D{begin + 5}"] or 0) == float(rows[5][3])


@TABLES
@pytest.mark.parametrize("ascii_only", [True, False])
def test_text_fits_the_page_and_loses_nothing_without_colour(table, ascii_only) -> None:  # type: ignore[no-untyped-def]
    text = make_study_text(table, ascii_only=ascii_only)
    assert max(map(len, text.splitlines())) <= 80
    assert text.isascii() or not ascii_only
    colored = make_study_text(table, color=True, ascii_only=ascii_only)
    for escape in ("\x1b[0m", "\x1b[1m", "\x1b[31;1m", "\x1b[32;1m", "\x1b[33;1m"):
        colored = colored.replace(escape, "")
    assert colored == text
    assert "the rib is as wide as the pitch or wider" in " ".join(text.split())


def test_the_text_names_best_plateau_and_end() -> None:
    text = " ".join(make_study_text(LINE).split())
    assert "still improving at 42 mm, the end of the range" in text
    assert "coolest discharge 22 mm: " in text


def test_a_file_is_whole_or_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    goal = tmp_path / "study.csv"
    write_bytes(goal, b"old")
    with pytest.raises(FileExistsError):
        write_bytes(goal, b"new")
    assert goal.read_bytes() == b"old"

    def full(_: int) -> None:
        raise OSError("no space left")

    with monkeypatch.context() as patch:
        patch.setattr("os.fsync", full)
        with pytest.raises(OSError, match="no space"):
            write_bytes(goal, b"new", force=True)
    assert goal.read_bytes() == b"old"
    write_bytes(goal, b"new", force=True)
    assert [file.name for file in tmp_path.iterdir()] == ["study.csv"]
    assert goal.read_bytes() == b"new"


def test_a_replaced_file_keeps_its_permissions(tmp_path: Path) -> None:
    """As writing into the file itself leaves them (POSIX); a new one has what the umask leaves."""
    goal, other = tmp_path / "study.csv", tmp_path / "other"
    write_bytes(goal, b"old")
    other.write_bytes(b"")
    assert goal.stat().st_mode == other.stat().st_mode
    goal.chmod(0o640)
    write_bytes(goal, b"new", force=True)
    assert goal.read_bytes() == b"new"
    assert goal.stat().st_mode & 0o777 == 0o640
