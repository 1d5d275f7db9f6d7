"""The report: same content in every format, nothing from a case can run, every number traced."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from functools import cache
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from report_sample import CASES, COARSE, MAIN, found, report_of, result_of, stalled

from jacketcalc import __version__
from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.hand_check import hand_checks
from jacketcalc.assessment.range_use import range_uses
from jacketcalc.casefile.reading import read_case, read_case_text
from jacketcalc.cli.main import main
from jacketcalc.report.gather import gather
from jacketcalc.report.html import make_html
from jacketcalc.report.model import Cell, Report, Table, plain
from jacketcalc.report.pdf import make_pdf, make_source
from jacketcalc.report.typesetting import quote
from jacketcalc.report.xlsx import make_xlsx
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.verification.published import Verification

REPORTS = Path(__file__).parent.parent / "reports"
EVIL = "<script>alert(1)</script><img src=x onerror=alert(2)> &amp; #read(1) $x$ ' ]] </style>"


@cache
def main_report() -> Report:
    return report_of(found("impact_laboratory"))


@cache
def main_page() -> str:
    return make_html(main_report())


class _Page(HTMLParser):
    """What of a page matters here."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.ids: list[str] = []
        self.text = ""
        self.headings: list[int] = []
        self._quiet = 0
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.tags.append((tag, found))
        if found.get("id"):
            self.ids.append(str(found["id"]))
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        self._quiet += tag in ("style", "svg")

    def handle_endtag(self, tag: str) -> None:
        self._quiet -= tag in ("style", "svg")

    def handle_data(self, data: str) -> None:
        if not self._quiet:
            self.text += data

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.tags if name == tag]


def _numbers(report: Report) -> Iterator[tuple[Table, Cell]]:
    for table in report.tables():
        for row in table.rows:
            for cell in row.cells:
                yield table, cell


def _look_up(result: Any, path: str) -> Any:
    """Follow a path such as `detail.bare.stages[0].jacket.heat`; a ledger's keys hold spaces."""
    head, mark, key = path.partition(".ledger.")
    for step in re.findall(r"[^.\[\]]+|\[\d+\]", head):
        result = result[int(step[1:-1])] if step.startswith("[") else result[step]
    return result["ledger"][key] if mark else result


def test_every_traced_number_is_the_json_result() -> None:
    """Each cell with a path holds what the JSON result holds there."""
    assessment = found("impact_laboratory")
    result = result_of(assessment)
    count = 0
    for table, cell in _numbers(main_report()):
        if cell.path and cell.value is not None:
            assert _look_up(result, cell.path) == cell.value, (table.name, cell.path)
            count += 1
    assert count > 200


def test_ledger_adds_up_as_printed() -> None:
    ledger = next(t for t in main_report().tables() if t.name == "ledger")
    for column in (1, 2):
        numbers = [row.cells[column].number or 0.0 for row in ledger.rows if not row.total]
        assert abs(sum(numbers)) < 1e-9


def test_split_adds_up_as_printed() -> None:
    split = next(t for t in main_report().tables() if t.name == "split")
    for column in (1, 2, 3):
        *parts, whole = [row.cells[column].number for row in split.rows]
        assert all(p is not None for p in parts)
        assert sum(p or 0.0 for p in parts) == pytest.approx(whole, abs=1e-9)


def test_hand_checks_agree() -> None:
    """First law on printed temperatures, air from the table: within 1 %."""
    checks = hand_checks(found("impact_laboratory"))
    assert len(checks) == 3
    assert all(abs(check.difference) < 0.01 for check in checks)


def test_ranges_cover_the_case() -> None:
    uses = range_uses(found("impact_laboratory"))
    curved = [u for u in uses if u.record == "coil, turbulent friction"]
    assert curved and all(u.found[0] > 0.0 for u in curved)
    assert all(u.found[0] <= u.found[1] for u in uses)


def test_sections_in_order() -> None:
    numbers = [section.number for section in main_report().sections]
    assert numbers == [*map(str, range(1, len(numbers))), "A"]
    titles = " ".join(section.title for section in main_report().sections)
    assert titles.index("criteria") < titles.index("Results") < titles.index("References")


def test_page_is_accessible() -> None:
    """Headings without gaps, table heads with scope, pictures with words, names used once."""
    page = _Page(main_page())
    assert page.headings[0] == 1 and page.headings.count(1) == 1
    assert all(b - a <= 1 for a, b in zip(page.headings[:-1], page.headings[1:], strict=True))
    assert all(attrs.get("scope") in ("col", "row", "rowgroup") for attrs in page.named("th"))
    assert all(a.get("role") == "img" and a.get("aria-label") for a in page.named("svg"))
    assert len(page.ids) == len(set(page.ids))
    assert page.named("html")[0]["lang"] == "en"
    assert len(page.named("caption")) == len(page.named("table"))


