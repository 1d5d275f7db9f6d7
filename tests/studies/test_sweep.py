"""Sweeps: any executor, kept batches, and what a killed run leaves behind."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from places import TESTS
from study_sample import COARSE, small_case
from sweep_script import cases

from jacketcalc.core.resolution import Resolution
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.studies.checkpoint import Checkpoint
from jacketcalc.studies.sweep import split, sweep

PATIENCE = 120.0
"""Time after which a child process is taken to hang [s]."""


def solved(folder: Path, resolution: Resolution = COARSE) -> tuple[list[Result], int]:
    """Sweep the cases, each kept by itself; return results and how many were not kept before."""
    seen: list[float] = []
    found = sweep(
        cases(), folder=str(folder), resolution=resolution, progress=seen.append, batch_size=1
    )
    return found, round(len(found) * (1.0 - seen[0]))


@pytest.fixture(scope="module")
def reference() -> list[Result]:
    return sweep(cases(), resolution=COARSE)


@pytest.mark.parametrize("count", [0, 1, 2, 15, 16, 17, 257, 1000, 5000])
def test_every_design_stands_in_one_batch(count: int) -> None:
    parts = split(count)
    assert [i for part in parts for i in part] == list(range(count))
    sizes = [len(part) for part in parts] or [0]
    assert max(sizes) <= 16 and max(sizes) - min(sizes) <= 1


@pytest.mark.parametrize("threads", [1, 2, 5])
def test_any_number_of_threads_gives_the_same_results(
    threads: int, reference: list[Result]
) -> None:
    seen: list[float] = []
    found = sweep(cases(), resolution=COARSE, threads=threads, progress=seen.append)
    assert found == reference
    assert seen == pytest.approx([0.0, 1 / 3, 2 / 3, 1.0])


@pytest.mark.parametrize("make", [lambda: ProcessPoolExecutor(1), lambda: ThreadPoolExecutor(2)])
def test_any_executor_will_do(make: Callable[[], Executor], reference: list[Result]) -> None:
    seen: list[float] = []
    with make() as executor:
        found = sweep(cases(), executor, resolution=COARSE, progress=seen.append, batch_size=1)
    assert found == reference
    assert seen == pytest.approx([0.0, 1 / 3, 2 / 3, 1.0])


def test_an_executor_is_given_all_the_work() -> None:
    """One that drops what it is given keeps a sweep from ending well: nothing is solved here."""
    asked: list[int] = []

    class IdleExecutor(ThreadPoolExecutor):
        def submit(self, *given: Any, **named: Any) -> Any:
            asked.append(len(given[1]))
            return super().submit(list)

    with IdleExecutor(1) as executor, pytest.raises(ValueError, match="zip"):
        sweep(cases(), executor, resolution=COARSE, batch_size=1)
    assert asked == [1, 1, 1]


def test_no_cases_no_results() -> None:
    assert sweep([]) == []


def test_an_error_in_an_executor_comes_out_and_ends_the_rest() -> None:
    class BrokenExecutor(ThreadPoolExecutor):
        def submit(self, *given: Any, **named: Any) -> Any:
            return super().submit(lambda: 1 // 0)

    with BrokenExecutor(1) as executor, pytest.raises(ZeroDivisionError):
        sweep(cases(), executor, resolution=COARSE)


def test_dask_will_do(reference: list[Result]) -> None:
    from distributed import Client, LocalCluster

    with (
        LocalCluster(
            n_workers=1, threads_per_worker=1, processes=False, host="127.0.0.1",
            protocol="tcp", dashboard_address=None,
        ) as cluster,
        Client(cluster) as client,
        client.get_executor() as executor,
    ):  # fmt: skip
        assert sweep(cases(), executor, resolution=COARSE) == reference


def test_a_second_sweep_solves_nothing_again(tmp_path: Path, reference: list[Result]) -> None:
    assert solved(tmp_path) == (reference, 3)
    assert solved(tmp_path) == (reference, 0)


def test_other_inputs_are_solved_afresh(tmp_path: Path) -> None:
    assert solved(tmp_path)[1] == 3
    assert solved(tmp_path, Resolution().scaled(0.3))[1] == 3


@pytest.mark.parametrize("damage", ["", "{", '{"format": "another"}', "[]"])
def test_a_damaged_batch_is_solved_again(tmp_path: Path, damage: str) -> None:
    kept = Checkpoint(str(tmp_path), COARSE)
    designs = [Design(machine=small_case().machine)]
    kept.file_of(designs).write_text(damage, encoding="ascii")
    assert kept.load(designs) is None


def test_an_interrupted_sweep_goes_on_from_what_it_finished(tmp_path: Path) -> None:
    class StoppedError(Exception):
        pass

    def stop(share: float) -> None:
        if share > 0.5:
            raise StoppedError

    with pytest.raises(StoppedError):
        sweep(cases(), folder=str(tmp_path), resolution=COARSE, progress=stop, batch_size=1)
    assert len(list(tmp_path.glob("*.json"))) == 2
    assert solved(tmp_path)[1] == 1


def test_an_interrupted_sweep_leaves_no_thread_at_work() -> None:
    before = threading.active_count()

    def stop(share: float) -> None:
        if share > 0.0:
            raise RuntimeError("stopped")

    with pytest.raises(RuntimeError, match="stopped") as caught:
        sweep(cases() * 20, resolution=COARSE, progress=stop)
    # While the error, and with it every frame it came through, is still held.
    assert caught.value.__traceback__ is not None
    assert threading.active_count() == before


def start(*arguments: str) -> subprocess.Popen[str]:
    command = [sys.executable, str(TESTS / "sweep_script.py"), *arguments]
    paths = os.pathsep.join([str(TESTS.parent), str(TESTS)])
    return subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": paths},
        # A shell that starts the tests in the background lets them ignore interrupts.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )  # fmt: skip


def wait_for(condition: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not condition():
        assert time.monotonic() < end
        time.sleep(0.02)


def test_a_killed_sweep_damages_nothing(tmp_path: Path, reference: list[Result]) -> None:
    with start("sweep", str(tmp_path)) as child:
        wait_for(lambda: bool(list(tmp_path.glob("*.json"))))
        child.kill()
    finished = len(list(tmp_path.glob("*.json")))
    assert solved(tmp_path) == (reference, 3 - finished)


def test_an_interrupt_ends_a_sweep_within_a_second() -> None:
    """Of three thousand machines on every core, in a process of its own."""
    with start("long") as child:
        assert child.stdout is not None and child.stdout.readline() == "begun\n"
        begin = time.monotonic()
        child.send_signal(signal.SIGINT)
        child.wait(PATIENCE)
        took = time.monotonic() - begin
    assert child.returncode == 130
    assert took < 1.0
