"""Which readings would narrow the answer most, before they are taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from jacketcalc.assessment.variants import require_jacket
from jacketcalc.errors import ConvergenceError
from jacketcalc.inputs import Case
from jacketcalc.readings import Jackets, Place, Reading
from jacketcalc.statistics.expected_gain import expected_gain, plan_readings
from jacketcalc.statistics.residuals import slopes
from jacketcalc.uncertainty.predict import predict
from jacketcalc.uncertainty.reconcile import STEP, Bench

FEW = 4
"""Readings that are chosen [-]."""
WATCH = 0.2
"""u of a stop-watch over ten cycles, hand and eye [s]."""
CYCLES = 10
THERMOMETER, PROBE = 1.5, 1.0
"""u of a surface thermometer, and of a probe in the exhaust [K]."""
SCALE, GAUGE = 2e-3, 0.01
"""u of a balance under a bottle [kg]; of a gauge as a share [-]."""
MINUTES = 600.0
"""Time in which a mass is taken [s]."""


@dataclass(frozen=True, kw_only=True)
class Proposed:
    """A reading that is worth taking."""

    reading: Reading
    instrument: str
    """What it is read with."""
    uncertainty_after: float
    """Standard uncertainty of the judged change after it, alone."""
    chosen: int
    """Its place in the plan, from 1; 0 where it is not in it."""
    after_chosen: float
    """Standard uncertainty after it and those chosen before it; nought where not chosen."""


@dataclass(frozen=True, kw_only=True)
class TestPlan:
    """The few readings that narrow the answer most."""

    case: Case
    before: float
    """Standard uncertainty of the judged change from the unknowns of a bench."""
    proposed: tuple[Proposed, ...]
    """Those in the plan first, then the others by what each tells alone."""


def list_candidates(case: Case) -> list[tuple[Reading, str]]:
    """Return what could be read, with its instrument; common practice, no source."""
    jacketed = [s.name for s in case.machine.stages if s.jacket is not None]
    both: tuple[Jackets, ...] = ("with", "bypassed")
    found: list[tuple[Reading, str]] = []
    for jackets in both:
        found.append((_reading("cycle time", WATCH / CYCLES, jackets), "stop-watch, ten cycles"))
        found.append((
            replace(_reading("delivered mass", SCALE, jackets), duration=MINUTES),
            "balance under the bottle, ten minutes",
        ))  # fmt: skip
        places: tuple[Place, ...] = ("head", "middle", "flange")
        for stage in case.machine.stages:
            for place in places:
                if jackets == "with" and stage.jacket is not None and place != "head":
                    continue  # the shell covers it
                reading = replace(_reading("wall temperature", THERMOMETER, jackets),
                                  stage=stage.name, place=place)  # fmt: skip
                found.append((reading, "surface thermometer"))
    for name in jacketed:
        reading = replace(_reading("exhaust temperature", PROBE, "with"), stage=name)
        found.append((reading, "probe in the jacket's outlet"))
    u = GAUGE * case.machine.supply.pressure
    found.append((_reading("valve pressure", u, "with"), "gauge at the valve, class 1"))
    return found


def _reading(kind: str, u: float, jackets: Jackets) -> Reading:
    return Reading(kind=kind, value=0.0, standard_uncertainty=u, jackets=jackets)  # type: ignore[arg-type]


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


def separating(
    predictions: Sequence[Sequence[float]], uncertainties: Sequence[float]
) -> tuple[int, float]:
    """Return the reading that tells explanations apart best, and by how many u.

    Parameters
    ----------
    predictions : what each explanation shows, one row each [SI]
    uncertainties : u of each reading [SI]
    """
    rows = np.asarray(predictions, dtype=float)
    apart = (rows.max(axis=0) - rows.min(axis=0)) / np.asarray(uncertainties, dtype=float)
    apart = np.where(np.isfinite(apart), apart, 0.0)
    best = int(np.argmax(apart))
    return best, float(apart[best])
