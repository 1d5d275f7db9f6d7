"""The README shows what is printed, and its command for the tests is that of `.ci/run`."""

from __future__ import annotations

import re
from dataclasses import replace

from command_line import CASE, ROOT, laboratory

from jacketcalc.show.text import make_text

NUMBER = re.compile(r"[-+]?\d+(\.\d+)?")


def test_readme_shows_what_is_printed() -> None:
    """Every word of the first screen, not its numbers: those move with the models."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = readme.split("```text\n")[1].split("\n```")[0]
    found = laboratory()
    file = str(CASE.relative_to(ROOT))
    real = make_text(replace(found, case=replace(found.case, file=file)))
    assert NUMBER.sub("0", shown).split() == NUMBER.sub("0", real).split()
    assert len(shown.split("\n")) < 30
    assert "jacketcalc assess cases/impact_laboratory.toml" in readme
    tests = re.search(r"python (-m pytest [^\n]*)", readme)
    assert tests is not None
    assert tests[1] in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert CASE.exists()
