"""Where things stand: the project's folders, and the cases that are shipped."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
"""The folder that holds package, tests and cases."""
TESTS = ROOT / "tests"
CASES = ROOT / "tests" / "machines"
FILES = sorted(CASES.glob("*.toml"))
LABORATORY = CASES / "hot.toml"
