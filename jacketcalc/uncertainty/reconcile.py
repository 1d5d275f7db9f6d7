"""Readings of a bench against the model: what explains them, and what the verdict then is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.arrays import Array
from jacketcalc.assessment.result import Answer, Interval
from jacketcalc.assessment.standing import apply_rule
from jacketcalc.assessment.variants import bare_machine, require_jacket
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.input_paths import with_numbers
from jacketcalc.inputs import Case, Machine
from jacketcalc.readings import Reading
from jacketcalc.statistics.fit import Fit
from jacketcalc.statistics.least_squares import fit
from jacketcalc.statistics.residuals import Residuals, slopes
from jacketcalc.uncertainty.candidates import list_candidates, separating
from jacketcalc.uncertainty.paired_samples import make_pair
from jacketcalc.uncertainty.predict import predict
from jacketcalc.uncertainty.unknowns import Unknown, list_unknowns, with_unknowns

STEP = 0.05
"""Half distance of the differences that slopes are taken from, well above the model's noise [-]."""
LEVEL = 0.95
"""Coverage probability of intervals [-]."""
HELD_GAIN, HELD_FILM = 0.926, 0.908
"""Share of synthetic benches whose `LEVEL` intervals held the truth: judged change, and
film factor, the worst of the unknowns (`tests.uncertainty.coverage`) [-]."""
DOUBT = 0.05
"""Probability of so large a chi-square below which readings count as unexplained [-]."""


@dataclass(frozen=True, kw_only=True)
class Compared:
    """One reading beside what the model shows."""

    reading: Reading
    predicted: float
    """By the case as stated [SI]."""
    fitted: float
    """After the joint fit [SI]."""
    joint_uncertainty: float
    """u of reading and model together, before the fit [SI]."""

    @property
    def residual(self) -> float:
        """Reading less prediction, over their joint uncertainty [-]."""
        return (self.reading.value - self.predicted) / self.joint_uncertainty


@dataclass(frozen=True, kw_only=True)
class Explanation:
    """One unknown, or all together, made to agree with the readings."""

    name: str
    values: tuple[Interval, ...]
    """Fitted factors or values of its unknowns, each with its interval [-]."""
    unknowns: tuple[Unknown, ...]
    chi_square: float
    """Sum of squares of the residuals that are left, over the readings' own u, and of the
    departures from the priors [-]."""
    p_value: float
    """Probability of a chi-square as large if this were the explanation [-]."""
    gain: Interval
    """Judged change under it, and its interval, for the better positive [-, of temperatures K]."""
    answer: Answer
    predicted: tuple[float, ...]
    """What the readings would then be [SI]."""

    @property
    def explains(self) -> bool:
        """Whether it can be right."""
        return self.p_value >= DOUBT


@dataclass(frozen=True, kw_only=True)
class Parting:
    """The reading that would tell single explanations apart best."""

    names: tuple[str, ...]
    """Explanations that it parts."""
    reading: Reading
    instrument: str
    """What it is read with."""
    apart: float
    """How far apart the explanations show it, over its u [-]."""


@dataclass(frozen=True, kw_only=True)
class Reconciliation:
    """Readings of a bench against the model of a case."""

    case: Case
    compared: tuple[Compared, ...]
    nominal: Interval
    """Judged change of the case as stated, with the interval of its unknowns
    [-, of temperatures K]."""
    chi_square: float
    """Sum of squares of the residuals of the case as stated, over the readings' own u [-]."""
    single: tuple[Explanation, ...]
    """One unknown each, the likeliest first."""
    joint: Explanation
    parting: Parting | None
    """None where fewer than two single unknowns explain the readings."""

    @property
    def unexplained(self) -> bool:
        """Whether no parameters explain the readings."""
        return not self.joint.explains


class Bench:
    """A case, its readings, and the unknowns that may explain them."""

    def __init__(
        self, case: Case, readings: Sequence[Reading], *, threads: int | None = None
    ) -> None:
        require_jacket(case)
        if not readings:
            raise RangeError("there is no reading to reconcile; add a [[reading]] to the case")
        self.case, self.readings, self.threads = case, tuple(readings), threads
        self.unknowns = list_unknowns(case.machine)
        self.value = np.array([r.value for r in readings])
        self.u = np.array([r.standard_uncertainty for r in readings])

    def machine(self, z: Array, chosen: Sequence[int]) -> Machine:
        """Return the machine with some of the unknowns moved."""
        return with_unknowns(self.case.machine, [self.unknowns[i] for i in chosen], z)

    def shown(self, z: Array, chosen: Sequence[int]) -> Array:
        """Return what the readings would be, of shape (rows, readings) [SI]."""
        machines = [self.machine(row, chosen) for row in z]
        return predict(machines, self.readings, self.case.machine, threads=self.threads)

    def residuals(self, chosen: Sequence[int]) -> Residuals:
        """Return the residuals over the readings' own u, as a function of rows of z."""

        def of(z: Array) -> Array:
            found: Array = (self.value - self.shown(z, chosen)) / self.u
            return found

        return of

    def gains(self, z: Array, chosen: Sequence[int]) -> Array:
        """Return the judged change at rows of z; NaN where a machine did not settle."""
        machines = [self.machine(row, chosen) for row in z]
        judged = self.case.judgement.no_jackets
        designs = [Design(machine=m) for m in machines]
        designs += [Design(machine=bare_machine(m, judged)) for m in machines]
        solved, count = run(designs, threads=self.threads), len(machines)
        pairs = [make_pair(self.case, new, old)
                 for new, old in zip(solved[:count], solved[count:], strict=True)]  # fmt: skip
        return np.array([np.nan if pair is None else pair.gain for pair in pairs])


