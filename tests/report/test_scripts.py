"""Texts of any script go through; a letter that the PDF's fonts lack is replaced, and told."""

from __future__ import annotations

import io
import struct
import unicodedata
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from report_reader import ReadPage
from report_sample import CASES, found, report_of

from jacketcalc.assessment.result import Assessment
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.cli.main import main
from jacketcalc.report.html import make_html
from jacketcalc.report.pdf import make_pdf, make_source
from jacketcalc.report.typesetting import (
    MARK,
    describe_lacking,
    find_lacking,
    quote,
    replace_lacking,
    set_pdf,
)
from jacketcalc.report.xlsx import make_xlsx
from jacketcalc.studies.axes import parse_axis
from jacketcalc.studies.netcdf import make_netcdf
from jacketcalc.studies.study_table import StudyRow, StudyTable

SINGLE = (CASES / "single.toml").read_text("utf-8")
SCRIPTS = {
    "Chinese": "轴承试验台",
    "kana": "カナとかな",
    "Hangul": "베어링",
    "Thai": "แบริ่ง",
    "emoji": "\U0001f600\U0001f9ca",
    "full-width": "ＡＢ＝",
    "inner mark": "a\ufeffb",
    "soft hyphen and joiners": "a\u00adb\u200dc\u200b",
    "Cyrillic": "Испытание",
    "Greek": "Δοκιμή",
    "Hebrew": "שלום",
    "accents": "Größe, naïve, Ångström",
    "combined": "a\u0301e\u0308",
    "private": "\ue000\U000f0000",
    "odd blanks": "a\u3000b\u2028c\u00a0d",
}


@pytest.mark.parametrize("script", SCRIPTS)
def test_every_script_can_be_set(script: str) -> None:
    """Typst itself, under PDF/UA, says what it can set."""
    text = SCRIPTS[script]
    lacking = find_lacking(text)
    page = f'#set document(title: "x")\n#({quote(text)})\n#strong({quote(text)})'
    assert set_pdf(replace_lacking(page, lacking)).startswith(b"%PDF")
    if script in ("Cyrillic", "Greek", "accents", "combined"):
        assert not lacking
    if script in ("Chinese", "kana", "Hangul", "Thai", "emoji", "full-width"):
        assert set(lacking) == {letter for letter in text if ord(letter) > 0x17F}


def test_what_is_said_of_missing_letters() -> None:
    assert describe_lacking("軸") == (
        f"The fonts of the PDF lack 1 letter of this case, shown as {MARK}: U+8EF8. The page, the "
        "workbook and the attached case keep them."
    )
    assert "U+4E0B and 8 more." in describe_lacking("".join(map(chr, range(0x4E00, 0x4E14))))
    assert find_lacking("a\tb") == ""


def assessed_with(title: str, comment: str) -> Assessment:
    """Return the hot single stage, solved, under another title and with a comment."""
    text = SINGLE.replace('title = "Hot', f'title = "{title} Hot')
    text = text.replace("[receiver]", f"[receiver] # {comment}").replace(
        'number = "TC-0043"', f'number = "TC-0043"\nauthor = "{title}"'
    )
    solved = found("single")
    assert read_case_text(text).machine == solved.case.machine
    return replace(solved, case=read_case_text(text))


def test_a_report_of_all_scripts_keeps_its_title() -> None:
    title = "轴承 カナ 베어링 แบริ่ง \U0001f600 ＡＢ Größe Испытание"
    report = report_of(assessed_with(title, "\t軸\ufeff\tＡ"))
    source = make_source(report, "a4")
    lacking = find_lacking(source)
    assert "轴" in lacking and "ß" not in lacking and "И" not in lacking
    assert make_pdf(report).startswith(b"%PDF")
    # Metadata and the attached case are no letters of a font: nothing in them is replaced.
    shown = replace_lacking(source, lacking)
    assert "\\u{8f74}\\u{627f}" in shown.split("#set document(title:")[1].split("\n")[0]
    attached = next(line for line in shown.split("\n") if line.startswith("#pdf.attach"))
    assert "\\u{8ef8}" in attached and MARK not in attached
    assert title in make_html(report)
    with zipfile.ZipFile(io.BytesIO(make_xlsx(report))) as book:
        assert title in book.read("xl/sharedStrings.xml").decode("utf-8")


def names_of(data: bytes) -> list[bytes]:
    """Return the names of dimensions and variables of a NetCDF-3 file, read by its format."""
    assert data[:4] == b"CDF\x02"
    at = 8
    found: list[bytes] = []

    def number() -> int:
        nonlocal at
        at += 4
        return int(struct.unpack(">i", data[at - 4 : at])[0])

    def text() -> bytes:
        nonlocal at
        size = number()
        at += -(-size // 4) * 4
        start = at - -(-size // 4) * 4
        return data[start : start + size]

    def attributes() -> None:
        nonlocal at
        _, count = number(), number()
        for _ in range(count):
            text()
            width = {1: 1, 2: 1, 3: 2, 4: 4, 5: 4, 6: 8}[number()]
            size = number() * width
            at += -(-size // 4) * 4

    _, count = number(), number()
    for _ in range(count):
        found.append(text())
        number()
    attributes()
    _, count = number(), number()
    for _ in range(count):
        found.append(text())
        for _ in range(number()):
            number()
        attributes()
        at += 16  # type, size and the offset of eight bytes
    return found


@pytest.mark.parametrize("name", ["ступень", "高圧段", "Größe", "étage"])
def test_netcdf_has_names_in_utf_8(name: str) -> None:
    """NetCDF-3 names are UTF-8 in composed form (the format's specification; from memory)."""
    case = read_case_text(SINGLE.replace('"main"', f'"{name}"'))
    path = f"stage.{name}.jacket.gap"
    axis = parse_axis(case, f"{path}=6mm,7mm")
    rows = tuple(
        StudyRow(values=(value,), texts=(text,), state="solved", members=({"a": 1.0},))
        for value, text in zip(axis.values, axis.texts, strict=True)
    )
    data = make_netcdf(
        StudyTable(
            case=case, axes=(axis,), members=("as stated",), columns=(), rows=rows, bare=({},)
        )
    )
    wanted = unicodedata.normalize("NFC", path.replace(".", "_"))
    assert wanted in [own.decode("utf-8") for own in names_of(data)]


@pytest.fixture
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_stage_in_cyrillic_makes_all_files(empty: Path) -> None:
    Path("case.toml").write_text(SINGLE.replace('"main"', '"ступень"'), "utf-8")
    over = ["--over", "jacket.gap=7mm", "--no-range", "-o", "v"]
    assert main(["vary", "case.toml", *over]) == 0
    made = {file.name for file in (empty / "v").iterdir()}
    assert made >= {f"vary.{ending}" for ending in ("csv", "json", "nc", "txt", "xlsx")}


def test_names_in_other_scripts() -> None:
    title = "Рубашка охлаждения · Ψύξη κυλίνδρου " + 12 * "long title "
    assessment = found("hot")
    report = report_of(replace(assessment, case=replace(assessment.case, title=title)))
    assert title.strip() in ReadPage(make_html(report)).text
    assert make_pdf(report, "us-letter").startswith(b"%PDF")
