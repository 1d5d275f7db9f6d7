"""Run the machines and a test on a package of its own, in a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from .broken import ROOT, broken_package
from .effect import MARK, NOTICED, Verdict
from .record import Mutation, Setting

TESTS = ROOT / "tests"
LONGEST = 300.0
"""Time allowed for the machines of a mutation and its test [s]."""


@dataclass(frozen=True, kw_only=True)
class Proof:
    """What became of a mutation."""

    verdict: Verdict
    """The machines' numbers."""
    noticed: bool
    """Whether the test failed by its own assertion."""
    said: str
    """The end of what the process printed."""


def prove(mutation: Mutation) -> Proof:
    """Break a term, solve the machines and run its test."""
    with broken_package(mutation) as folder:
        return run_in(folder, mutation.setting, mutation.test)


def whole(setting: Setting) -> Verdict:
    """Solve a setting's machines with every term in place."""
    with broken_package(None) as folder:
        return run_in(folder, setting).verdict


def passing(tests: Iterable[str]) -> str:
    """Return what unbroken tests say when they do not all pass; else nothing."""
    done = _process(ROOT, "pytest", "-q", "-p", "no:cacheprovider", *sorted(set(tests)), at=TESTS)
    return "" if done.returncode == 0 else done.stdout[-3000:] + done.stderr[-1000:]


def run_in(folder: Path, setting: str, *tests: str) -> Proof:
    """Run machines and tests with the package that lies in a folder."""
    done = _process(folder, "mutation.effect", setting, *tests, at=folder)
    found = next((x for x in done.stdout.splitlines() if x.startswith(MARK)), "")
    if not found:
        raise RuntimeError(f"{setting}: no verdict\n{done.stdout[-1500:]}{done.stderr[-1500:]}")
    numbers = json.loads(found.removeprefix(MARK))
    return Proof(
        verdict=Verdict(**numbers),
        noticed=NOTICED in done.stdout,
        said=done.stdout[-1500:] + done.stderr[-500:],
    )


def _process(
    package: Path, module: str, *arguments: str, at: Path
) -> subprocess.CompletedProcess[str]:
    """Run a module; the package of a folder comes before any other, and nothing is left behind."""
    extra = filter(None, [os.environ.get("PYTHONPATH")])
    return subprocess.run(
        [sys.executable, "-m", module, *arguments],
        cwd=at, capture_output=True, text=True, timeout=LONGEST, check=False,
        env=os.environ | {
            "PYTHONPATH": os.pathsep.join([str(package), str(TESTS), *extra]),
            "PYTHONDONTWRITEBYTECODE": "1",
            "HYPOTHESIS_STORAGE_DIRECTORY": str(package / ".hypothesis"),
        },
    )  # fmt: skip
