"""What the compiled core reads is held until it has read it."""

from __future__ import annotations

import weakref
from types import SimpleNamespace
from typing import Any

import pytest
from study_sample import CASES

from jacketcalc.casefile.reading import read_case
from jacketcalc.core import run
from jacketcalc.designs import Design


def test_a_table_of_air_made_by_one_thread_alone_outlives_the_solution(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two threads that ask at once for a cached table get two; the cache keeps one of them."""
    made: list[weakref.ref[Any]] = []

    class Table:
        address = 0

    def make() -> Table:
        table = Table()
        made.append(weakref.ref(table))
        return table

    def solve(*_: object) -> int:
        assert made[-1]() is not None
        return 0

    monkeypatch.setattr(run, "core_air", make)
    monkeypatch.setattr(
        run, "library", lambda: SimpleNamespace(core_solve=solve, core_workspace=lambda: 8)
    )
    monkeypatch.setattr(run, "_own", SimpleNamespace())
    run.solve(Design(machine=read_case(str(CASES / "single_stage.toml")).machine))
    assert len(made) == 1
