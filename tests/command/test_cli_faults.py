"""A command that fails says so in one line, with a status, and writes no result."""

from __future__ import annotations

import errno
import tempfile
from pathlib import Path

import pytest
from command_line import CASE, failing, laboratory

from jacketcalc.cli import faults
from jacketcalc.cli.main import main
from jacketcalc.errors import ConvergenceError, RangeError


@pytest.mark.parametrize("error", [ConvergenceError("bare: walls, 1e-3"), RangeError("too hot")])
def test_no_solution_is_status_3_and_writes_nothing(
    error: Exception, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["assess", str(CASE), "-o", str(tmp_path / "r.json")]
    assert main(asked, failing(error)) == 3
    shown = capsys.readouterr()
    assert str(error) in shown.err and "nothing was written" in shown.err and not shown.out
    assert max(map(len, shown.err.split("\n"))) <= 80
    assert not list(tmp_path.iterdir())


def test_an_unexpected_fault_is_one_line_and_a_report(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    root = failing(ZeroDivisionError("by nothing\nat all"))
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    assert main(["assess", str(CASE)], root) == 70
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and "ZeroDivisionError: by nothing" in said
    (report,) = tmp_path.iterdir()
    assert str(report) in said
    text = report.read_text()
    assert "Traceback" in text and laboratory().case.sha256 in text
    assert main(["--debug", "assess", str(CASE)], root) == 70
    assert "Traceback" in capsys.readouterr().err
    assert main(["assess", str(CASE), "--debug"], root) == 70
    assert "Traceback" in capsys.readouterr().err


def test_a_fault_without_a_folder_for_temporary_files(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def none(**_: str) -> tuple[int, str]:
        raise FileNotFoundError(errno.ENOENT, "No usable temporary directory found")

    monkeypatch.setattr(faults.tempfile, "mkstemp", none)
    assert main(["assess", str(CASE)], failing(RuntimeError("odd"))) == 70
    shown = capsys.readouterr().err
    assert "RuntimeError: odd" in shown and "no report could be written" in shown
