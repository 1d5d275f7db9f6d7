"""The recipe of a command: a module in `commands/` and its name in `COMMANDS`, and nothing else.

A command that no file of the package knows is put there for a test, and met as a user meets it.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from types import ModuleType

import click
import pytest
from command_line import CASE

from jacketcalc import read_case
from jacketcalc.cli import commands, group
from jacketcalc.cli.main import main
from jacketcalc.cli.output import CommandError, check_target
from jacketcalc.cli.settings import CONTEXT, common_options


@click.command("bores", short_help="Print bores.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option("-o", "--output", metavar="FILE", help="Write to FILE.")
@common_options
def bores(case: str, output: str | None) -> None:
    """Print the bore of each stage in CASE."""
    target = check_target(output, keep=case)
    stages = read_case(case).machine.stages
    if not stages:
        raise CommandError("there is no stage")
    target.write(json.dumps({stage.name: stage.bore for stage in stages}) + "\n")


@pytest.fixture(autouse=True)
def added(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    module = ModuleType(f"{commands.__name__}.bores")
    module.command = bores  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, module.__name__, module)
    monkeypatch.setattr(group, "COMMANDS", (*group.COMMANDS, "bores"))
    yield


def test_it_runs_and_its_errors_become_messages(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["bores", str(CASE)]) == 0
    # Bores as the case types them, in mm.
    assert json.loads(capsys.readouterr().out) == pytest.approx({"first": 0.021, "second": 0.011})
    assert main(["bores", "no-such-file.toml"]) == 2
    shown = capsys.readouterr()
    assert "no-such-file.toml" in shown.err and "Traceback" not in shown.err and not shown.out
    assert main(["bores", str(CASE), "-o", str(CASE)]) == 2
    assert "is the case itself" in capsys.readouterr().err


def test_help_and_the_nearest_name_know_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--help"]) == 0
    assert "  bores Print bores." in re.sub(r"(?<=\S) +", " ", capsys.readouterr().out)
    assert main(["bores", "-h", "--no-color"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("Usage: jacketcalc bores ") and "--debug" in shown
    assert main(["bres"]) == 2
    assert 'the nearest is "bores"' in capsys.readouterr().err


def test_shells_complete_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("_JACKETCALC_COMPLETE", "bash_complete")
    monkeypatch.setenv("COMP_WORDS", "jacketcalc bo")
    monkeypatch.setenv("COMP_CWORD", "1")
    assert main(["bo"]) == 0
    assert "bores" in capsys.readouterr().out
