"""Synthetic benches whose truth is known: how often do the fitted intervals hold it?

    python -m tests.uncertainty.coverage

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
BENCHES, TOGETHER = 128, 64
"""Benches, a power of two, and how many are solved together [-]."""
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
    """Run every bench, and keep what they say."""
    case = read_case(str(ROOT / "cases" / "impact_laboratory.toml"))
    whole = Bench(case, READINGS)
    truths, noise = drawn(len(whole.unknowns))
    solved = np.concatenate(
        [whole.outputs(truths[i : i + TOGETHER]) for i in range(0, BENCHES, TOGETHER)]
    )
    spread = solve_spread(whole)
    found = [
        one_bench(whole, readings_of(i), truths[i], solved[i], noise[i], spread)
        for i in range(BENCHES)
    ]
    keep([one.name for one in whole.unknowns], found)


def drawn(unknowns: int) -> tuple[Array, Array]:
    """Return the unknowns of every bench, and the noise of its readings [-]."""
    points = Sobol(unknowns, scramble=True, seed=5).random(BENCHES)
    return ndtri(points), np.random.default_rng(20).standard_normal((BENCHES, len(READINGS)))


def keep(names: list[str], found: list[list[float] | None]) -> None:
    """Write what the benches say."""
    rows = [[round(depth, 4) for depth in one] for one in found if one is not None]
    head = {"failed": len(found) - len(rows), "quantities": [*names, "judged change"]}
    lines = ",\n  ".join(map(json.dumps, rows))
    text = json.dumps(head)[:-1] + f', "depths": [\n  {lines}\n]}}\n'
    KEPT.write_text(text, "utf-8")


def readings_of(bench: int) -> tuple[Reading, ...]:
    """Return what is read at a bench."""
    return READINGS if bench % 2 else READINGS[:-1]


def one_bench(
    whole: Bench, asked: tuple[Reading, ...], truth: Array, solved: Array, noise: Array,
    spread: Points,
) -> list[float] | None:  # fmt: skip
    """Return the level at which each interval first holds the truth; None where none is found."""
    if not np.all(np.isfinite(solved)):
        return None
    count = len(asked)
    u = np.array([r.standard_uncertainty for r in asked])
    values = solved[:count] + noise[:count] * u
    readings = [replace(r, value=float(v)) for r, v in zip(asked, values, strict=True)]
    kept = Points(at=spread.at, values=spread.values[:, [*range(count), -1]])
    try:
        left = integrate(Bench(whole.case, readings), kept)
    except ConvergenceError:
        return None
    posterior = left.posterior
    each = zip(posterior.draws.T, truth.tolist(), strict=True)
    below = [posterior.probability_below(values, at) for values, at in each]
    below.append(posterior.probability_below(left.gains, float(solved[-1])))
    return [abs(2.0 * probability - 1.0) for probability in below]


if __name__ == "__main__":
    main()
