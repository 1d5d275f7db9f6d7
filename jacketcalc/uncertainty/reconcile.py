"""Readings of a bench against the model: what explains them, and what the verdict then is."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from jacketcalc.arrays import Array
from jacketcalc.assessment.result import Answer, Interval
from jacketcalc.assessment.standing import apply_rule
from jacketcalc.assessment.variants import bare_machine, require_jacket
from jacketcalc.core.run import run_each
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.input_paths import with_numbers
from jacketcalc.inputs import Case, Machine
from jacketcalc.progress import Progress, Tally
from jacketcalc.readings import Reading
from jacketcalc.statistics.fit import Fit
from jacketcalc.statistics.least_squares import fit
from jacketcalc.statistics.posterior import Posterior
from jacketcalc.statistics.residuals import Residuals, slopes
from jacketcalc.uncertainty.bench_posterior import Points, integrate, prior_gains, solve_spread
from jacketcalc.uncertainty.candidates import list_candidates, separating
from jacketcalc.uncertainty.paired_samples import make_pair
from jacketcalc.uncertainty.predict import predict, without_profiles
from jacketcalc.uncertainty.unknowns import Unknown, list_unknowns, with_unknowns

STEP = 0.05
"""Half distance of the differences that slopes are taken from, well above the model's noise [-]."""
LEVEL = 0.95
"""Coverage probability of intervals [-]."""
BENCHES = 128
"""Synthetic benches whose truth was known (`tests.uncertainty.coverage`) [-]."""
HELD_GAIN, HELD_UNKNOWNS = 0.945, (0.9375, 0.969)
"""Share of them whose `LEVEL` intervals held the truth: judged change; the worst and the best of
the unknowns [-]."""
MOST_KEPT = 2000
"""Solutions that are remembered, so that none is asked for twice [-]."""
EXPECTED = 900
"""Machines that a reconciliation takes, for its progress: a guess that is corrected [-]."""
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
    posterior: Posterior | None = None
    """What is left of the unknowns, in prior standard deviations; None where intervals come from
    slopes at the likeliest values."""

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
        self, case: Case, readings: Sequence[Reading], *, threads: int | None = None,
        tally: Tally | None = None,
    ) -> None:  # fmt: skip
        require_jacket(case)
        if not readings:
            raise RangeError("there is no reading to reconcile; add a [[reading]] to the case")
        self.case, self.readings, self.threads = case, tuple(readings), threads
        self.unknowns = list_unknowns(case.machine)
        self.value = np.array([r.value for r in readings])
        self.u = np.array([r.standard_uncertainty for r in readings])
        self._tally = tally or Tally(None, 0.0)
        self._solved: dict[Design, Result] = {}

    def machine(self, z: Array, chosen: Sequence[int]) -> Machine:
        """Return the machine with some of the unknowns moved."""
        return with_unknowns(self.case.machine, [self.unknowns[i] for i in chosen], z)

    def shown(self, z: Array, chosen: Sequence[int]) -> Array:
        """Return what the readings would be, of shape (rows, readings) [SI]."""
        machines = [self.machine(row, chosen) for row in z]
        return predict(machines, self.readings, self.case.machine, solve=self._solve)

    def _solve(self, designs: Sequence[Design]) -> list[Result]:
        """Solve machines, each once: readings and judged change ask for the same ones."""
        new = [one for one in dict.fromkeys(designs) if one not in self._solved]
        if len(self._solved) + len(new) > MOST_KEPT:
            self._solved.clear()
            new = list(dict.fromkeys(designs))
        tell = self._tally.part(len(new))
        with closing(run_each(new, details=True, threads=self.threads)) as coming:
            for done, (place, result) in enumerate(coming, start=1):
                self._solved[new[place]] = without_profiles(result)
                tell(done / len(new))
        return [self._solved[one] for one in designs]

    def outputs(self, z: Array) -> Array:
        """Return readings and judged change at rows of all unknowns; NaN without a solution."""
        every = range(len(self.unknowns))
        return np.column_stack([self.shown(z, every), self.gains(z, every)])

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
        solved, count = self._solve(designs), len(machines)
        pairs = [make_pair(self.case, new, old)
                 for new, old in zip(solved[:count], solved[count:], strict=True)]  # fmt: skip
        return np.array([np.nan if pair is None else pair.gain for pair in pairs])


def reconcile(
    case: Case, readings: Sequence[Reading], *, progress: Progress | None = None,
    threads: int | None = None,
) -> Reconciliation:  # fmt: skip
    """Set readings against the model: what explains them, alone and together.

    Parameters
    ----------
    case : the case
    readings : what was read, each with its uncertainty and state
    progress : called with the share done, 0 to 1
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
    bench = Bench(case, readings, threads=threads, tally=Tally(progress, EXPECTED))
    every = range(len(bench.unknowns))
    start = np.zeros((1, len(bench.unknowns)))
    nominal = predict([case.machine], readings, case.machine, threads=threads)[0]
    if not np.all(np.isfinite(nominal)):
        lost = [r.name for r, v in zip(readings, nominal, strict=True) if not np.isfinite(v)]
        raise ConvergenceError(f"the machine shows no {lost[0]}: it stalls or has no such part")
    J = slopes(bench.residuals(list(every)), start[0], STEP)
    joint_u = np.sqrt(1.0 + np.sum(J**2, axis=1)) * bench.u
    tried = [_try(bench, i) for i in every]
    singles = sorted((s for s in tried if s is not None), key=lambda s: s.chi_square)
    joint = _explain(bench, tuple(every), "all together")
    stated = _stated(bench, start[0])
    try:
        spread = solve_spread(bench)
        stated, joint = _over_priors(bench, spread, stated), _integrated(bench, spread, joint)
    except (ConvergenceError, RangeError):
        pass  # intervals stay straight, and say so
    own = (bench.value - nominal) / bench.u
    return Reconciliation(
        case=case,
        compared=tuple(
            Compared(reading=r, predicted=float(p), fitted=float(f), joint_uncertainty=float(s))
            for r, p, f, s in zip(readings, nominal, joint.predicted, joint_u, strict=True)
        ),
        nominal=stated,
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


def _over_priors(bench: Bench, spread: Points, stated: Interval) -> Interval:
    """Return the judged change as stated, with the interval of the whole priors."""
    gains = prior_gains(bench, spread)
    low, high = np.quantile(gains, [0.5 * (1.0 - LEVEL), 0.5 * (1.0 + LEVEL)])
    return _holding(stated.value, float(low), float(high))


def _integrated(bench: Bench, spread: Points, joint: Explanation) -> Explanation:
    """Return the joint explanation with intervals of the whole distribution."""
    left = integrate(bench, spread)
    draws = left.posterior.draws
    ends = [left.posterior.interval(draws[:, i], LEVEL) for i in range(draws.shape[1])]
    values = tuple(
        _holding(known.value, one.value(low), one.value(high))
        for one, known, (low, high) in zip(joint.unknowns, joint.values, ends, strict=True)
    )
    gain = _holding(joint.gain.value, *left.posterior.interval(left.gains, LEVEL))
    return replace(joint, values=values, gain=gain, answer=apply_rule(gain),
                   posterior=left.posterior)  # fmt: skip


def _holding(value: float, low: float, high: float) -> Interval:
    """Return an interval that holds its likeliest value too, which may lie at a limit."""
    return Interval(low=min(low, value), value=value, high=max(high, value))


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
