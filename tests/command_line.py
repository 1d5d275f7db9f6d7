"""Running the command line as a user does, and one assessment that many tests read."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import click

import jacketcalc
from jacketcalc import assess, read_case
from jacketcalc.assessment.result import Assessment
from jacketcalc.cli.commands.assess import complete
from jacketcalc.cli.output import check_target
from jacketcalc.cli.settings import CONTEXT, common_options

ROOT = Path(__file__).parents[1]
CASE = ROOT / "cases" / "impact_laboratory.toml"
HOME = str(Path(jacketcalc.__file__).parents[1])
"""What must be on the path for a program elsewhere to run this very package."""
QUICK = (["--help"], ["new", "-"], ["check", "-"], ["remedy"], ["schema"], ["completion", "zsh"])
"""Commands that compute nothing."""


@cache
def laboratory() -> Assessment:
    """Assess the shipped two-stage case, once."""
    return assess(read_case(str(CASE)))


@cache
def whole_laboratory() -> Assessment:
    """Return the same with all that a file of `assess` tells."""
    return complete(laboratory(), whole=True)


def failing(error: Exception) -> click.Group:
    """Return commands of which the only one, `assess`, fails where another would compute."""

    @click.group(context_settings=CONTEXT)
    @common_options
    def root() -> None:
        pass

    @root.command("assess", context_settings=CONTEXT)
    @click.argument("case")
    @click.option("-o", "--output")
    @common_options
    def assess(case: str, output: str | None) -> None:
        read_case(case)
        check_target(output)
        raise error

    return root


def environment(**changes: str) -> dict[str, str]:
    """Return the environment with this package on the path and some variables changed."""
    plain = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TERM")}
    return {**plain, "PYTHONPATH": HOME, "PYTHONIOENCODING": "utf-8", "TERM": "xterm", **changes}


def command(*arguments: str) -> list[str]:
    """Return the words that run a command of the package."""
    return [sys.executable, "-m", "jacketcalc", *arguments]


def run(
    *arguments: str, cwd: Path, stdin: bytes = b"", **changes: str
) -> subprocess.CompletedProcess[bytes]:
    """Run a command in a directory and return what it printed and its status."""
    return subprocess.run(
        command(*arguments),
        cwd=cwd,
        input=stdin,
        capture_output=True,
        env=environment(**changes),
        timeout=120,
        check=False,
    )