def reconcile(
    case: Case, readings: Sequence[Reading], *, threads: int | None = None
) -> Reconciliation:
    """Set readings against the model: what explains them, alone and together.

    Parameters
    ----------
    case : the case
    readings : what was read, each with its uncertainty and state
    threads : machines solved at once; as many as there are cores when None

    Raises
    ------
    CaseError
        The case feeds no jacket.
    RangeError
        There is no reading, or the machine has no part that one speaks of.
    ConvergenceError
        The machine does not settle as it was read, or a fit does not end.
    """
    bench = Bench(case, readings, threads=threads)
    every = range(len(bench.unknowns))
    start = np.zeros((1, len(bench.unknowns)))
    nominal = predict([case.machine], readings, case.machine, threads=threads)[0]
    if not np.all(np.isfinite(nominal)):
        lost = [r.name for r, v in zip(readings, nominal, strict=True) if not np.isfinite(v)]
        raise ConvergenceError(f"the machine shows no {lost[0]}: it stalls or has no such part")
    J = slopes(bench.residuals(list(every)), start[0], STEP)
    spread = np.sqrt(1.0 + np.sum(J**2, axis=1)) * bench.u
    tried = [_try(bench, i) for i in every]
    singles = sorted((s for s in tried if s is not None), key=lambda s: s.chi_square)
    joint = _explain(bench, tuple(every), "all together")
    own = (bench.value - nominal) / bench.u
    return Reconciliation(
        case=case,
        compared=tuple(
            Compared(reading=r, predicted=float(p), fitted=float(f), joint_uncertainty=float(s))
            for r, p, f, s in zip(readings, nominal, joint.predicted, spread, strict=True)
        ),
        nominal=_stated(bench, start[0]),
        chi_square=float(own @ own),
        single=tuple(singles),
        joint=joint,
        parting=_part(bench, [one for one in singles if one.explains]),
    )


def _try(bench: Bench, i: int) -> Explanation | None:
    """Return what one unknown alone explains; None where no machine runs on the way to it."""
    try:
        return _explain(bench, (i,), bench.unknowns[i].name)
    except ConvergenceError:
        return None


def _part(bench: Bench, likely: Sequence[Explanation]) -> Parting | None:
    """Return which further reading parts the likely explanations."""
    if len(likely) < 2:
        return None
    stated = bench.case.machine
    machines = [
        with_numbers(stated, one.unknowns[0].set_in(stated, one.values[0].value)) for one in likely
    ]
    candidates = list_candidates(bench.case)
    shown = predict(machines, [r for r, _ in candidates], stated, threads=bench.threads)
    best, apart = separating(shown, [r.standard_uncertainty for r, _ in candidates])
    reading, instrument = candidates[best]
    names = tuple(one.name for one in likely)
    return Parting(names=names, reading=reading, instrument=instrument, apart=apart)


def _stated(bench: Bench, start: Array) -> Interval:
    """Return the judged change of the case as stated, with the interval that its priors leave."""
    every = list(range(len(bench.unknowns)))
    spread = _gain(bench, start, every, np.eye(len(every)))
    value = float(bench.gains(np.zeros((1, 0)), ())[0])
    return Interval(low=value + spread.low - spread.value, value=value,
                    high=value + spread.high - spread.value)  # fmt: skip


def _explain(bench: Bench, chosen: tuple[int, ...], name: str) -> Explanation:
    residuals = bench.residuals(chosen)
    found: Fit = fit(residuals, len(chosen), step=STEP, tolerance=1e-5)
    low, high = found.interval(LEVEL)
    unknowns = tuple(bench.unknowns[i] for i in chosen)
    values = tuple(
        Interval(low=one.value(float(a)), value=one.value(float(z)), high=one.value(float(b)))
        for one, a, z, b in zip(unknowns, low, found.estimate, high, strict=True)
    )
    gain = _gain(bench, found.estimate, chosen, found.covariance)
    return Explanation(
        name=name, values=values, unknowns=unknowns, chi_square=found.chi_square,
        p_value=found.p_value, gain=gain, answer=apply_rule(gain),
        predicted=tuple(float(v) for v in bench.value - found.residuals * bench.u),
    )  # fmt: skip


def _gain(
    bench: Bench, z: Array, chosen: Sequence[int], covariance: NDArray[np.float64]
) -> Interval:
    """Return the judged change with the interval that the unknowns leave it."""
    count = len(chosen)
    rows = [z, *(z + STEP * e for e in np.eye(count)), *(z - STEP * e for e in np.eye(count))]
    gains = bench.gains(np.array(rows), chosen)
    slope = (gains[1 : count + 1] - gains[count + 1 :]) / (2.0 * STEP)
    half = 1.96 * float(np.sqrt(max(float(slope @ covariance @ slope), 0.0)))
    value = float(gains[0])
    return Interval(low=value - half, value=value, high=value + half)
