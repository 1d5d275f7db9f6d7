"""Uncertainty of a verdict: scrambled Sobol samples through both machines (JCGM 101)."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.assessment.variants import require_jacket
from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress
from jacketcalc.statistics.given_data import first_order_from_samples
from jacketcalc.statistics.precision import sample_until_precise
from jacketcalc.statistics.samples import SampleDesign
from jacketcalc.statistics.summary import Summary, probability_positive, summarise
from jacketcalc.uncertainty.paired_samples import FATES, Pair, headline_outputs, solve_pairs
from jacketcalc.uncertainty.result import Headline, LimitChances, Share, UncertaintyStudy
from jacketcalc.uncertainty.uncertain import UncertainInput, draw, list_uncertain

SAMPLES = 512
"""Pairs solved where no other number is asked for [-]."""
REPLICATES = 8
"""Independent scramblings [-]."""
MOST = 16384
"""Pairs that a precision may cost [-]."""
MOST_FAILED = 0.02
"""Share of pairs without a solution above which nothing is said [-]."""


def estimate_uncertainty(
    case: Case,
    *,
    samples: int = SAMPLES,
    seed: int = 1,
    precision: float | None = None,
    level: float = 0.95,
    progress: Progress | None = None,
    threads: int | None = None,
) -> UncertaintyStudy:
    """Sample the inputs of a case, and say how sure its verdict is.

    Parameters
    ----------
    case : the case
    samples : pairs of machines, a power of two from 128; more where a precision asks for them
    seed : the same seed gives the same bytes, whatever the number of threads
    precision : margin of the judged change's mean, standard uncertainty and interval [-], [K]
    level : coverage probability of the intervals [-]
    progress : called with the share of the first samples done, 0 to 1
    threads : machines solved at once; as many as there are cores when None

    Raises
    ------
    CaseError
        The case feeds no jacket.
    RangeError
        The number of samples cannot be drawn.
    ConvergenceError
        Too many machines did not settle.
    """
    require_jacket(case)
    inputs = list_uncertain(case)
    check_samples(samples)
    design = SampleDesign(
        inputs=len(inputs), per_replicate=samples // REPLICATES, replicates=REPLICATES, seed=seed
    )
    sampler = _Sampler(case, inputs, progress, threads)
    tolerance = precision if precision is not None else np.inf
    found = sample_until_precise(
        sampler, design, {"gain": tolerance}, most=max(samples, MOST), level=level
    )
    pairs = sampler.in_order(found.points)
    return _study(case, inputs, found.points, pairs, seed=seed, level=level,
                  precision=precision, reached=found.reached)  # fmt: skip


def check_samples(samples: int) -> None:
    """Refuse a number of samples that replicates cannot draw evenly.

    Raises
    ------
    RangeError
        When it is no power of two from 128.
    """
    if samples < 16 * REPLICATES or samples & (samples - 1):
        raise RangeError(f"{samples} samples cannot be drawn evenly; take a power of two from 128")


def check_failed(pairs: Sequence[Pair | None]) -> None:
    """Refuse samples of which too many have no solution.

    Raises
    ------
    ConvergenceError
        Too many machines did not settle.
    """
    failed = sum(pair is None for pair in pairs)
    if failed > MOST_FAILED * len(pairs):
        raise ConvergenceError(
            f"{failed} of {len(pairs)} sampled machines did not settle; narrow the "
            "uncertainties of the case, or assess its ends one by one"
        )


class _Sampler:
    """Solves the pairs of new points, and keeps them by their point."""

    def __init__(
        self, case: Case, inputs: Sequence[UncertainInput], progress: Progress | None,
        threads: int | None,
    ) -> None:  # fmt: skip
        self.case, self.inputs, self.progress, self.threads = case, inputs, progress, threads
        self.kept: dict[bytes, Pair | None] = {}

    def __call__(self, points: Array) -> Mapping[str, Array]:
        values = draw(self.inputs, points)
        pairs = solve_pairs(
            self.case, self.inputs, values, progress=self.progress, threads=self.threads
        )
        self.kept |= {row.tobytes(): pair for row, pair in zip(points, pairs, strict=True)}
        check_failed(pairs)
        return {"gain": filled([np.nan if p is None else p.gain for p in pairs])}

    def in_order(self, points: Array) -> list[list[Pair | None]]:
        """Return the pairs of points of shape (replicates, samples, inputs)."""
        return [[self.kept[row.tobytes()] for row in rows] for rows in points]


def filled(values: Sequence[float]) -> Array:
    """Put the median where there is no value: leaving a point out would unbalance the others."""
    found = np.asarray(values, dtype=float)
    found[np.isnan(found)] = np.nanmedian(found)
    return found


def _study(
    case: Case, inputs: tuple[UncertainInput, ...], points: Array,
    pairs: list[list[Pair | None]], *, seed: int, level: float, precision: float | None,
    reached: bool,
) -> UncertaintyStudy:  # fmt: skip
    def column(read: Callable[[Pair], float]) -> Array:
        flat = [np.nan if p is None else read(p) for rows in pairs for p in rows]
        return filled(flat).reshape(len(pairs), -1)

    gain = column(lambda p: p.gain)
    outputs = headline_outputs()

    solved = [p for rows in pairs for p in rows if p is not None]

    def summary(place: int, whose: str) -> Summary | None:
        if not all(np.isfinite(getattr(p, whose)[place]) for p in solved):
            return None
        return summarise(column(lambda p: float(getattr(p, whose)[place])), level=level)

    headlines = tuple(
        Headline(
            output=output, with_jackets=summary(i, "with_jackets"),
            no_jackets=summary(i, "no_jackets"), change=summary(i, "change"),
        )
        for i, output in enumerate(outputs)
    )  # fmt: skip
    told = summarise(gain, level=level)
    return UncertaintyStudy(
        case=case, seed=seed, samples=gain.size,
        failed=gain.size - len(solved), resting=sum(p.rests for p in solved), level=level,
        reached=reached, precision=precision, inputs=inputs, gain=told,
        pays=told.probability_positive,
        headlines=headlines, limits=_limits(solved, column),
        shares=_shares(inputs, points, gain),
    )  # fmt: skip


def _limits(
    solved: Sequence[Pair], column: Callable[[Callable[[Pair], float]], Array]
) -> tuple[LimitChances, ...]:
    """Return the chances of each limit that any pair is held against."""
    found = []
    for what in dict.fromkeys(what for pair in solved for what in pair.fates):
        chances = [
            probability_positive(column(lambda p, w=what, f=fate: float(p.fates.get(w) == f)))  # type: ignore[misc]
            for fate in FATES
        ]
        found.append(
            LimitChances(what=what, kept=chances[0], mended=chances[1],
                         newly_broken=chances[2], broken_in_both=chances[3])
        )  # fmt: skip
    return tuple(found)


def _shares(inputs: Sequence[UncertainInput], points: Array, gain: Array) -> tuple[Share, ...]:
    if np.ptp(gain) == 0.0:
        return ()
    found = first_order_from_samples(points, gain)
    rows = zip(inputs, found.first, found.sampling_error, strict=True)
    shares = [Share(path=one.path, first=float(s), sampling_error=float(e)) for one, s, e in rows]
    return tuple(sorted(shares, key=lambda share: -share.first))
