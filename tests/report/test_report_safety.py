"""Nothing of a case can run: marks of HTML, Typst and workbooks come out as letters."""

from __future__ import annotations

import json
import re
from dataclasses import fields, is_dataclass, replace
from typing import Any

from report_reader import ReadPage
from report_sample import MAIN, found, report_of

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.report.html import make_html
from jacketcalc.report.pdf import make_pdf
from jacketcalc.report.xlsx import make_xlsx

EVIL = "<script>alert(1)</script><img src=x onerror=alert(2)> &amp; #read(1) $x$ ' ]] </style>"


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
        return value.replace("first", "<b>m&'#$").replace("second", '</td>"x')
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
    assessment = replace(found("hot"), case=case)
    given = assessment.case.given
    evil = replace(_renamed(assessment), case=replace(_renamed(case), given=given))
    report = report_of(evil)
    text = make_html(report)
    page = ReadPage(text)
    assert not {tag for tag, _ in page.tags} & {"script", "img"}
    assert all(not key.startswith("on") for _, attrs in page.tags for key in attrs)
    assert page.text.count(EVIL) >= 7
    assert '</td>"x' in page.text and "<b>m&'#$" in page.text
    assert text.count("</style>") == text.count("<style")
    assert make_pdf(report).startswith(b"%PDF")
    assert make_xlsx(report)[:2] == b"PK"