def test_page_asks_for_nothing() -> None:
    """No script, no request: every link stays inside the page."""
    page = _Page(main_page())
    names = {tag for tag, _ in page.tags}
    assert not names & {"script", "link", "iframe", "object", "embed", "form", "base", "img"}
    for tag, attrs in page.tags:
        for key, value in attrs.items():
            assert not key.startswith("on"), (tag, key)
            if key in ("src", "href", "xlink:href"):
                assert str(value).startswith("#"), (tag, key, value)
    assert "@import" not in main_page() and "url(http" not in main_page()
    policy = [a for a in page.named("meta") if a.get("http-equiv") == "Content-Security-Policy"]
    assert "default-src 'none'" in str(policy[0]["content"])


def test_every_reference_inside_a_picture_has_its_target() -> None:
    page = _Page(main_page())
    wanted = set(re.findall(r"url\(#([^)]+)\)", main_page()))
    wanted |= {str(a[k])[1:] for _, a in page.tags for k in ("href", "xlink:href") if a.get(k)}
    assert wanted <= set(page.ids)


def test_same_bytes_twice() -> None:
    once, again = report_of(found("impact_laboratory")), report_of(found("impact_laboratory"))
    for write in (lambda r: make_html(r).encode(), make_pdf, make_xlsx):
        assert write(once) == write(again)


def _without_case(text: str) -> str:
    """Return a page's words up to the case file, which is kept as it was written."""
    return text[: text.rindex(MAIN.splitlines()[0])]


def test_nothing_is_added_to_a_unit() -> None:
    """SP 811 7.4 and 7.5 (from memory): the unit says nothing of the quantity."""
    body = _without_case(_Page(main_page()).text)
    assert not re.findall(r"\b(barg|bara|psig|psia|Nl/min|%vol|ppm|bar\(a\)|bar\(g\))", body)
    assert "degC" not in body


def test_formats_hold_the_same_tables() -> None:
    report = main_report()
    page, source = _Page(main_page()).text, make_source(report, "a4")
    for _, cell in _numbers(report):
        text = plain(cell.text)
        set_apart = "_" in text or "^" in text
        assert text in page or set_apart
        assert quote(text) in source or set_apart
    names = ZipFile(BytesIO(make_xlsx(report))).namelist()
    assert sum(name.startswith("xl/worksheets/sheet") for name in names) == 1 + len(
        list(report.tables())
    )


def _evil_text() -> str:
    words = json.dumps(EVIL)
    text = MAIN.replace('number = "TC-0042"', f"number = {words}")
    text = re.sub("^title = .*$", lambda _: f"title = {words}", text, count=1, flags=re.M)
    fields = "".join(f"{key} = {words}\n" for key in ("owner", "date", "author", "checker"))
    text = text.replace('revision = "A"', f"revision = {words}\napprover = {words}\n{fields}")
    sourced = f'source = "invented"\\nreference = {words}'
    return re.sub('source = "invented"', sourced, text, count=1)


def _renamed(value: Any) -> Any:
    """Return a result whose stages are called what no case file would let them be called."""
    if isinstance(value, str):
        return value.replace("medium", "<b>m&'#$").replace("high", '</td>"x')
    if isinstance(value, tuple):
        return tuple(_renamed(item) for item in value)
    if isinstance(value, dict):
        return {_renamed(key): item for key, item in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: _renamed(getattr(value, f.name)) for f in fields(value)})
    return value


def test_nothing_of_a_case_can_run() -> None:
    """Angle brackets, quotes and Typst's own marks in every text come out as letters."""
    case = read_case_text(_evil_text())
    assessment = replace(found("impact_laboratory"), case=case)
    given = assessment.case.given
    evil = replace(_renamed(assessment), case=replace(_renamed(case), given=given))
    report = report_of(evil)
    text = make_html(report)
    page = _Page(text)
    assert not {tag for tag, _ in page.tags} & {"script", "img"}
    assert all(not key.startswith("on") for _, attrs in page.tags for key in attrs)
    assert page.text.count(EVIL) >= 7
    assert '</td>"x' in page.text and "<b>m&'#$" in page.text
    assert text.count("</style>") == text.count("<style")
    assert make_pdf(report).startswith(b"%PDF")
    assert make_xlsx(report)[:2] == b"PK"


