"""Shares of the variance of delivery and benefit: first order of every input, total of the few.

What each input does alone (`rank`) says which inputs are drawn anew one by one; all others are
drawn anew together, so that their total index is told too. The same study takes noise away: what
is known of an input alone need not be found again from samples.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.progress import Tally
from jacketcalc.statistics.estimates import Estimate
from jacketcalc.statistics.given_data import first_order_from_samples
from jacketcalc.statistics.group_indices import PairedPoints, group_totals, paired_points
from jacketcalc.statistics.led import KnownEffects
from jacketcalc.statistics.one_way import OneWay
from jacketcalc.statistics.samples import SampleDesign
from jacketcalc.uncertainty.paired_samples import Pair, solve_pairs
from jacketcalc.uncertainty.rank import DELIVERY, Ranking
from jacketcalc.uncertainty.study import REPLICATES, SAMPLES, check_failed, check_samples, filled
from jacketcalc.uncertainty.uncertain import UncertainInput, draw

TOTALS = 10
"""Inputs that are drawn anew one by one where no other number is asked for [-]."""
EXPLAINED = 0.99
"""Share of the squares of all effects from which no more inputs are drawn anew alone [-]."""
REDRAWN = 8
"""Samples to one of those whose groups are drawn anew [-]."""
MACHINES = 2
"""Machines of a pair [-]."""
Pairs = np.ndarray[tuple[int, ...], np.dtype[np.object_]]
"""Pairs, None where one did not settle, in the shape of their points."""


@dataclass(frozen=True, kw_only=True)
class Caused:
    """Shares of one output's variance."""

    first: Estimate | None
    """First-order index; None of a group, and where the output does not vary [-]."""
    total: Estimate | None
    """Total index; None where the input was drawn anew with others only [-]."""


@dataclass(frozen=True, kw_only=True)
class InputShares:
    """What one input causes, or all others together."""

    paths: tuple[str, ...]
    """One, or those of the group."""
    benefit: Caused
    """Of the judged change."""
    delivery: Caused
    """Of the delivery with jackets."""


@dataclass(frozen=True, kw_only=True)
class VarianceShares:
    """Indices of every uncertain input of a case."""

    single: tuple[InputShares, ...]
    """Those with a total index of their own; those that do most first."""
    grouped: tuple[InputShares, ...]
    """The first order of the others."""
    together: InputShares | None
    """The others as one group; None where there are none."""
    samples: int
    """Pairs that first order comes from [-]."""
    redrawn: int
    """Pairs that each group was drawn anew for [-]."""
    solutions: int
    """Machines solved at most, those of the ranking among them: alike ones are solved once [-]."""
    seed: int
    failed: int
    """Pairs without a solution, which count as if nothing had changed [-]."""
    resting: int
    """Pairs of which a machine stalls or delivers nothing; their change is 1, -1 or 0 [-]."""


