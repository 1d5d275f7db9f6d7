"""Synthetic benches whose truth is known: how often do the fitted intervals hold it?

    python -m tests.uncertainty.coverage

Each bench draws the unknowns from their priors, evenly by a Sobol sequence: draws at random were
found to have luck of their own, which hid what is asked. It lets the model of that machine show
four or five readings, adds noise of their u, and fits. To be fast the fit is linear with the slopes
at the prior, and then once more with slopes taken anew where that ended; `reconcile` goes on until
nothing changes. Counts are kept in `coverage.json`.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.special import erf, ndtri
from scipy.stats.qmc import Sobol

from jacketcalc.casefile.reading import read_case
from jacketcalc.errors import ConvergenceError
from jacketcalc.readings import Reading
from jacketcalc.statistics.fit import Fit
from jacketcalc.statistics.least_squares import fit_linear
from jacketcalc.statistics.residuals import slopes
from jacketcalc.uncertainty.reconcile import STEP, Bench

Array = NDArray[np.float64]
ROOT = Path(__file__).parents[2]
KEPT = Path(__file__).with_name("coverage.json")
LEVELS = (0.02, 0.10, 0.25, 0.50, 0.75, 0.90, 0.98)
"""Coverage probabilities at which is counted [-]."""
MOST_MINUTES = 9.5
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


@dataclass
class Counts:
    """How often the truth lay inside, by quantity and level."""

    benches: int
    failed: int
    held: dict[str, list[int]]


def main() -> None:
    """Run as many benches as the minutes allow, and keep the counts."""
    case = read_case(str(ROOT / "cases" / "impact_laboratory.toml"))
    random, begun = np.random.default_rng(20), time.monotonic()
    names = [one.name for one in Bench(case, READINGS).unknowns]
    truths = Sobol(len(names), scramble=True, seed=np.random.default_rng(21))
    counts = Counts(0, 0, {name: [0] * len(LEVELS) for name in [*names, "judged change"]})
    prior: dict[int, Array] = {}
    while time.monotonic() - begun < 60.0 * MOST_MINUTES:
        readings = READINGS if (counts.benches + counts.failed) % 2 else READINGS[:-1]
        truth = ndtri(truths.random(1)[0])
        found = one_bench(Bench(case, readings), truth, random, prior)
        if found is None:
            counts.failed += 1
            continue
        counts.benches += 1
        for name, depth in zip(counts.held, found, strict=True):
            for i, level in enumerate(LEVELS):
                counts.held[name][i] += depth <= level
        sys.stderr.write(f"\r{counts.benches} benches")
        keep(counts)


def one_bench(
    bench: Bench, truth: Array, random: np.random.Generator, prior: dict[int, Array]
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
    start = np.zeros(len(every))
    if len(readings) not in prior:
        prior[len(readings)] = slopes(own.residuals(every), start, STEP)
    try:
        first = linear(own, every, start, prior[len(readings)])
        found = linear(own, every, first.estimate, None)
    except ConvergenceError:
        return None
    gain, u = judged(own, every, first.estimate, found)
    depths = [
        *depth(truth - found.estimate, found.standard_uncertainty),
        *depth(np.array([true_gain - gain]), np.array([u])),
    ]
    return depths if np.all(np.isfinite(depths)) else None


def linear(bench: Bench, every: Sequence[int], about: Array, J: Array | None) -> Fit:
    """Fit a model that is straight about a point."""
    residuals = bench.residuals(every)
    at = residuals(about[None])[0]
    if not np.all(np.isfinite(at)):
        raise ConvergenceError("no solution where the first fit ended")
    if J is None:
        J = slopes(residuals, about, STEP)
    return fit_linear(at - J @ about, J)


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


def keep(counts: Counts) -> None:
    """Write the counts."""
    data = {"benches": counts.benches, "failed": counts.failed, "levels": LEVELS,
            "held": counts.held}  # fmt: skip
    KEPT.write_text(json.dumps(data, indent=1) + "\n", "utf-8")


if __name__ == "__main__":
    main()
