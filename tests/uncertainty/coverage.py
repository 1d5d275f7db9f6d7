"""Synthetic benches whose truth is known: how often do the fitted intervals hold it?

    python -m tests.uncertainty.coverage          goes on where it was stopped
    python -m tests.uncertainty.coverage --anew

Each bench draws the unknowns from their priors, evenly by a Sobol sequence: draws at random were
found to have luck of their own, which hid what is asked. It lets the model of that machine show
four or five readings, adds noise of their u, and does what `reconcile` does. The points over the
priors do not depend on what was read, and are solved once for all. What each bench says is kept in
`coverage.json`.

Which counts are accepted was written down before the first bench was counted: those between the
0.05 % and the 99.95 % point of the binomial distribution, for every quantity and every level alone.
"""

from __future__ import annotations

import json
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats.qmc import Sobol

from jacketcalc.casefile.reading import read_case
from jacketcalc.errors import ConvergenceError
from jacketcalc.readings import Reading
from jacketcalc.uncertainty.bench_posterior import Points, integrate, solve_spread
from jacketcalc.uncertainty.reconcile import Bench

Array = NDArray[np.float64]
ROOT = Path(__file__).parents[2]
KEPT = Path(__file__).with_name("coverage.json")
LEAST, MINUTES = 100, 9.5
"""Benches at least, and minutes after which no more are begun then."""
READINGS = (
    Reading(kind="cycle time", value=0.0, standard_uncertainty=0.02),
    Reading(kind="wall temperature", value=0.0, standard_uncertainty=1.5, stage="second",
            jackets="bypassed"),
    Reading(kind="exhaust temperature", value=0.0, standard_uncertainty=1.0, stage="second"),
    Reading(kind="wall temperature", value=0.0, standard_uncertainty=1.5, stage="first",
            jackets="bypassed"),
    Reading(kind="delivered mass", value=0.0, standard_uncertainty=2e-3, duration=600.0,
            jackets="bypassed"),
)  # fmt: skip
"""What is read; every other bench leaves the last out [SI]."""


def main() -> None:
    """Run as many benches as the minutes allow, and keep what they say."""
    case = read_case(str(ROOT / "cases" / "impact_laboratory.toml"))
    random, begun = np.random.default_rng(20), time.monotonic()
    whole = Bench(case, READINGS)
    names = [one.name for one in whole.unknowns]
    truths = Sobol(len(names), scramble=True, seed=np.random.default_rng(21))
    spread = solve_spread(whole)
    benches: list[list[float]] = []
    failed = 0
    if KEPT.exists() and "--anew" not in sys.argv:
        kept = json.loads(KEPT.read_text("utf-8"))
        benches, failed = kept["depths"], kept["failed"]
    for i in range(len(benches) + failed):
        truths.random(1)
        random.standard_normal(len(readings_of(i)))
    while len(benches) < LEAST or time.monotonic() - begun < 60.0 * MINUTES:
        readings = readings_of(len(benches) + failed)
        truth = ndtri(truths.random(1)[0])
        found = one_bench(Bench(case, readings), truth, random, spread)
        if found is None:
            failed += 1
            continue
        benches.append([round(depth, 4) for depth in found])
        rows = ",\n  ".join(map(json.dumps, benches))
        head = json.dumps([*names, "judged change"])
        KEPT.write_text(
            f'{{\n "failed": {failed},\n "quantities": {head},\n "depths": [\n  {rows}\n ]\n}}\n',
            "utf-8",
        )
        sys.stderr.write(f"{len(benches)}\n")


def readings_of(bench: int) -> tuple[Reading, ...]:
    """Return what is read at a bench."""
    return READINGS if bench % 2 else READINGS[:-1]


def one_bench(
    bench: Bench, truth: Array, random: np.random.Generator, spread: Points
) -> list[float] | None:
    """Return the level at which each interval first holds the truth; None where none is found."""
    every, count = range(len(bench.unknowns)), len(bench.u)
    noise = random.standard_normal(count)
    shown = bench.shown(truth[None], every)[0]
    true_gain = float(bench.gains(truth[None], every)[0])
    if not (np.all(np.isfinite(shown)) and np.isfinite(true_gain)):
        return None
    values = shown + noise * bench.u
    readings = [replace(r, value=float(v)) for r, v in zip(bench.readings, values, strict=True)]
    kept = Points(at=spread.at, values=spread.values[:, [*range(count), -1]])
    try:
        left = integrate(Bench(bench.case, readings), kept)
    except ConvergenceError:
        return None
    draws = left.posterior.draws
    below = [left.posterior.probability_below(draws[:, i], float(truth[i])) for i in every]
    below.append(left.posterior.probability_below(left.gains, true_gain))
    return [abs(2.0 * probability - 1.0) for probability in below]


if __name__ == "__main__":
    main()
