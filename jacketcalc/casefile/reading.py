"""Reading a case file into a case."""

from __future__ import annotations

from jacketcalc.casefile.check_joined import run_checks
from jacketcalc.casefile.collect import Collector
from jacketcalc.casefile.make_case import build_case
from jacketcalc.casefile.source import CaseText, read_bytes, read_source
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case

MOST_SHOWN = 100
"""Problems that are shown; more are counted."""


def read_case(file: str) -> Case:
    """Read a case file; `-` stands for standard input.

    Raises
    ------
    CaseError
        With every problem found, each placed where it stands.
    """
    return build_source(read_source(read_bytes(file), file))


def read_case_text(text: str, file: str = "<case>") -> Case:
    """Read a case from text; `file` is the name used in problems."""
    return build_source(read_source(text.encode("utf-8", "surrogateescape"), file))


def build_source(source: CaseText) -> Case:
    """Check a source as a whole and build its case.

    Raises
    ------
    CaseError
        When there is anything wrong; all that was found stands in it.
    """
    collector = Collector(source)
    values = collector.collect()
    run_checks(collector)
    if collector.problems:
        found = sorted(collector.problems, key=lambda problem: (problem.line, problem.column))
        raise CaseError(found[:MOST_SHOWN], len(found[MOST_SHOWN:]))
    return build_case(values, source)
