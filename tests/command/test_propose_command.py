"""`propose`, and `assess` of a machine without jackets, from the command line."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest
from places import CASES
from unjacketed import unjacketed, with_make

from jacketcalc.cli.main import main

SINGLE = (CASES / "single.toml").read_text("utf-8")


@pytest.fixture
def bare(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder that holds a machine without jackets."""
    (tmp_path / "bare.toml").write_text(with_make(unjacketed(SINGLE)), "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def names(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir() if file.is_file()}


def test_assess_sends_to_propose_and_propose_writes_what_assess_reads(
    bare: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["assess", "bare.toml"]) == 0
    assert "jacketcalc propose bare.toml" in capsys.readouterr().out
    assert main(["propose", "bare.toml", "--quick", "-o", "jackets.toml"]) == 0
    shown = capsys.readouterr()
    assert "JACKETS PROPOSED" in shown.out and "wrote jackets.toml" in shown.err
    assert "jacketcalc assess jackets.toml --full" in shown.out
    assert main(["assess", "jackets.toml"]) == 0
    first = capsys.readouterr().out
    line = next(line for line in first.split("\n") if line.startswith("delivery  "))
    assert line in shown.out
    assert names(bare) == {"bare.toml", "jackets.toml"}


def test_a_folder_gets_case_text_and_json(bare: Path) -> None:
    assert main(["propose", "bare.toml", "--quick", "--tube", "10mm,14mm", "-o", "found"]) == 0
    assert names(bare / "found") == {"propose.toml", "propose.txt", "propose.json"}
    told = json.loads((bare / "found" / "propose.json").read_text())
    assert (bare / "found" / "propose.toml").read_text() == told["proposed_case"]["text"]
    tree = tomllib.loads(told["proposed_case"]["text"])
    assert tree["exhaust"]["port_1"]["tube"]["bore"] in ("10 mm", "14 mm")


def test_what_stands_is_left_as_it_is(bare: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = (bare / "bare.toml").read_bytes()
    assert main(["propose", "bare.toml", "-o", "bare.toml", "--force"]) == 2
    assert "is the case itself" in capsys.readouterr().err
    (bare / "other.toml").write_text("kept")
    assert main(["propose", "bare.toml", "-o", "other.toml"]) == 2
    assert (bare / "other.toml").read_text() == "kept"
    assert (bare / "bare.toml").read_bytes() == before


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--tube", "12"], "--tube 12"),
        (["--tube", "12mm,12mm"], "stands twice"),
        (["--least-rib", "3"], "--least-rib 3"),
        (["--least-turns", "-1"], "least-turns"),
    ],
)
def test_what_cannot_be_asked_is_refused_before_anything_is_solved(
    bare: Path, capsys: pytest.CaptureFixture[str], options: list[str], said: str
) -> None:
    assert main(["propose", "bare.toml", *options]) == 2
    assert said in capsys.readouterr().err
    assert names(bare) == {"bare.toml"}


@pytest.mark.parametrize("command", ["pitch", "optimise", "rank", "report"])
def test_commands_that_need_jackets_name_the_one_that_winds_them(
    bare: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    more = ["-o", "report"] if command == "report" else []
    assert main([command, "bare.toml", *more]) == 2
    told = " ".join(capsys.readouterr().err.split())
    assert "jacketcalc propose CASE -o jackets.toml" in told
    assert names(bare) == {"bare.toml"}


def test_a_broken_limit_of_a_machine_without_jackets_can_fail_a_script(
    bare: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The discharge of this machine is above its limit of 150 degC without jackets."""
    assert main(["assess", "bare.toml", "--fail-on", "limits,loss"]) == 10
    assert "(--fail-on limits)" in capsys.readouterr().err
    assert main(["assess", "bare.toml", "--fail-on", "loss"]) == 0
    assert main(["assess", "bare.toml", "--json", "-o", "own.json"]) == 0
    assert json.loads((bare / "own.json").read_text())["format"] == "jacketcalc-as-it-is-1"