def share_variance(
    ranking: Ranking,
    *,
    samples: int = SAMPLES,
    seed: int = 1,
    totals: int = TOTALS,
    tally: Tally | None = None,
    threads: int | None = None,
) -> VarianceShares:
    """Return first-order and total indices of delivery and benefit.

    Parameters
    ----------
    ranking : the case's inputs, each alone from end to end
    samples : pairs of machines for first order, a power of two from 128
    seed : the same seed gives the same bytes, whatever the number of threads
    totals : inputs at most that get a total index of their own
    tally : counts machines
    threads : machines solved at once; as many as there are cores when None

    Raises
    ------
    RangeError
        The number of samples cannot be drawn.
    ConvergenceError
        Too many machines did not settle.
    """
    check_samples(samples)
    tally = tally or Tally(None, 0.0)
    inputs = tuple(effect.input for effect in ranking.effects)
    design = SampleDesign(
        inputs=len(inputs), per_replicate=samples // REPLICATES, replicates=REPLICATES, seed=seed
    )
    redrawn = samples // REDRAWN
    points = paired_points(design, redrawn // REPLICATES, range(len(inputs)))
    base = _solve(ranking, inputs, points.base, tally, threads)
    outputs = {
        "benefit": _Output(
            inputs, points, base, lambda p: p.gain,
            [e.gain and (e.gain[0] - ranking.nominal, e.gain[1] - ranking.nominal)
             for e in ranking.effects],
        ),
        "delivery": _Output(
            inputs, points, base, lambda p: p.with_jackets[DELIVERY],
            [e.delivery and (ranking.delivery * e.delivery[0], ranking.delivery * e.delivery[1])
             for e in ranking.effects],
        ),
    }  # fmt: skip
    chosen, rest = _choose([o.weights() for o in outputs.values()], totals)
    groups = [(i,) for i in chosen] + ([rest] if rest else [])
    tally.expect(MACHINES * redrawn * len(groups))
    mixed = np.stack([points.redrawn(group) for group in groups], axis=1)
    again = _solve(ranking, inputs, mixed, tally, threads)
    found = {name: (o.first, o.total(groups, again)) for name, o in outputs.items()}

    def shares(paths: tuple[str, ...], one: int | None, group: int | None) -> InputShares:
        return InputShares(
            paths=paths,
            **{name: Caused(first=None if one is None else first[one],
                            total=None if group is None else total[group])
               for name, (first, total) in found.items()},
        )  # fmt: skip

    every = [*base.ravel(), *again.ravel()]
    solved = [p for p in every if p is not None]
    names = [one.path for one in inputs]
    return VarianceShares(
        single=tuple(shares((names[i],), i, g) for g, i in enumerate(chosen)),
        grouped=tuple(shares((names[i],), i, None) for i in rest),
        together=shares(tuple(names[i] for i in rest), None, len(chosen)) if rest else None,
        samples=samples, redrawn=redrawn, seed=seed,
        solutions=MACHINES * (1 + 2 * len(inputs) + len(every)),
        failed=len(every) - len(solved), resting=sum(p.rests for p in solved),
    )  # fmt: skip


def machines_of(inputs: int, samples: int, totals: int) -> int:
    """Return how many machines are solved at most, those of the ranking apart [-]."""
    return MACHINES * (samples + samples // REDRAWN * min(totals + 1, inputs))


def _solve(
    ranking: Ranking, inputs: Sequence[UncertainInput], points: Array, tally: Tally,
    threads: int | None,
) -> Pairs:  # fmt: skip
    """Return the pairs at points, of the points' shape."""
    values = draw(inputs, points.reshape(-1, len(inputs)))
    pairs = solve_pairs(ranking.case, inputs, values,
                        progress=tally.part(MACHINES * len(values)), threads=threads)  # fmt: skip
    check_failed(pairs)
    found = np.empty(len(pairs), dtype=object)
    found[:] = pairs
    return found.reshape(points.shape[:-1])


def _choose(weights: Sequence[Array], most: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return the inputs that are drawn anew alone, those that do most first, and the others.

    Parameters
    ----------
    weights : for each output the inputs' weights, whose sum is 1 or nought [-]
    most : inputs at most
    """
    greatest = np.max(weights, axis=0)
    order = [int(i) for i in np.argsort(-greatest, kind="stable")]
    explained = np.cumsum(np.stack(weights)[:, order], axis=1).min(axis=0)
    needed = 1 + int(np.sum(explained < EXPLAINED * (1.0 - 1e-12)))
    chosen = order[: min(most, needed)]
    return tuple(chosen), tuple(i for i in order if i not in chosen)


class _Output:
    """One output: its values at the points, and what each input is known to do to it alone."""

    def __init__(
        self, inputs: Sequence[UncertainInput], points: PairedPoints, base: Pairs,
        read: Callable[[Pair], float], ends: Sequence[tuple[float, float] | None],
    ) -> None:  # fmt: skip
        self.inputs, self.points, self.base, self.read = inputs, points, base, read
        flat = filled([np.nan if p is None else read(p) for p in base.ravel()])
        self.values = flat.reshape(base.shape)
        self.alone = [
            OneWay(low=one.ends[0], nominal=one.nominal, high=one.ends[1],
                   at_low=at[0], at_high=at[1]) if at else None
            for one, at in zip(inputs, ends, strict=True)
        ]  # fmt: skip
        self.variances = np.array(
            [curve.variance(one.distribution) if curve else 0.0
             for one, curve in zip(inputs, self.alone, strict=True)]
        )  # fmt: skip
        self.varies = bool(np.ptp(self.values) > 0.0)
        self.known = KnownEffects(
            base=self._at(points.base), other=self._at(points.other), variance=self.variances
        )
        self.first: list[Estimate | None] = [None] * len(inputs)
        if self.varies:
            found = first_order_from_samples(points.base, self.values, known=self.known)
            self.first = _estimates(found.first, found.sampling_error)

    def _at(self, points: Array) -> Array:
        """Return what each input is known to do alone, in the shape of the points."""
        found = np.zeros_like(points)
        for i, (one, curve) in enumerate(zip(self.inputs, self.alone, strict=True)):
            if curve:
                found[..., i] = curve(one.distribution.ppf(points[..., i]))
        return found

    def weights(self) -> Array:
        """Return what speaks for a total index of its own: effect alone, or first order [-]."""
        whole = self.variances.sum()
        alone = self.variances / whole if whole > 0.0 else self.variances
        told = [one.value if one is not None and one.told else 0.0 for one in self.first]
        weights: Array = np.maximum(alone, told)
        return weights / max(float(weights.sum()), 1e-300)

    def total(self, groups: Sequence[Sequence[int]], again: Pairs) -> list[Estimate | None]:
        """Return the total index of each group, from pairs solved with it drawn anew."""
        if not self.varies:
            return [None] * len(groups)
        count = again.shape[-1]
        before, kept = self.base[:, None, :count], self.values[:, None, :count]
        redrawn = np.array(
            [v if old is None or new is None else self.read(new)
             for old, new, v in np.broadcast(before, again, kept)]
        ).reshape(again.shape)  # fmt: skip
        found = group_totals(self.values, redrawn, groups, self.known)
        return _estimates(found.total, found.sampling_error)


def _estimates(values: Array, errors: Array) -> list[Estimate | None]:
    return [
        Estimate(value=float(v), sampling_error=float(e), replicates=REPLICATES)
        for v, e in zip(values, errors, strict=True)
    ]
