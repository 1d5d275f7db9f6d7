"""Synthetic benches whose truth is known: how often do the fitted intervals hold it?

    python -m tests.uncertainty.coverage          goes on where it was stopped
    python -m tests.uncertainty.coverage --anew

Each bench draws the unknowns from their priors, evenly by a Sobol sequence: draws at random were
found to have luck of their own, which hid what is asked. It lets the model of that machine show
four or five readings, adds noise of their u, and fits. To be fast the fit is linear, with slopes
taken anew where the last one ended until it moves by less than `SETTLED`; where it does not come to
rest, the fit of `reconcile` takes its place. What each bench says is kept in `coverage.json`.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.special import erf, ndtri
from scipy.stats.qmc import Sobol

from jacketcalc.casefile.reading import read_case
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.readings import Reading
from jacketcalc.statistics.fit import Fit
from jacketcalc.statistics.least_squares import fit, fit_linear
from jacketcalc.statistics.residuals import slopes
from jacketcalc.uncertainty import predict, reconcile
from jacketcalc.uncertainty.reconcile import STEP, Bench

Array = NDArray[np.float64]
ROOT = Path(__file__).parents[2]
KEPT = Path(__file__).with_name("coverage.json")
LEAST, MINUTES = 100, 9.5
"""Benches at least, and minutes after which no more are begun then."""
SETTLED, MOST_STEPS = 0.15, 5
"""Move in prior standard uncertainties that ends the fit [-], and linear fits at most."""
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


class Remembering:
    """Solves each machine once: readings and judged change ask for the same ones."""

    def __init__(self) -> None:
        self.known: dict[Design, Result] = {}

    def __call__(self, designs: Sequence[Design], **kept: object) -> list[Result]:
        new = [design for design in dict.fromkeys(designs) if design not in self.known]
        self.known.update(zip(new, run(new, details=True), strict=True))
        return [self.known[design] for design in designs]


def main() -> None:
    """Run as many benches as the minutes allow, and keep what they say."""
    case = read_case(str(ROOT / "cases" / "impact_laboratory.toml"))
    random, begun = np.random.default_rng(20), time.monotonic()
    names = [one.name for one in Bench(case, READINGS).unknowns]
    truths = Sobol(len(names), scramble=True, seed=np.random.default_rng(21))
    at_prior: dict[int, Array] = {}
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
        predict.run = reconcile.run = Remembering()
        truth = ndtri(truths.random(1)[0])
        found = one_bench(Bench(case, readings), truth, random, at_prior)
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
    bench: Bench, truth: Array, random: np.random.Generator, at_prior: dict[int, Array]
) -> list[float] | None:
    """Return the level at which each interval first holds the truth; None where none is found."""
    every = range(len(bench.unknowns))
    noise = random.standard_normal(len(bench.u))
    shown = bench.shown(truth[None], every)[0]
    true_gain = float(bench.gains(truth[None], every)[0])
    if not (np.all(np.isfinite(shown)) and np.isfinite(true_gain)):
        return None
    values = shown + noise * bench.u
    readings = [replace(r, value=float(v)) for r, v in zip(bench.readings, values, strict=True)]
    own = Bench(bench.case, readings)
    if len(readings) not in at_prior:
        at_prior[len(readings)] = slopes(own.residuals(every), np.zeros(len(every)), STEP)
    try:
        about, found = settle(own, every, at_prior[len(readings)])
    except ConvergenceError:
        return None
    gain, u = judged(own, every, about, found)
    depths = [
        *depth(truth - found.estimate, found.standard_uncertainty),
        *depth(np.array([true_gain - gain]), np.array([u])),
    ]
    return depths if np.all(np.isfinite(depths)) else None


def settle(bench: Bench, every: Sequence[int], J: Array) -> tuple[Array, Fit]:
    """Return where slopes were taken last, and the fit that they gave."""
    residuals = bench.residuals(every)
    about = np.zeros(len(every))
    found = fit_linear(residuals(about[None])[0], J)
    try:
        for _ in range(MOST_STEPS):
            about = found.estimate
            at, J = residuals(about[None])[0], slopes(residuals, about, STEP)
            found = fit_linear(at - J @ about, J)
            if np.max(np.abs(found.estimate - about)) < SETTLED:
                return about, found
    except (ConvergenceError, RangeError):
        pass
    found = fit(residuals, len(every), step=STEP, tolerance=1e-5)
    return found.estimate, found


def judged(bench: Bench, every: Sequence[int], about: Array, fit: Fit) -> tuple[float, float]:
    """Return the judged change after a fit, and its u, with the slopes about a point."""
    shift = STEP * np.eye(len(about))
    rows = np.concatenate((fit.estimate[None], about + shift, about - shift))
    gains = bench.gains(rows, every)
    slope = (gains[1 : len(about) + 1] - gains[len(about) + 1 :]) / (2.0 * STEP)
    return float(gains[0]), float(np.sqrt(slope @ fit.covariance @ slope))


def depth(apart: Array, u: Array) -> list[float]:
    """Return the coverage probability of the normal interval that just holds the truth [-]."""
    return [float(v) for v in erf(np.abs(apart) / u / np.sqrt(2.0))]


if __name__ == "__main__":
    main()
