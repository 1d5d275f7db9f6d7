"""The report shows the rivals of the jackets where they are asked for, with their own numbers."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from printed import near
from report_sample import CASES, found

from jacketcalc.casefile.reading import read_case
from jacketcalc.cli.main import main
from jacketcalc.report.gather import gather
from jacketcalc.report.html import make_html
from jacketcalc.report.model import Report, Table, plain
from jacketcalc.studies.rival_table import RivalTable
from jacketcalc.studies.rivals import solve_rivals
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.verification.published import Verification


@cache
def table() -> RivalTable:
    return solve_rivals(read_case(str(CASES / "single.toml")))


@cache
def report(with_rivals: bool) -> Report:
    rivals = table() if with_rivals else None
    dossier = make_dossier(found("single"), rivals=rivals)
    return gather(dossier, Verification(findings=()))


def test_the_table_prints_what_was_solved() -> None:
    (shown,) = [b for s in report(True).sections for b in s.blocks
                if isinstance(b, Table) and b.name == "rivals"]  # fmt: skip
    assert len(shown.rows) == len(table().rows)
    for line, row in zip(shown.rows, table().rows, strict=True):
        name, flow, change, air, gas, seal, broken = (plain(cell.text) for cell in line.cells)
        one = row.outcome
        assert one is not None and name == row.name
        assert one.delivered_mass_flow * 3600 == near(flow)
        assert one.specific_air_consumption == near(air)
        assert [one.hottest_gas - 273.15, one.hottest_seal - 273.15] == [near(gas), near(seal)]
        assert broken == f"{len(row.broken)} of {row.limits}"
        told = table().changes(row)
        assert told is not None
        if row is not table().stands:
            assert 100 * told.delivery == near(change.replace("−", "-"))


def test_title_and_page_follow_what_was_asked() -> None:
    titles = [section.title for section in report(True).sections]
    assert "Comparison of pitches, and rivals" in titles
    page = make_html(report(True))
    assert all(f"{row.name}: " in page for row in table().rows if row.assumed and row.single)
    assert "--with rivals" not in page
    assert "--with rivals" in make_html(report(False))


def test_the_command_solves_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    case = str(CASES / "single.toml")
    asked = ["report", case, "--with", "rivals", "--format", "html", "-o", str(tmp_path)]
    assert main(asked) == 0
    assert "water jacket" in (tmp_path / "single.html").read_text("utf-8")
    assert not capsys.readouterr().out
