"""The command line tells of itself: help, version, completion, and what was meant instead."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from command_line import CASE, run

import jacketcalc
from jacketcalc.cli.group import COMMANDS
from jacketcalc.cli.main import main


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    for flag in ("-h", "--help"):
        assert main([name, flag]) == 0
        shown = capsys.readouterr()
        assert shown.out.startswith(f"Usage: jacketcalc {name} ") and not shown.err
        assert "..." not in shown.out.replace("CASE...", "")
        assert max(len(line) for line in shown.out.split("\n")) <= 80


def test_help_lists_every_command_with_a_whole_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["-h"]) == 0
    shown = capsys.readouterr().out
    for name in COMMANDS:
        assert re.search(rf"^  {name} +\S.*\.$", shown, re.M), name
    assert max(len(line) for line in shown.split("\n")) <= 80


WRONG_COMMANDS: list[list[str]] = [
    [],
    ["asess", "x.toml"],
    ["assess"],
    ["assess", "a.toml", "b.toml"],
    ["assess", "--jsn", "x.toml"],
    ["assess", "x.toml", "-o"],
    ["check"],
    ["new"],
    ["remedy", "no-such-name"],
    ["remedy", "unit-missing", "more"],
    ["completion", "tcl"],
    ["--no-such-option"],
]


@pytest.mark.parametrize("arguments", WRONG_COMMANDS, ids=lambda words: " ".join(words) or "none")
def test_wrong_commands_are_refused(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    shown = capsys.readouterr()
    assert not shown.out and shown.err
    assert "Traceback" not in shown.err
    assert shown.err.startswith("error: " if arguments else "Usage: ")


def test_the_nearest_command_option_and_file_are_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("r.txt").write_text("old")
    for arguments, said in (
        (["asess", "x.toml"], 'there is no command "asess"; the nearest is "assess"'),
        (["zzz"], "`jacketcalc --help` lists the commands"),
        (["assess", "--jsn", "x.toml"], 'the nearest is "--json"'),
        (["assess", str(CASE), "-o", "r.txt"], "or add --force"),
        (["new", "r.txt"], "it was left as it is: name another file\n"),
    ):
        assert main(arguments) == 2
        assert said in capsys.readouterr().err


def test_version_and_module_run(tmp_path: Path) -> None:
    done = run("--version", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (0, f"jacketcalc {jacketcalc.__version__}\n".encode())


def test_shell_completion(tmp_path: Path) -> None:
    for shell in ("bash", "zsh", "fish"):
        done = run("completion", shell, cwd=tmp_path)
        assert done.returncode == 0 and b"_JACKETCALC_COMPLETE" in done.stdout
    words = {"COMP_WORDS": "jacketcalc ass", "COMP_CWORD": "1"}
    done = run(cwd=tmp_path, _JACKETCALC_COMPLETE="bash_complete", **words)
    assert done.stdout.strip() == b"plain,assess"


def test_schema_is_json_and_remedy_lists_and_tells(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out)["title"] == "jacketcalc case"
    assert main(["remedy"]) == 0
    names = capsys.readouterr().out.split()
    assert "unit-missing" in names
    assert main(["remedy", "[unit-missing]"]) == 0
    assert capsys.readouterr().out.startswith("unit-missing: ")
    assert main(["remedy", "unit-mising"]) == 2
    assert '"unit-missing"' in capsys.readouterr().err


def test_the_api_is_what_the_command_calls() -> None:
    from jacketcalc.assessment.assess import assess
    from jacketcalc.casefile.reading import read_case

    assert jacketcalc.assess is assess and jacketcalc.read_case is read_case
    assert {"assess", "read_case"} <= set(dir(jacketcalc))
    with pytest.raises(AttributeError, match="no attribute 'asess'"):
        _ = jacketcalc.asess
