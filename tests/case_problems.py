"""What is wrong with the text of a case, and that each problem is well placed and well told."""

from __future__ import annotations

import re

from jacketcalc.casefile.columns import count_columns
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.remedy import list_names
from jacketcalc.casefile.rendering import render_problems
from jacketcalc.errors import CaseError, Problem


def find_problems(text: str) -> list[Problem]:
    """Return the problems of a text, none where it is sound."""
    try:
        read_case_text(text, "case.toml")
    except CaseError as error:
        assert_well_placed(error, text)
        return error.problems
    return []


def assert_well_placed(error: CaseError, text: str) -> None:
    lines = text.replace("\r\n", "\n").split("\n")
    assert error.problems
    seen = set()
    for problem in error.problems:
        assert problem.name in list_names()
        assert problem.message and not problem.message.endswith(".")
        assert problem.why and problem.fix, problem
        assert "?" not in problem.fix
        assert (problem.line, problem.column, problem.message) not in seen
        seen.add((problem.line, problem.column, problem.message))
        if problem.line:
            assert problem.text == lines[problem.line - 1]
            assert 1 <= problem.column <= len(problem.text) + 1
            assert problem.width >= 1
    shown = render_problems(error)
    assert "Traceback" not in shown
    for line in shown.split("\n"):
        if not line.startswith(error.problems[0].file):
            assert count_columns(line) <= 80
    assert shown.count(": error: ") == len(error.problems)
    count = len(error.problems)
    assert f"{count} problem{'' if count == 1 else 's'}; nothing was computed." in shown
    assert re.sub(r"\x1b\[[0-9;]*m", "", render_problems(error, color=True)) == shown
