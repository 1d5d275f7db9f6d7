"""The README shows what is printed, and its command for the tests is that of `.ci/run`."""

from __future__ import annotations

import re

from command_line import CASE, ROOT, laboratory

from jacketcalc.show.text import make_text


def test_readme_shows_what_is_printed() -> None:
    """Labels, not numbers: those move with the models."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = readme.split("```text\n")[1].split("\n```")[0].split("\n")
    real = make_text(laboratory()).split("\n")
    labels = {re.split(r"\s{2,}", line.strip())[0] for line in real}
    for line in shown:
        label = re.split(r"\s{2,}", line.strip())[0]
        if line != "..." and not re.search(r"\d", label):
            assert label in labels or label in " ".join(real), line
    assert "jacketcalc assess cases/impact_laboratory.toml" in readme
    tests = re.search(r"python (-m pytest [^\n]*)", readme)
    assert tests is not None
    assert tests[1] in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert CASE.exists()
