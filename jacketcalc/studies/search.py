"""Finding the best of many designs, a whole population at once."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

SEED = 20_240_601
"""Seed of every search, so that it finds the same again [-]."""
STEPS = 400
"""Steps into which a range is divided: finer differences are not made, and cost solves [-]."""
STRIDES = (5, 2, 1)
"""Steps of a size that a search for something better nearby takes to each side [-]."""
MOST_ROUNDS = 20
"""Rounds of such a search [-]."""
ROUNDING = 1e-6
"""Share of a step by which an end of a range may miss it [-]."""
AGREED = 1e-3
"""Spread of a population's scores, over their mean, at which a search ends [-]."""

Evaluate = Callable[[Sequence[tuple[float, ...]]], Sequence[float]]


@dataclass(frozen=True, kw_only=True)
class SizeRange:
    """Bounds of one variable."""

    low: float
    """Lowest value, in any unit [-]."""
    high: float
    """Highest value [-]."""
    whole: bool = False
    """Whether it counts something."""
    made: float = 0.0
    """Step in which it can be made; 0 where any value can [-]."""
    choices: tuple[float, ...] = ()
    """The only values it can have, rising; empty where steps alone bind it [-]."""

    @property
    def step(self) -> float:
        """Step between values that are told apart: made, or 1, 2 or 5 times a power of ten [-]."""
        if self.whole or self.high <= self.low:
            return 1.0
        if self.made > 0.0:
            return self.made
        raw = (self.high - self.low) / STEPS
        power = 10.0 ** math.floor(math.log10(raw))
        return power * max(m for m in (1.0, 2.0, 5.0) if m * power <= raw * (1.0 + 1e-9))

    def settle(self, value: float) -> float:
        """Return the nearest value that is told apart, inside the bounds."""
        if self.choices:
            return min(self.choices, key=lambda choice: abs(choice - value))
        if self.made <= 0.0 or self.whole:
            inside = round(value / self.step) * self.step
            return float(f"{min(max(inside, self.low), self.high):.9g}")
        first = math.ceil(self.low / self.made - ROUNDING)
        last = math.floor(self.high / self.made + ROUNDING)
        if self.high <= self.low or first > last:
            return self.low
        return float(f"{min(max(round(value / self.made), first), last) * self.made:.9g}")

    def move(self, value: float, steps: int) -> float:
        """Return the value some steps, or choices, away, inside the bounds."""
        if not self.choices:
            return self.settle(value + steps * self.step)
        place = self.choices.index(self.settle(value)) + steps
        return self.choices[min(max(place, 0), len(self.choices) - 1)]

    def spread(self, count: int) -> list[float]:
        """Return so many values evenly over the range, as they can be made, each once."""
        if self.choices:
            return list(self.choices)
        if self.whole:
            return [float(n) for n in range(round(self.low), round(self.high) + 1)]
        reach = (self.high - self.low) / max(1, count - 1)
        return list(dict.fromkeys(self.settle(self.low + reach * i) for i in range(count)))


def search(
    evaluate: Evaluate,
    ranges: Sequence[SizeRange],
    *,
    population: int,
    generations: int,
    report: Callable[[int], None] | None = None,
) -> tuple[float, ...]:
    """Return the point with the lowest score that differential evolution finds.

    Parameters
    ----------
    evaluate : scores of new points, finite; each point is asked for once
    ranges : bounds of the variables
    population : points of a generation, 5 at least
    generations : generations after the first
    report : called with the generations that are left at most
    """
    # Here, for it takes a quarter of a second to load, and sizes are asked for without it.
    from scipy.optimize import Bounds, differential_evolution

    known: dict[tuple[float, ...], float] = {}
    calls = 0

    def scores(x: NDArray[np.float64]) -> NDArray[np.float64]:
        nonlocal calls
        points = [_settle(column, ranges) for column in np.atleast_2d(x.T)]
        new = [point for point in dict.fromkeys(points) if point not in known]
        known.update(zip(new, evaluate(new) if new else (), strict=True))
        calls += 1
        if report is not None:
            report(max(0, generations + 1 - calls))
        return np.array([known[point] for point in points])

    low, high = ([getattr(r, end) for r in ranges] for end in ("low", "high"))
    differential_evolution(
        scores,  # type: ignore[arg-type]  # the types know no vectorized functions
        Bounds(low, high),
        integrality=[r.whole for r in ranges],
        init=_start(ranges, max(5, population)),
        maxiter=generations,
        tol=AGREED,
        polish=False,
        vectorized=True,
        updating="deferred",
        seed=np.random.default_rng(SEED),
    )
    return min(known, key=lambda point: (known[point], point))


def polish(
    evaluate: Evaluate,
    best: tuple[float, ...],
    ranges: Sequence[SizeRange],
    others: Sequence[tuple[float, ...]] = (),
    rounds: int = MOST_ROUNDS,
) -> tuple[float, ...]:
    """Go from a point to the best beside it until none beside it is better.

    Parameters
    ----------
    evaluate : scores of points, finite; points are asked for again
    best : where to begin, in the unit of each range
    ranges : bounds and steps of the variables
    others : points that may be better, in the unit of each range
    rounds : rounds at most [-]
    """
    candidates = [best, *others]
    for _ in range(rounds):
        points = list(dict.fromkeys([*candidates, *beside(best, ranges)]))
        scores = dict(zip(points, evaluate(points), strict=True))
        found = min(points, key=lambda point: (scores[point], point))
        if found == best:
            break
        best, candidates = found, [found]
    return best


