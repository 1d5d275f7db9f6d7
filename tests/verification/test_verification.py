"""The form of the published cases, and the two faces of the verification."""

from __future__ import annotations

from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from jacketcalc.cli.commands.verify import command
from jacketcalc.errors import RangeError
from jacketcalc.verification import run_verification, verification_html, verification_text
from jacketcalc.verification.amounts import from_si, read_amount
from jacketcalc.verification.published import PARTS, Verification
from jacketcalc.verification.read_sources import published_checks, read_checks
from jacketcalc.verification.run_published import find

ROW = {
    "id": "a",
    "part": "water in air",
    "what": "b",
    "quantity": "vapour pressure over ice",
    "inputs": {"T": "-20 degC"},
    "expected": "103.24 Pa",
}
SOURCE = {"citation": "c", "where": "d", "obtained": "read", "kind": "table"}


@pytest.fixture(scope="module")
def report() -> Verification:
    """A few cheap checks: one that agrees, one in doubt, one made to disagree."""
    wanted = ("ashrae-ice-20", "ice-point-cv", "cengel-8-6", "cimbala-tyre")
    checks = [check for check in published_checks() if check.id in wanted]
    broken = replace(checks[0], id="broken", tolerance=0.0, what="A <case> & more")
    return run_verification([*checks, broken])


@pytest.mark.parametrize(
    ("text", "value"),
    [("30 mm", 0.03), ("-20 degC", 253.15), ("14.7 psi", 101352.9), ("0.71", 0.71)],
)
def test_amounts(text: str, value: float) -> None:
    amount = read_amount(text)
    assert amount.value == pytest.approx(value, rel=1e-6)
    assert from_si(amount.value, amount.unit) == pytest.approx(float(amount.text))


def test_half_a_digit() -> None:
    """Half of the last digit printed, in the unit it is printed in."""
    assert read_amount("4.68 m").half_digit == pytest.approx(0.005, rel=1e-6)
    assert read_amount("443 W").half_digit == pytest.approx(0.5, rel=1e-6)
    assert read_amount("37.1 %").half_digit == pytest.approx(5e-4, rel=1e-6)


@pytest.mark.parametrize("text", ["30 furlongs", "thirty mm"])
def test_unreadable_amounts(text: str) -> None:
    with pytest.raises(RangeError):
        read_amount(text)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"part": "nonsense"}, "part"),
        ({"relative": 0.1}, "because"),
        ({"absolute": "1 Pa"}, "because"),
        ({"colour": "red"}, "unknown key"),
    ],
)
def test_bad_data_is_refused(change: dict[str, object], message: str) -> None:
    with pytest.raises(RangeError, match=message):
        list(read_checks("book", {**SOURCE, "check": [{**ROW, **change}]}))


def test_unknown_quantity_is_refused() -> None:
    (check,) = read_checks("book", {**SOURCE, "check": [{**ROW, "quantity": "phlogiston"}]})
    with pytest.raises(RangeError, match="phlogiston"):
        find(check)


def test_a_range_has_no_middle() -> None:
    """Inside a published range nothing differs; outside, the distance to its end counts."""
    row = {key: value for key, value in ROW.items() if key != "expected"}
    (inside,) = read_checks("book", {**SOURCE, "check": [{**row, "range": ["100", "104 Pa"]}]})
    (below,) = read_checks("book", {**SOURCE, "check": [{**row, "range": ["90", "100 Pa"]}]})
    assert find(inside).agrees and find(inside).difference == 0.0
    assert not find(below).agrees
    assert find(below).difference == pytest.approx(3.24, abs=0.03)


def test_states_and_count(report: Verification) -> None:
    states = {f.check.id: f.state for f in report.findings}
    assert states["ashrae-ice-20"] == "agrees"
    assert states["ice-point-cv"] == "doubtful"
    assert states["broken"] == "DISAGREES"
    assert not report.passed
    assert report.count.startswith("5 checks from 4 sources")
    assert "2 agree with something other than their own formula, 1 only show" in report.count
    assert report.count.endswith("1 disagree, 1 doubtful and explained")
    assert states["cimbala-tyre"] == "same formula"


def test_text(report: Verification) -> None:
    lines = verification_text(report).splitlines()
    first = " ".join(lines[:4])
    assert "Nothing here was measured on a jacket or on a booster" in first
    assert max(map(len, lines)) <= 80
    assert " ".join(lines[-2:]).endswith(report.count[-40:])
    headings = [line for line in lines if line.isupper() or line[:5].isupper()]
    assert any(line.startswith("WATER IN AIR") for line in headings)
    assert any("Doubtful:" in line for line in lines)


class Page(HTMLParser):
    """Collects what a browser would load, and the balance of tags."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: list[str] = []
        self.open: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        if tag not in ("meta", "br", "link", "img"):
            self.open.append(tag)
        for name, value in attrs:
            if name in ("href", "src") and value:
                self.links.append(value)
            if name == "id" and value:
                self.ids.append(value)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_page(report: Verification) -> None:
    """Whole, self-contained, every link inside it, headed tables, and escaped."""
    text = verification_html(report)
    page = Page()
    page.feed(text)
    assert not page.open
    assert all(link.startswith("#") and link[1:] in page.ids for link in page.links)
    assert len(set(page.ids)) == len(page.ids)
    assert "script" not in page.tags
    assert text.count("<table") == text.count("<caption") == text.count("<thead")
    assert '<html lang="en">' in text
    assert "A &lt;case&gt; &amp; more" in text
    assert text == verification_html(report)


@pytest.mark.parametrize(("sound", "status"), [(True, 0), (False, 3)])
def test_command(
    report: Verification, sound: bool, status: int, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Status 3 when a case disagrees; the results are written all the same."""
    kept = tuple(f for f in report.findings if f.agrees or f.check.doubtful or not sound)
    monkeypatch.setattr(
        "jacketcalc.verification.run_verification", lambda **_: replace(report, findings=kept)
    )
    shown = CliRunner().invoke(command, [])
    assert shown.exit_code == status
    assert "WATER IN AIR" in shown.output
    page = tmp_path / "dossier.html"
    assert CliRunner().invoke(command, ["-o", str(page)]).exit_code == status
    assert page.read_text("utf-8").startswith("<!DOCTYPE html>")


def test_every_part_has_a_case() -> None:
    assert {check.part for check in published_checks()} == set(PARTS)
