"""The passage's conductance at which the jackets neither gain nor lose flow, found by solving."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

CLOSE = 2e-4
"""Change of the delivery at which a machine is said to break even [-]."""
MOST = 8
"""Machines that a search may solve [-]."""
WIDER = 2.0
"""Step of the factor where no passage solved so far is wide enough [-]."""
WIDEST = 2
"""Such steps taken [-]."""
ABOUT = 2
"""Machines that a search solves as a rule, for progress [-]."""


@dataclass(frozen=True, kw_only=True)
class ScaledPassage:
    """A solved machine whose passages let through more or less than drawn."""

    factor: float
    """Conductance of the passages over that drawn [-]."""
    ratio: float
    """Smallest sonic conductance of a passage over the control valve's [-]."""
    change: float
    """Relative change of the delivery against the machine without jackets [-]."""


SolveScaled = Callable[[float], ScaledPassage | None]
"""Solves the machine at a factor; None where it does not settle."""


@dataclass(frozen=True, kw_only=True)
class BreakEven:
    """Where a machine breaks even, or why none does."""

    point: ScaledPassage | None
    words: str
    """Why there is none, or empty."""
    points: tuple[ScaledPassage, ...]
    """Every machine solved, narrowest passage first."""
    solved: int
    """Machines solved on the way [-]."""


def find_break_even(
    points: Sequence[ScaledPassage], solve: SolveScaled, *, gains_wide_open: bool
) -> BreakEven:
    """Find the conductance at which the change of flow is nil.

    Regula falsi with the Illinois rule, straight in 1/factor²: resistances in series add up as
    squares of 1/C.

    Parameters
    ----------
    points : machines solved before, at least one
    solve : solves one more
    gains_wide_open : whether the machine gains without any resistance of its passages
    """
    found = sorted(points, key=lambda p: p.factor)
    given, failed = len(found), False
    for _ in range(WIDEST):
        if gains_wide_open and found[-1].change < 0.0 and not failed:
            wider = solve(WIDER * found[-1].factor)
            failed = wider is None
            found += [wider] if wider else []
    bracket = next(((a, b) for a, b in pairwise(found) if a.change < 0.0 <= b.change), None)
    if bracket is None:
        return BreakEven(
            point=None, words=_without(found), points=tuple(found), solved=len(found) - given
        )
    tried = _narrow(*bracket, solve)
    found = sorted([*found, *tried], key=lambda p: p.factor)
    best = min(found, key=lambda p: abs(p.change))
    close = abs(best.change) <= CLOSE
    low, high = (p.ratio for p in bracket)
    return BreakEven(
        point=best if close else None,
        words="" if close else f"between {low:.3g} and {high:.3g} the search did not settle",
        points=tuple(found),
        solved=len(found) - given,
    )


def _narrow(low: ScaledPassage, high: ScaledPassage, solve: SolveScaled) -> list[ScaledPassage]:
    """Solve machines between a loss and a gain until one changes by next to nothing."""
    if min(abs(low.change), abs(high.change)) <= CLOSE:
        return []
    tried: list[ScaledPassage] = []
    (a, ya), (b, yb) = ((p.factor**-2, p.change) for p in (low, high))
    while len(tried) < MOST:
        at = b + (a - b) * yb / (yb - ya)
        new = solve(float(at**-0.5))
        if new is None:
            break
        tried.append(new)
        if abs(new.change) <= CLOSE:
            break
        # An end that stays twice pulls too hard on the line: its weight is halved.
        twice = len(tried) > 1 and (tried[-2].change < 0.0) == (new.change < 0.0)
        if new.change < 0.0:
            (a, ya), yb = (at, new.change), yb / 2 if twice else yb
        else:
            (b, yb), ya = (at, new.change), ya / 2 if twice else ya
    return tried


def _without(found: Sequence[ScaledPassage]) -> str:
    if found[0].change >= 0.0:
        return f"the jackets gain down to a ratio of {found[0].ratio:.2g}"
    return f"the jackets lose up to a ratio of {found[-1].ratio:.2g}"
