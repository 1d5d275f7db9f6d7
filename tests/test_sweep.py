"""Sweeps: any executor, kept batches, and what a killed run leaves behind."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from study_sample import COARSE, small_case
from sweep_script import cases

from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import Result
from jacketcalc.designs import Design
from jacketcalc.studies import sweep as module
from jacketcalc.studies.sweep import split, sweep
from jacketcalc.studies.workers import Workers

HERE = Path(__file__).resolve().parent
PATIENCE = 120.0
"""Time after which a child process is taken to hang [s]."""


@pytest.fixture
def batches(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Make a batch of each design, and note the size of each that is solved here."""
    solved: list[int] = []
    run = module.run

    def counted(designs: Sequence[Design], **options: Any) -> list[Result]:
        solved.append(len(designs))
        return run(designs, **options)

    monkeypatch.setattr(module, "LARGEST", 1)
    monkeypatch.setattr(module, "run", counted)
    return solved


@pytest.fixture(scope="module")
def reference() -> list[Result]:
    return sweep(cases(), resolution=COARSE)


def same(found: list[Result], wanted: list[Result]) -> bool:
    flows = [[r.outcome.delivered_mass_flow for r in results] for results in (found, wanted)]
    return flows[0] == pytest.approx(flows[1], rel=1e-9)


@pytest.mark.parametrize("count", [1, 2, 47, 48, 256, 257, 1000, 5000])
def test_every_design_stands_in_one_batch(count: int) -> None:
    parts = split(count)
    assert sorted(i for part in parts for i in part) == list(range(count))
    assert max(map(len, parts)) <= 256
    assert max(map(len, parts)) - min(map(len, parts)) <= 1
    assert len(parts) > 1 or count < 48


def test_processes_give_the_same_results(batches: list[int], reference: list[Result]) -> None:
    seen: list[float] = []
    with Workers(2) as workers:
        found = sweep(cases(), workers, resolution=COARSE, progress=seen.append)
    assert same(found, reference)
    assert batches == []
    assert seen == sorted(seen) and seen[-1] == 1.0


@pytest.mark.parametrize("make", [lambda: ProcessPoolExecutor(1), lambda: ThreadPoolExecutor(1)])
def test_any_executor_will_do(make: Callable[[], Executor]) -> None:
    with make() as executor:
        found = sweep(cases()[:1], executor, resolution=COARSE)
    assert not found[0].failure


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
        assert same(sweep(cases(), executor, resolution=COARSE), reference)


def test_a_second_sweep_solves_nothing_again(
    tmp_path: Path, batches: list[int], reference: list[Result]
) -> None:
    first = sweep(cases(), folder=str(tmp_path), resolution=COARSE)
    assert batches == [1, 1, 1]
    batches.clear()
    again = sweep(cases(), folder=str(tmp_path), resolution=COARSE)
    assert batches == []
    assert again == first
    assert same(again, reference)


def test_other_inputs_are_solved_afresh(tmp_path: Path, batches: list[int]) -> None:
    sweep([small_case()], folder=str(tmp_path), resolution=COARSE)
    sweep([small_case()], folder=str(tmp_path), resolution=Resolution().scaled(0.3))
    assert batches == [1, 1]


@pytest.mark.parametrize("damage", ["", "{", '{"format": "another"}', "[]"])
def test_a_damaged_batch_is_solved_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, damage: str
) -> None:
    kept = module.Checkpoint(str(tmp_path), COARSE)
    designs = [Design(machine=small_case().machine)]
    kept._file(designs).write_text(damage, encoding="ascii")
    assert kept.load(designs) is None


def test_an_interrupted_sweep_goes_on_from_what_it_finished(
    tmp_path: Path, batches: list[int]
) -> None:
    class StoppedError(Exception):
        pass

    def stop(share: float) -> None:
        if share > 0.5:
            raise StoppedError

    with pytest.raises(StoppedError):
        sweep(cases(), folder=str(tmp_path), resolution=COARSE, progress=stop)
    finished = len(list(tmp_path.glob("*.json")))
    assert finished >= 1
    batches.clear()
    sweep(cases(), folder=str(tmp_path), resolution=COARSE)
    assert len(batches) == 3 - finished


def start(*arguments: str) -> subprocess.Popen[str]:
    command = [sys.executable, str(HERE / "sweep_script.py"), *arguments]
    paths = os.pathsep.join([str(HERE.parent), str(HERE)])
    return subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": paths}
    )


def wait_for(condition: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not condition():
        assert time.monotonic() < end
        time.sleep(0.02)


def test_a_killed_sweep_damages_nothing(
    tmp_path: Path, batches: list[int], reference: list[Result]
) -> None:
    with start("sweep", str(tmp_path)) as child:
        wait_for(lambda: bool(list(tmp_path.glob("*.json"))))
        child.kill()
    finished = len(list(tmp_path.glob("*.json")))
    found = sweep(cases(), folder=str(tmp_path), resolution=COARSE)
    assert len(batches) == 3 - finished
    assert same(found, reference)


def test_workers_do_not_outlive_a_killed_parent() -> None:
    with start("workers") as child:
        assert child.stdout is not None
        workers = [int(word) for word in child.stdout.readline().split()]
        assert workers
        child.kill()

    def gone(process: int) -> bool:
        try:
            os.kill(process, 0)
            state = Path(f"/proc/{process}/stat")
            return state.exists() and state.read_text().rpartition(")")[2].split()[0] == "Z"
        except ProcessLookupError:
            return True

    wait_for(lambda: all(map(gone, workers)))
