"""Cases with some entries changed: read once, then changed in place and checked each time."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from jacketcalc.casefile.overrides import find_target, parse_text, with_value
from jacketcalc.casefile.reading import build_source
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case
from jacketcalc.quantities import read_quantity


class Variation:
    """Makes cases from one case by changing the same entries again and again.

    The changed cases keep the text of the first; only their machines differ.
    """

    def __init__(self, case: Case, paths: Sequence[str], first: Sequence[str]) -> None:
        self._ambient = case.machine.ambient.pressure
        text = case.text
        for path, value in zip(paths, first, strict=True):
            text = with_value(text, path, value, case.file)
        self._source = parse_text(text, case.file)
        self._targets = [find_target(self._source, path) for path in paths]

    def make(self, texts: Sequence[str]) -> Case:
        """Return the case with these values.

        Raises
        ------
        CaseError
            When they cannot be.
        """
        tree = copy.deepcopy(self._source.tree)
        for target, text in zip(self._targets, texts, strict=True):
            typed: str | int = int(text) if target.field.kind == "count" else text
            for place in target.paths:
                node: Any = tree
                for step in place[:-1]:
                    node = node[step]
                node[place[-1]] = typed
        return build_source(replace(self._source, tree=tree))

    def read(self, texts: Sequence[str]) -> tuple[float, ...]:
        """Return the values in SI."""
        pairs = zip(self._targets, texts, strict=True)
        return tuple(
            float(text)
            if target.field.kind == "count"
            else read_quantity(text, target.field.dimension, self._ambient).value
            for target, text in pairs
        )


def describe_gap(error: CaseError) -> str:
    """Return why a case cannot be, each reason once."""
    return "; ".join(dict.fromkeys(problem.message for problem in error.problems))
