"""A study or report whose file cannot be made says so and leaves nothing half written."""

from __future__ import annotations

from pathlib import Path

import pytest
from report_sample import CASES, found

from jacketcalc.cli.file_set import write_all
from jacketcalc.cli.main import main
from jacketcalc.cli.output import CommandError
from jacketcalc.studies import solve_dossier
from jacketcalc.studies.solve_dossier import make_dossier

SINGLE = (CASES / "single.toml").read_text("utf-8")


@pytest.fixture
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_one_file_that_cannot_be_made_takes_no_other(
    empty: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(_: object) -> bytes:
        raise ValueError("odd")

    Path("case.toml").write_text(SINGLE, "utf-8")
    monkeypatch.setattr("jacketcalc.studies.netcdf.make_netcdf", fail)
    asked = ["vary", "case.toml", "--over", "jacket.gap=7mm", "--no-range", "-o", "v"]
    assert main(asked) == 70
    shown = capsys.readouterr()
    assert "7 mm" in shown.out and "not made: vary.nc" in shown.err
    assert {"vary.csv", "vary.xlsx"} <= {file.name for file in (empty / "v").iterdir()}
    monkeypatch.undo()
    monkeypatch.chdir(empty)
    assert main(asked) == 0
    assert "vary.nc" in {file.name for file in (empty / "v").iterdir()}
    assert not (empty / "v" / "unfinished").exists()


def test_a_pdf_that_cannot_be_made_takes_neither_page_nor_workbook(
    empty: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("case.toml").write_text(SINGLE.replace("[receiver]", "[receiver] # 軸"), "utf-8")
    said: list[str] = []

    def solved(*_: object, **__: object) -> object:
        said.append(capsys.readouterr().err)
        return make_dossier(found("single"))

    def fail(*_: object) -> bytes:
        raise ValueError("odd")

    monkeypatch.setattr(solve_dossier, "solve_dossier", solved)
    monkeypatch.setattr("jacketcalc.report.pdf.make_pdf", fail)
    assert main(["report", "case.toml", "-o", "r"]) == 70
    assert "U+8EF8" in said[0]
    assert "case.pdf" in capsys.readouterr().err
    assert sorted(file.name for file in (empty / "r").iterdir()) == ["case.html", "case.xlsx"]


def test_a_report_whose_second_file_finds_no_room_leaves_none(
    empty: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[Path] = []

    def full(path: Path, data: bytes, **_: bool) -> None:
        if written:
            raise OSError(28, "No space left on device")
        path.write_bytes(data)
        written.append(path)

    monkeypatch.setattr("jacketcalc.studies.files.write_bytes", full)
    with pytest.raises(CommandError, match="no space left"):
        write_all(empty, {empty / "a.html": b"a", empty / "a.pdf": b"b"}, False)
    assert list(empty.iterdir()) == []
