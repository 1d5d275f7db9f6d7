"""Whether a test notices a mutation: run it in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

from .record import Mutation

TESTS = Path(__file__).parents[1]
NOTICED = "noticed by assertion"
"""What the plugin prints when every failure was a test's own assertion."""
LONGEST = 300.0
"""Time allowed for one test [s]."""


def pytest_run(tests: Iterable[str], *options: str) -> subprocess.CompletedProcess[str]:
    """Run tests by id in a fresh process; nothing is left behind in the folder."""
    with tempfile.TemporaryDirectory() as scratch:
        paths = [str(TESTS), *filter(None, [os.environ.get("PYTHONPATH")])]
        return subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *options,
             *(str(TESTS / test) for test in tests)],
            cwd=TESTS.parent, capture_output=True, text=True, timeout=LONGEST, check=False,
            env=os.environ | {
                "PYTHONPATH": os.pathsep.join(paths), "HYPOTHESIS_STORAGE_DIRECTORY": scratch
            },
        )  # fmt: skip


def passing(tests: Iterable[str]) -> str:
    """Return what unbroken tests say when they do not all pass; else nothing."""
    done = pytest_run(sorted(set(tests)))
    return "" if done.returncode == 0 else done.stdout[-2000:] + done.stderr[-2000:]


def unnoticed(mutation: Mutation) -> str:
    """Return why a mutation counts as unnoticed; nothing when its test fails as it should."""
    done = pytest_run([mutation.test], "-x", "-p", "mutation.plugin", "--mutation", mutation.name)
    if done.returncode == 1 and NOTICED in done.stdout:
        return ""
    reason = "passes" if done.returncode == 0 else "fails otherwise than by its assertion"
    return f"{mutation.name}: {mutation.test} {reason}\n{done.stdout[-1500:]}{done.stderr[-500:]}"
