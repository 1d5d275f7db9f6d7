"""Which readings would narrow the answer most, before they are taken."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.assessment.variants import require_jacket
from jacketcalc.errors import ConvergenceError
from jacketcalc.inputs import Case
from jacketcalc.readings import Reading
from jacketcalc.statistics.expected_gain import expected_gain, plan_readings
from jacketcalc.statistics.residuals import slopes
from jacketcalc.uncertainty.candidates import list_candidates
from jacketcalc.uncertainty.predict import predict
from jacketcalc.uncertainty.reconcile import STEP, Bench

FEW = 4
"""Readings that are chosen [-]."""


@dataclass(frozen=True, kw_only=True)
class Proposed:
    """A reading that is worth taking."""

    reading: Reading
    instrument: str
    """What it is read with."""
    uncertainty_after: float
    """Standard uncertainty of the judged change after it, alone [-, of temperatures K]."""
    chosen: int
    """Its place in the plan, from 1; 0 where it is not in it."""
    after_chosen: float
    """Standard uncertainty after it and those chosen before it; nought where not chosen
    [-, of temperatures K]."""


@dataclass(frozen=True, kw_only=True)
class TestPlan:
    """The few readings that narrow the answer most."""

    case: Case
    before: float
    """Standard uncertainty of the judged change from the unknowns of a bench
    [-, of temperatures K]."""
    proposed: tuple[Proposed, ...]
    """Those in the plan first, then the others by what each tells alone."""


def plan_test(case: Case, *, count: int = FEW, threads: int | None = None) -> TestPlan:
    """Choose the readings that narrow the judged change most.

    Parameters
    ----------
    case : the case; readings that it holds already count
    count : readings to choose
    threads : machines solved at once; as many as there are cores when None

    Raises
    ------
    CaseError
        The case feeds no jacket.
    ConvergenceError
        The machine does not settle.
    """
    require_jacket(case)
    candidates = _readable(case, list_candidates(case), threads)
    bench = Bench(case, [r for r, _ in candidates] + list(case.readings), threads=threads)
    every = list(range(len(bench.unknowns)))
    start = np.zeros(len(every))
    J = slopes(bench.residuals(every), start, STEP) * -bench.u[:, None]
    count_all = len(candidates)
    held = range(count_all, len(J))
    precision = np.eye(len(every)) + sum(
        (np.outer(J[i], J[i]) / bench.u[i] ** 2 for i in held), np.zeros((len(every),) * 2)
    )
    covariance = np.linalg.inv(precision)
    rows = [z for e in np.eye(len(every)) for z in (STEP * e, -STEP * e)]
    gains = bench.gains(np.array(rows), every)
    answer = (gains[0::2] - gains[1::2]) / (2.0 * STEP)
    if not np.all(np.isfinite(answer)):
        raise ConvergenceError("a machine does not settle near the case as stated; nothing is said")
    J, u = J[:count_all], bench.u[:count_all]
    alone = expected_gain(J, u, answer, covariance)
    plan = plan_readings(J, u, answer, min(count, count_all), covariance)
    order = {place: rank for rank, place in enumerate(plan.chosen)}
    proposed = [
        Proposed(
            reading=reading, instrument=instrument,
            uncertainty_after=float(np.sqrt(alone.after[place])),
            chosen=order[place] + 1 if place in order else 0,
            after_chosen=float(np.sqrt(plan.after[order[place]])) if place in order else 0.0,
        )
        for place, (reading, instrument) in enumerate(candidates)
    ]  # fmt: skip
    proposed.sort(key=lambda p: (p.chosen or 999, p.uncertainty_after))
    return TestPlan(case=case, before=float(np.sqrt(alone.before)), proposed=tuple(proposed))


def _readable(
    case: Case, candidates: list[tuple[Reading, str]], threads: int | None
) -> list[tuple[Reading, str]]:
    """Return the candidates that the machine shows: a jacket that nothing feeds has no outlet."""
    shown = predict([case.machine], [r for r, _ in candidates], case.machine, threads=threads)[0]
    found = [one for one, value in zip(candidates, shown, strict=True) if np.isfinite(value)]
    if not found:
        raise ConvergenceError("the machine does not settle where the readings would be taken")
    return found