def test_names_in_other_scripts() -> None:
    title = "Рубашка охлаждения · Ψύξη κυλίνδρου " + 12 * "long title "
    assessment = found("impact_laboratory")
    report = report_of(replace(assessment, case=replace(assessment.case, title=title)))
    assert title.strip() in _Page(make_html(report)).text
    assert make_pdf(report, "us-letter").startswith(b"%PDF")


def test_every_input_assumed() -> None:
    """A hundred assumptions: each bears its mark in the table, the first page counts them."""
    assessment = found("impact_laboratory")
    given = tuple(replace(entry, assumed=True) for entry in assessment.case.given)
    report = report_of(replace(assessment, case=replace(assessment.case, given=given)))
    inputs = next(t for t in report.tables() if t.name == "inputs")
    marks = [plain(row.cells[0].text) for row in inputs.rows if not row.group]
    marked = [mark for mark in marks if mark]
    assert len(marked) == len(set(marked)) > 40
    assert f"A1 to A{len(marked)}" in " ".join(report.cover.notes[0][1])
    assert dict(report.cover.fields)["Status"] == "contains assumptions to be confirmed"


def test_command_refuses_before_it_computes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = str(CASES / "impact_laboratory.toml")
    (tmp_path / "impact_laboratory.pdf").write_text("kept", "utf-8")
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
    assert (tmp_path / "impact_laboratory.pdf").read_text("utf-8") == "kept"


def test_single_stage() -> None:
    report = report_of(found("single_stage"))
    assert _Page(make_html(report)).headings
    assert make_pdf(report).startswith(b"%PDF")


def test_stalled_machine() -> None:
    assessment = stalled()
    assert assessment.jacketed.stalled
    page = _Page(make_html(report_of(assessment)))
    assert "stalls" in page.text
    assert "nan" not in page.text.lower().split()
    assert make_pdf(report_of(assessment)).startswith(b"%PDF")


def test_inch_pound_is_never_mixed() -> None:
    case = read_case(str(CASES / "impact_laboratory.toml"))
    case = replace(case, document=replace(case.document, units="inch-pound"))
    report = report_of(assess(case, resolution=COARSE))
    text = _without_case(_Page(make_html(report)).text)
    text = text.partition("5\u2002Method")[0] + text.rpartition("6\u2002Results")[2]
    for words in (case.title, "1.2 bores, 20 mm"):
        text = text.replace(words, "")
    assert "°F" in text and "psi" in text
    assert not re.findall(r"\d\s?(?:°C|bar|mm|K|W|kg/h)\b", text)


def test_finished_report_is_fresh() -> None:
    """The report in `reports/` is of this case and this version, with these numbers.

    Remade by: jacketcalc report cases/impact_laboratory.toml -o reports --with pitch --force
    """
    case = read_case(str(CASES / "impact_laboratory.toml"))
    page = (REPORTS / "impact_laboratory.html").read_text("utf-8")
    assert f'<meta name="case-sha256" content="{case.sha256}">' in page
    assert f'<meta name="generator" content="jacketcalc {__version__}">' in page
    fresh = gather(make_dossier(assess(case)), Verification(findings=()))
    printed = _cells(page)
    for table in fresh.tables():
        if table.name not in ("results", "limits", "band", "ledger", "inputs"):
            continue
        for row in table.rows:
            label = next(plain(c.text) for c in row.cells if plain(c.text) and c.number is None)
            for cell in row.cells:
                if cell.number is not None:
                    assert _close(cell, printed), (table.name, label, plain(cell.text))
    assert (REPORTS / "impact_laboratory.pdf").read_bytes().startswith(b"%PDF")
    book = ZipFile(REPORTS / "impact_laboratory.xlsx")
    assert case.sha256 in book.read("xl/sharedStrings.xml").decode("utf-8")


def _cells(page: str) -> set[str]:
    return set(re.findall(r"<t[dh][^>]*>(?:<b>)?([^<]*)", page))


def _close(cell: Cell, printed: set[str]) -> bool:
    """Return whether a number stands in the page, the last digit up or down."""
    text = plain(cell.text)
    if text in printed:
        return True
    number, space, unit = text.partition("\u00a0")
    digits = number.replace("−", "-")
    decimals = len(digits.partition(".")[2])
    step = 10.0**-decimals
    for move in (-step, step):
        near = (
            f"{float(digits) + move:+.{decimals}f}"
            if digits[0] in "+-"
            else (f"{float(digits) + move:.{decimals}f}")
        )
        if near.replace("-", "−") + space + unit in printed:
            return True
    return False
