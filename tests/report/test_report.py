"""The report as a whole: sections in order, the same content in every format, the same bytes."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from report_reader import ReadPage, cells_of, main_page, main_report, without_case
from report_sample import CASES, found, report_of

from jacketcalc.cli.main import main
from jacketcalc.report.html import make_html
from jacketcalc.report.model import plain
from jacketcalc.report.pdf import make_pdf, make_source
from jacketcalc.report.typesetting import quote
from jacketcalc.report.xlsx import make_xlsx


def test_sections_in_order() -> None:
    numbers = [section.number for section in main_report().sections]
    assert numbers == [*map(str, range(1, len(numbers))), "A"]
    titles = " ".join(section.title for section in main_report().sections)
    assert titles.index("criteria") < titles.index("Results") < titles.index("References")


def test_same_bytes_twice() -> None:
    once, again = report_of(found("hot")), report_of(found("hot"))
    for write in (lambda r: make_html(r).encode(), make_pdf, make_xlsx):
        assert write(once) == write(again)


def test_nothing_is_added_to_a_unit() -> None:
    """SP 811 7.4 and 7.5 (from memory): the unit says nothing of the quantity."""
    body = without_case(ReadPage(main_page()).text)
    assert not re.findall(r"\b(barg|bara|psig|psia|Nl/min|%vol|ppm|bar\(a\)|bar\(g\))", body)
    assert "degC" not in body


def test_formats_hold_the_same_tables() -> None:
    report = main_report()
    page, source = ReadPage(main_page()).text, make_source(report, "a4")
    for _, cell in cells_of(report):
        text = plain(cell.text)
        set_apart = "_" in text or "^" in text or not isinstance(cell.text, str)
        assert text in page or set_apart
        assert quote(text) in source or set_apart
    names = ZipFile(BytesIO(make_xlsx(report))).namelist()
    assert sum(name.startswith("xl/worksheets/sheet") for name in names) == 1 + len(
        list(report.tables())
    )


def test_command_refuses_before_it_computes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = str(CASES / "hot.toml")
    (tmp_path / "hot.pdf").write_text("kept", "utf-8")
    wrong = (
        (["--format", "docx"], "docx"),
        (["--format", ","], "no format"),
        (["--with", "weather"], "weather"),
        (["-o", str(tmp_path)], "exists"),
        (["-o", case], "not a folder"),
    )
    for arguments, words in wrong:
        assert main(["report", case, *arguments]) == 2
        assert words in capsys.readouterr().err
    assert (tmp_path / "hot.pdf").read_text("utf-8") == "kept"
