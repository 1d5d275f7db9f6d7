"""How long things take, side by side in one run: `python tests/benchmark.py [--quick]`.

Times depend on the machine; the ratios between lines of one run are what to compare.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent
sys.path[:0] = [str(ROOT)]

import numpy as np  # noqa: E402  # the package is found only now

from jacketcalc.assessment.assess import assess  # noqa: E402
from jacketcalc.casefile.reading import read_case  # noqa: E402
from jacketcalc.components.chambers import build_network  # noqa: E402
from jacketcalc.components.contents import near_contents  # noqa: E402
from jacketcalc.components.designs import Design  # noqa: E402
from jacketcalc.components.stroke_grid import Resolution  # noqa: E402
from jacketcalc.coupling.iteration import Iteration  # noqa: E402
from jacketcalc.coupling.run import run  # noqa: E402
from jacketcalc.gas.table import air  # noqa: E402
from jacketcalc.inputs import Case, Machine  # noqa: E402
from jacketcalc.studies.axes import parse_axis  # noqa: E402
from jacketcalc.studies.study import run_study  # noqa: E402
from jacketcalc.studies.workers import Workers  # noqa: E402

CASE = ROOT / "cases" / "impact_laboratory.toml"
MAP = ("jacket.pitch=8mm:48mm:40", "jacket.gap=4mm:12mm:25")
"""A thousand designs."""


def timed(work: Callable[[], object]) -> float:
    """Return the wall time of one call [s]."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def show(what: str, seconds: float, remark: str = "") -> None:
    print(f"{what:<46}{1e3 * seconds:>12.1f} ms   {remark}", flush=True)


def start_up() -> float:
    command = [sys.executable, "-m", "jacketcalc", "--help"]
    options = {"cwd": ROOT, "stdout": subprocess.DEVNULL, "check": True}
    return min(timed(lambda: subprocess.run(command, **options)) for _ in range(3))  # type: ignore[call-overload]


def at_pitches(case: Case, count: int) -> list[Design]:
    """Spread designs over pitch."""
    designs = []
    for pitch in np.linspace(0.010, 0.048, count) if count > 1 else [0.030]:
        stages = tuple(
            replace(s, jacket=None if s.jacket is None else replace(s.jacket, pitch=float(pitch)))
            for s in case.machine.stages
        )
        designs.append(Design(machine=replace(case.machine, stages=stages)))
    return designs


def compare_with_plain() -> None:
    """Time what the independent scripts compute beside the same of the package.

    Those scripts take CoolProp's properties point by point, ht's and fluids' functions and
    scipy's `solve_ivp`.
    """
    from tests.plain.plain_machine import probe_march, probe_strokes, read_machine

    machine = read_machine()
    march, strokes = timed(lambda: probe_march(machine)), timed(lambda: probe_strokes(machine))
    show("plain script: one passage march", march)
    for count in (1, 64):
        curve, cycle = parts(machine, count)
        show(f"all marches of a flow curve, {2 * count} together", curve,
             f"for each curve; {march / curve:.0f} x faster than one plain march")  # fmt: skip
        if count == 1:
            show("plain script: one cycle of the bare machine", strokes / 2)
        show(f"cycle with curves and walls, {count} together", cycle,
             f"for each machine; {strokes / 2 / cycle:.0f} x faster")  # fmt: skip


def parts(machine: Machine, count: int) -> tuple[float, float]:
    """Return the time of one flow curve and of one cycle of one machine [s]."""
    iteration = Iteration(build_network([Design(machine=machine)] * count, air()), air(),
                          Resolution())  # fmt: skip
    unknowns = iteration.start()
    volume = iteration.strokes[0].start_volume
    guess = near_contents(iteration.air, unknowns.m, unknowns.U, volume)
    iteration.flow_curves(unknowns)
    curve = timed(lambda: iteration.flow_curves(unknowns)) / (2 * count)
    return curve, timed(lambda: iteration(unknowns, guess)) / count


def march_or_follow(case: Case, sizes: Sequence[int]) -> None:
    """Time one iteration of whole machines near their track, its strokes marched and followed."""
    for size in sizes:
        iteration = Iteration(build_network(at_pitches(case, size), air()), air(), Resolution())
        unknowns, volume = iteration.start(), iteration.strokes[0].start_volume

        def once(iteration: Iteration = iteration, unknowns=unknowns, volume=volume) -> None:  # type: ignore[no-untyped-def]
            guess = near_contents(iteration.air, unknowns.m, unknowns.U, volume)
            iteration(unknowns, guess)

        with np.errstate(all="ignore"):
            once()
            followed = min(timed(once) for _ in range(3))
            iteration.left_over.tracks = ()
            marched = timed(once)
        show(f"iteration of {size}, strokes followed", followed / size,
             f"for each machine; {marched / followed:.1f} x faster than marched")  # fmt: skip


def batches(case: Case, sizes: Sequence[int]) -> None:
    first = 0.0
    for size in sizes:
        designs = at_pitches(case, size)
        results: list[object] = []
        seconds = timed(lambda designs=designs, results=results: results.extend(run(designs)))  # type: ignore[misc]
        failed = sum(bool(r.failure) for r in results)  # type: ignore[attr-defined]
        each = seconds / size
        first = first or each
        show(f"batch of {size}, for each design", each,
             f"{first / each:.1f} x cheaper than alone, {failed} failed")  # fmt: skip


def large_map(case: Case) -> None:
    axes = [parse_axis(case, text) for text in MAP]

    def solve() -> None:
        with Workers(2) as workers:
            table = run_study(case, axes, band=False, executor=workers)
        for row in table.rows:
            if row.state == "failed":
                print(f"    failed: {' x '.join(row.texts)}: {row.reason}")

    show("map of 1,000 designs, two processes", timed(solve), "goal: 60,000 ms")
    here, there = (
        resource.getrusage(who).ru_maxrss / 1e3
        for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    print(f"memory, peak: {here:.0f} MB here, {there:.0f} MB in the largest worker; goal 2,000 MB")


def main(arguments: Sequence[str]) -> None:
    """Print the table."""
    case = read_case(str(CASE))
    print(f"{os.cpu_count()} cores, load before {os.getloadavg()[0]:.1f}")
    show("start-up, --help", start_up())
    run(at_pitches(case, 1))
    batches(case, [1, 16] if "--quick" in arguments else [1, 16, 500])
    march_or_follow(case, (1, 16, 64))
    show("one assessment", timed(lambda: assess(case)))
    pitches = [parse_axis(case, "jacket.pitch=8mm:48mm:16")]

    def sixteen() -> None:
        with Workers(2) as workers:
            run_study(case, pitches, executor=workers)

    def with_band() -> None:
        with Workers(2) as workers:
            run_study(case, pitches, split=False, executor=workers)

    stated = [timed(lambda: run_study(case, pitches, band=False)) for _ in range(3)]
    show("16 pitches, as stated, best of three", min(stated),
         f"18 machines, slowest {1e3 * max(stated):.1f} ms; goal: 5,000 ms")  # fmt: skip
    banded, parted = timed(with_band), timed(sixteen)
    show("16 pitches with the band, two processes", banded, "88 machines; goal: 5,000 ms")
    show("16 pitches, band and parts, two processes", parted, "120 machines; goal: 5,000 ms")
    if "--quick" not in arguments:
        large_map(case)
    compare_with_plain()


if __name__ == "__main__":
    main(sys.argv[1:])
