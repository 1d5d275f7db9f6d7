"""The core on threads: what it reads is held, each gives the same bytes, a flag stops it."""

from __future__ import annotations

import threading
import time
import weakref
from concurrent.futures import ThreadPoolExecutor
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from guarded_memory import COARSE, machines
from study_sample import CASES

from jacketcalc.casefile.reading import read_case
from jacketcalc.core import run
from jacketcalc.core.layout import constants
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import solve
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
    run.solve(Design(machine=read_case(str(CASES / "single.toml")).machine))
    assert len(made) == 1


def test_threads_give_the_bytes_of_one_after_the_other() -> None:
    designs = [Design(machine=m) for m in machines()] * 3
    wanted = [solve(design, COARSE).found.tobytes() for design in designs]
    with ThreadPoolExecutor(6) as threads:
        found = list(threads.map(lambda d: solve(d, COARSE).found.tobytes(), designs))
    assert found == wanted


def test_the_stop_flag_ends_a_solution() -> None:
    """Set before, none of it is done; set by another thread, it ends in the midst."""
    design, stop = Design(machine=machines()[0]), np.ones(1, dtype=np.int32)
    found = solve(design, stop=stop).found
    assert int(found["ended"]) == constants()["INTERRUPTED"] and int(found["iterations"]) == 0
    stop[0] = 0
    fine = Resolution().scaled(4.0)

    def set_soon() -> None:
        time.sleep(0.01)
        stop[0] = 1

    setter = threading.Thread(target=set_soon)
    setter.start()
    begin = time.monotonic()
    found = solve(design, fine, stop=stop).found
    took = time.monotonic() - begin
    setter.join()
    assert int(found["ended"]) == constants()["INTERRUPTED"]
    assert int(found["iterations"]) < int(solve(design, fine).found["iterations"])
    assert took < 1.0
