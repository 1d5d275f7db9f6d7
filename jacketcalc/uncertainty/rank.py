"""Which input matters: each alone from end to end of its interval, both machines solved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.assessment.variants import require_jacket
from jacketcalc.errors import ConvergenceError
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress
from jacketcalc.uncertainty.paired_samples import HEADLINES, Pair, solve_pairs
from jacketcalc.uncertainty.uncertain import UncertainInput, list_uncertain
from jacketcalc.uncertainty.ways import way_to_know

DELIVERY = HEADLINES.index("delivered_mass_flow")


@dataclass(frozen=True, kw_only=True)
class Effect:
    """What one input does, from the low to the high end of its 95 % interval."""

    input: UncertainInput
    low: float
    """Low end [SI]."""
    high: float
    """High end [SI]."""
    delivery: tuple[float, float] | None
    """Delivery with jackets at both ends over the nominal, less 1 [-]; None where one failed or
    the nominal machine delivers nothing."""
    gain: tuple[float, float] | None
    """Judged change at both ends, for the better positive; None where one failed
    [-, of temperatures K]."""
    flips: bool
    """Whether the answer at an end is another one than the nominal."""
    way: str
    """The cheapest way to know it better."""

    reach: float
    """How far apart the judged changes at both ends and as stated lie [its unit]."""


@dataclass(frozen=True, kw_only=True)
class Ranking:
    """Every uncertain input of a case by what it does to the judged change."""

    case: Case
    nominal: float
    """Judged change of the case as stated, for the better positive [-, of temperatures K]."""
    delivery: float
    """Delivery with jackets of the case as stated [kg/s]."""
    effects: tuple[Effect, ...]
    """Largest first."""


def rank_inputs(
    case: Case, *, progress: Progress | None = None, threads: int | None = None
) -> Ranking:
    """Rank the uncertain inputs of a case by what each does to the judged change.

    Parameters
    ----------
    case : the case
    progress : called with the share done, 0 to 1
    threads : machines solved at once; as many as there are cores when None

    Raises
    ------
    CaseError
        The case feeds no jacket.
    ConvergenceError
        The nominal machine did not settle.
    """
    require_jacket(case)
    inputs = list_uncertain(case)
    nominal = np.array([one.nominal for one in inputs])
    rows = [nominal]
    for i, one in enumerate(inputs):
        for end in one.ends:
            row = nominal.copy()
            row[i] = end
            rows.append(row)
    pairs = solve_pairs(case, inputs, np.array(rows), progress=progress, threads=threads)
    if pairs[0] is None:
        raise ConvergenceError("the nominal machine did not settle, so that nothing is ranked")
    effects = [
        _effect(one, pairs[0], pairs[1 + 2 * i], pairs[2 + 2 * i]) for i, one in enumerate(inputs)
    ]
    return Ranking(
        case=case, nominal=pairs[0].gain, delivery=pairs[0].with_jackets[DELIVERY],
        effects=tuple(sorted(effects, key=lambda effect: -effect.reach)),
    )  # fmt: skip


def _effect(one: UncertainInput, nominal: Pair, low: Pair | None, high: Pair | None) -> Effect:
    start, end = one.ends
    known = low is not None and high is not None
    flow = nominal.with_jackets[DELIVERY]
    delivery = gain = None
    reach = 0.0
    if low is not None and high is not None:
        gain = (low.gain, high.gain)
        reach = float(np.ptp((*gain, nominal.gain)))
        delivery = _over(flow, (low, high)) if flow > 0.0 else None
    return Effect(
        input=one, low=start, high=end, delivery=delivery, gain=gain,
        flips=known and any(np.sign(g) != np.sign(nominal.gain) for g in gain or ()),
        way=way_to_know(one), reach=reach,
    )  # fmt: skip


def _over(flow: float, ends: Sequence[Pair]) -> tuple[float, float]:
    values: Array = np.array([end.with_jackets[DELIVERY] for end in ends]) / flow - 1.0
    return float(values[0]), float(values[1])