def descend(
    evaluate: Evaluate,
    best: tuple[float, ...],
    ranges: Sequence[SizeRange],
    *,
    rounds: int,
    strides: Sequence[int] = STRIDES,
) -> tuple[float, ...]:
    """Go from a point to better ones on several axes at once, until none beside it is better.

    In each round the best step on every axis is found; then all steps that help are taken
    together, and the better half of them.

    Parameters
    ----------
    evaluate : scores of points, finite; points are asked for again
    best : where to begin, in the unit of each range
    ranges : bounds and steps of the variables
    rounds : rounds at most [-]
    strides : steps to each side that are tried [-]
    """
    for _ in range(rounds):
        near = beside(best, ranges, strides)
        here, *scores = evaluate([best, *near])
        helping: dict[int, tuple[float, float]] = {}
        for point, score in zip(near, scores, strict=True):
            axis = next(i for i, (a, b) in enumerate(zip(point, best, strict=True)) if a != b)
            if score < min(here, helping.get(axis, (math.inf, 0.0))[0]):
                helping[axis] = (score, point[axis])
        order = sorted(helping, key=lambda axis: helping[axis])
        together = [_moved(best, helping, order[:count])
                    for count in (len(order), math.ceil(len(order) / 2))]  # fmt: skip
        points = list(dict.fromkeys([best, *near, *together]))
        known = dict(zip(points, evaluate(points), strict=True))
        found = min(points, key=lambda point: (known[point], point))
        if known[found] >= known[best]:
            break
        best = found
    return best


def _moved(
    point: tuple[float, ...], moves: Mapping[int, tuple[float, float]], axes: Sequence[int]
) -> tuple[float, ...]:
    return tuple(moves[i][1] if i in axes else value for i, value in enumerate(point))


def beside(
    point: tuple[float, ...], ranges: Sequence[SizeRange], strides: Sequence[int] = STRIDES
) -> list[tuple[float, ...]]:
    """Return the points some steps away on one axis, in order of the axes."""
    found = []
    for axis, r in enumerate(ranges):
        if r.high <= r.low:
            continue
        for move in (m * sign for m in strides for sign in (-1, 1)):
            value = r.move(point[axis], move)
            if value != point[axis]:
                found.append((*point[:axis], value, *point[axis + 1 :]))
    return found


def rounding_loss(before: float | None, best: float, after: float | None) -> float:
    """Return what a size between the steps could gain at most, from the best and its neighbours.

    The top of the parabola through three values; where a neighbour cannot be, a limit lies
    between, and the slope goes on for up to a step. In the unit of the values, which fall with
    distance from the best.
    """
    if before is not None and after is not None:
        bend = 2.0 * best - before - after
        return (after - before) ** 2 / (8.0 * bend) if bend > 0.0 else 0.0
    known = before if before is not None else after
    return 0.0 if known is None else max(0.0, best - known)


def _settle(column: NDArray[np.float64], ranges: Sequence[SizeRange]) -> tuple[float, ...]:
    return tuple(r.settle(float(v)) for r, v in zip(ranges, column, strict=True))


def _start(ranges: Sequence[SizeRange], population: int) -> NDArray[np.float64]:
    """Spread the first generation evenly, in any order (a Latin hypercube)."""
    rng = np.random.default_rng(SEED)
    share = np.stack([(rng.permutation(population) + 0.5) / population for _ in ranges], axis=1)
    low, high = (np.array([getattr(r, end) for r in ranges]) for end in ("low", "high"))
    return np.asarray(low + share * (high - low))


def non_dominated(first: Sequence[float], second: Sequence[float]) -> list[int]:
    """Return which points no other beats in both: more of the first and less of the second.

    They come in falling order of the first.
    """
    order = sorted(range(len(first)), key=lambda i: (-first[i], second[i]))
    found: list[int] = []
    least = math.inf
    for i in order:
        if second[i] < least:
            found.append(i)
            least = second[i]
    return found


def level_range(
    x: Sequence[float], y: Sequence[float | None], loss: float, sign: float
) -> tuple[float, float]:
    """Return the range round the best in which a curve stays within a loss of it.

    Parameters
    ----------
    x : rising places, in the unit of the axis
    y : values, in the unit of what is compared, None where there is none
    loss : loss allowed, in the unit of `y`
    sign : 1 where more is better, -1 where less is [-]
    """
    known = [(a, sign * b) for a, b in zip(x, y, strict=True) if b is not None]
    top = max(range(len(known)), key=lambda i: known[i][1])
    floor = known[top][1] - loss

    def walk(move: int) -> float:
        here = top
        while 0 <= here + move < len(known):
            (x0, y0), (x1, y1) = known[here], known[here + move]
            if y1 < floor:
                return x0 + (x1 - x0) * (y0 - floor) / (y0 - y1)
            here += move
        return known[here][0]

    return walk(-1), walk(1)
