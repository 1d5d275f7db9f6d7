"""All that a report shows of a verdict's uncertainty, solved together."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.inputs import Case
from jacketcalc.progress import Progress, Tally
from jacketcalc.uncertainty.rank import Ranking, rank_inputs
from jacketcalc.uncertainty.reconcile import Reconciliation, reconcile
from jacketcalc.uncertainty.result import UncertaintyStudy
from jacketcalc.uncertainty.study import SAMPLES, estimate_uncertainty
from jacketcalc.uncertainty.uncertain import list_uncertain

MACHINES = 2
"""Machines of a pair [-]."""


@dataclass(frozen=True, kw_only=True)
class Sampled:
    """A verdict's samples, its inputs by what they do, and readings against the model."""

    study: UncertaintyStudy
    ranking: Ranking
    bench: Reconciliation | None
    """None where the case holds no readings."""


def solve_sampled(
    case: Case,
    *,
    samples: int = SAMPLES,
    seed: int = 1,
    progress: Progress | None = None,
    threads: int | None = None,
) -> Sampled:
    """Sample a verdict, rank its inputs, and reconcile the readings that the case holds.

    Parameters
    ----------
    case : the case
    samples : pairs of machines, a power of two from 128
    seed : the same seed gives the same bytes
    progress : called with the share of machines that is done, 0 to 1; readings are not counted
    threads : machines solved at once; as many as there are cores when None

    Raises
    ------
    CaseError
        The case feeds no jacket.
    RangeError
        The number of samples cannot be drawn, or the machine lacks a part that was read.
    ConvergenceError
        Too many machines did not settle, the nominal one did not, or a fit does not end.
    """
    drawn, moved = MACHINES * samples, MACHINES * (1 + 2 * len(list_uncertain(case)))
    tally = Tally(progress, drawn + moved)
    study = estimate_uncertainty(
        case, samples=samples, seed=seed, progress=tally.part(drawn), threads=threads
    )
    ranking = rank_inputs(case, progress=tally.part(moved), threads=threads)
    bench = reconcile(case, case.readings, threads=threads) if case.readings else None
    return Sampled(study=study, ranking=ranking, bench=bench)
