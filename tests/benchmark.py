"""How long things take, side by side in one run: `python tests/benchmark.py [--quick]`.

Times depend on the machine and on the day. What to compare are the ratios: to the independent
plain scripts, and to ten million additions in a plain Python loop.
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

from jacketcalc.casefile.reading import read_case  # noqa: E402
from jacketcalc.core.layout import blank  # noqa: E402
from jacketcalc.core.parts import PassageParts, StrokeParts  # noqa: E402
from jacketcalc.core.run import run, solve  # noqa: E402
from jacketcalc.designs import Design  # noqa: E402
from jacketcalc.inputs import Case  # noqa: E402
from jacketcalc.studies.axes import parse_axis  # noqa: E402
from jacketcalc.studies.study import run_study  # noqa: E402

CASE = ROOT / "cases" / "impact_laboratory.toml"
MAP = ("jacket.pitch=8mm:48mm:40", "jacket.gap=4mm:12mm:25")
"""A thousand designs."""
ADDITIONS = 10_000_000
"""Additions of the loop that times are compared with [-]."""


def timed(work: Callable[[], object], times: int = 1) -> float:
    """Return the shortest wall time of some calls [s]."""
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def add_up() -> int:
    total = 0
    for _ in range(ADDITIONS):
        total += 1
    return total


class Table:
    """Prints times, each over that of the plain loop too."""

    def __init__(self) -> None:
        self.loop = timed(add_up)

    def show(self, what: str, seconds: float, remark: str = "") -> None:
        ratio = seconds / self.loop
        print(f"{what:<48}{1e3 * seconds:>11.2f} ms {ratio:>9.4f}   {remark}", flush=True)


def command(*arguments: str) -> Callable[[], object]:
    """Return a call of the command line in a process of its own."""
    words = [sys.executable, "-m", "jacketcalc", *arguments]
    return lambda: subprocess.run(words, cwd=ROOT, stdout=subprocess.DEVNULL, check=True)


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


def compare_with_plain(table: Table) -> None:
    """Time what the independent scripts compute beside the same of the core.

    Those scripts take CoolProp's properties point by point, ht's and fluids' functions and
    scipy's `solve_ivp`.
    """
    from tests.plain.plain_machine import probe_march, probe_strokes, read_machine

    machine = read_machine()
    design = Design(machine=machine)
    plain_march, plain_cycle = timed(lambda: probe_march(machine)), 0.0
    plain_cycle = timed(lambda: probe_strokes(machine)) / 2
    parts = PassageParts(machine)
    walls = parts.walls(330.0, 285.0)
    march = timed(lambda: [parts.march(0.02, 250.0, walls) for _ in range(100)]) / 100
    found = solve(design).found
    curves = found["curve"][:2]
    start = blank("Unknowns")
    start[...] = found["start"]
    strokes = StrokeParts(design)
    cycle = timed(lambda: [strokes.run_stroke(number, start, curves) for number in (1, 2)], 5)
    table.show("one passage march, with its call from Python", march,
               f"plain script {1e3 * plain_march:.0f} ms, {plain_march / march:.0f} x")  # fmt: skip
    table.show("both strokes of a cycle", cycle,
               f"plain script {1e3 * plain_cycle:.0f} ms, {plain_cycle / cycle:.0f} x")  # fmt: skip


def side_by_side(table: Table, case: Case) -> None:
    """Time many machines on one thread and on all cores, and how busy the cores were."""
    designs = at_pitches(case, 32)
    alone = timed(lambda: run(designs, threads=1)) / len(designs)
    begin = time.process_time()
    together = timed(lambda: run(designs)) / len(designs)
    busy = (time.process_time() - begin) / (together * len(designs))
    table.show("a machine of 32, one thread", alone)
    table.show("a machine of 32, all cores", together,
               f"{alone / together:.2f} x, {busy:.2f} cores busy")  # fmt: skip


def studies(table: Table, case: Case, quick: bool) -> None:
    pitches = [parse_axis(case, "jacket.pitch=8mm:48mm:16")]
    table.show("16 pitches as stated", timed(lambda: run_study(case, pitches, band=False), 3))
    table.show("`pitch` as typed, band and parts", timed(command("pitch", str(CASE))),
               "must 4 s, aim 2 s")  # fmt: skip
    if quick:
        return
    axes = [parse_axis(case, text) for text in MAP]
    table.show("map of 1,000 machines", timed(lambda: run_study(case, axes, band=False)),
               "must 30 s, aim 12 s")  # fmt: skip
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    print(f"memory, peak: {peak:.0f} MB")


def main(arguments: Sequence[str]) -> None:
    """Print the table."""
    case, table = read_case(str(CASE)), Table()
    print(f"{os.cpu_count()} cores, load before {os.getloadavg()[0]:.1f}; ratios are to "
          f"ten million additions, {table.loop:.2f} s")  # fmt: skip
    table.show("--help", timed(command("--help"), 3), "must 100 ms, aim 70 ms")
    table.show("`assess`, cold start", timed(command("assess", str(CASE)), 3),
               "must 1.2 s, aim 0.6 s")  # fmt: skip
    design = Design(machine=case.machine)
    solve(design)
    table.show("one machine with jackets alone", timed(lambda: solve(design), 5),
               "must 60 ms, aim 25 ms")  # fmt: skip
    side_by_side(table, case)
    studies(table, case, "--quick" in arguments)
    compare_with_plain(table)


if __name__ == "__main__":
    main(sys.argv[1:])
