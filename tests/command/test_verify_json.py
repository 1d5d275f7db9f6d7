"""`verify --json`: the same rows and counts as on the screen, each number with its unit."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from jacketcalc.cli.main import main
from jacketcalc.verification import (
    run_verification,
    verification_html,
    verification_json,
    verification_text,
)
from jacketcalc.verification.published import CAUTION, Verification
from jacketcalc.verification.read_sources import published_checks, read_checks


@pytest.fixture(scope="module")
def report() -> Verification:
    """Every published case."""
    return run_verification()


def rows(report: Verification) -> dict[str, Any]:
    return {row["id"]: row for row in json.loads(verification_json(report))["rows"]}


def test_rows_and_counts_are_those_of_the_report(report: Verification) -> None:
    text = verification_json(report)
    found = json.loads(text)
    assert found["format"] == "jacketcalc-verification-1" and text.isascii()
    assert [row["id"] for row in found["rows"]] == [f.check.id for f in report.findings]
    labels = Counter(row["label"] for row in found["rows"])
    counts = found["counts"]
    assert counts["rows"] == len(report.findings) == sum(labels.values())
    assert labels == {"agrees": counts["agree"], "same formula": counts["same_formula"],
                      "disagrees": counts["disagree"], "doubtful": counts["doubtful"]}  # fmt: skip
    known = [r for r in found["rows"] if r["label"] == "disagrees" and r["disagrees"]]
    assert len(known) == counts["disagree_known"]
    assert found["passed"] is report.passed
    for words in (f"{counts['agree']} agree", f"{counts['disagree']} disagree"):
        assert words in found["sentence"]
    assert {row["source"] for row in found["rows"]} == {s["key"] for s in found["sources"]}


def test_numbers_stand_in_the_unit_printed(report: Verification) -> None:
    """Found less expected is the difference; both are in the unit that the source prints."""
    found = rows(report)
    for finding in report.findings:
        row = found[finding.check.id]
        assert row["unit"] == (finding.check.expected.unit or "-")
        if row["range"] is None:
            assert row["expected"] == float(finding.check.expected.text)
            assert row["found"] - row["expected"] == pytest.approx(
                row["difference"], abs=1e-9 * abs(row["found"])
            )
            inside = abs(row["difference"]) <= row["tolerance"]
            assert inside is row["agrees"]
    # Sublimation pressure at -20 degC, 103.24 Pa (ASHRAE 2017, chapter 1, table 3, read).
    ice = found["ashrae-ice-20"]
    assert ice["unit"] == "Pa" and ice["printed"] == "103.24 Pa"
    assert ice["found"] == pytest.approx(103.24, rel=1e-3)


def test_a_range_keeps_both_ends() -> None:
    source = {"citation": "c", "where": "d", "obtained": "read", "kind": "table"}
    row = {"id": "a", "part": "water in air", "what": "b", "quantity": "vapour pressure over ice",
           "inputs": {"T": "-20 degC"}, "range": ["90", "100 Pa"]}  # fmt: skip
    (one,) = rows(run_verification(list(read_checks("book", {**source, "check": [row]})))).values()
    assert one["range"] == pytest.approx([90.0, 100.0]) and one["label"] == "disagrees"
    # 103.24 Pa lies 3.24 Pa above the range (ASHRAE, as above).
    assert one["difference"] == pytest.approx(3.24, abs=0.03)


def test_the_caution_stands_in_every_form(report: Verification) -> None:
    assert "High-pressure air can kill" in CAUTION and "oil can ignite" in CAUTION
    assert "local codes" in CAUTION and "licensed people" in CAUTION
    assert CAUTION in " ".join(verification_text(report).split())
    assert CAUTION in verification_html(report)
    assert json.loads(verification_json(report))["caution"] == CAUTION
    assert max(map(len, verification_text(report).split("\n"))) <= 80


def test_the_command_writes_what_option_or_name_say(
    report: Verification,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    broken = run_verification([replace(published_checks()[0], tolerance=0.0, disagrees="")])
    told = {"now": report}
    monkeypatch.setattr("jacketcalc.verification.run_verification", lambda **_: told["now"])
    assert main(["verify", "--json"]) == 0
    assert capsys.readouterr().out == verification_json(report)
    for name, options, wanted in (
        ("v.json", [], verification_json), ("v.html", [], verification_html),
        ("v.txt", [], verification_text), ("w.txt", ["--json"], verification_json),
        ("w.json", ["--html"], verification_html),
    ):  # fmt: skip
        assert main(["verify", *options, "-o", name]) == 0
        assert Path(name).read_text(encoding="utf-8") == wanted(report)
    assert main(["verify", "--json", "--html"]) == 2
    assert "exclude one another" in capsys.readouterr().err
    told["now"] = broken
    assert main(["verify", "--json"]) == 3
    shown = json.loads(capsys.readouterr().out)
    assert shown["passed"] is False and shown["counts"]["disagree"] == 1
