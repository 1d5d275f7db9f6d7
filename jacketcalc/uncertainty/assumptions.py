"""The assumptions of a case that could flip its answer, for a case that is made of them.

Each assumed number goes alone to both ends of what is plausible for its kind, in coarse steps. The
laws are not among them: the model range holds those.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.assessment.assumption import Assumption
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.summary import is_made_of_assumptions
from jacketcalc.core.resolution import COARSE
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress, Tally
from jacketcalc.uncertainty.paired_samples import Pair, solve_pairs
from jacketcalc.uncertainty.spans import is_stated
from jacketcalc.uncertainty.uncertain import UncertainInput, list_uncertain

NAMED = 5
"""Assumptions that are told [-]."""
BOTH_ENDS = 12
"""Assumptions, by what their low ends do, whose high ends are solved too [-]."""
_LAWS = ("models", "ambient.film_factor")
_CHOSEN = ("gap", "pitch", "rib", "length", "offset", "outlet_bore", "shell_thickness")
"""Sizes of a jacket: choices of a designer, no assumptions on a machine."""
_SLIGHT = ("roughness", "port_bore", "wall_thickness", "head_thickness", "wall",
           "pressure_dew_point")  # fmt: skip
"""Keys that seldom move an answer much, and are not asked here; `jacketcalc rank` asks all."""


def with_assumptions(
    found: Assessment, *, progress: Progress | None = None, threads: int | None = None
) -> Assessment:
    """Return an assessment with the assumptions that move its answer most; those that flip first.

    Nothing is solved for a case that is not made of assumptions, or where a machine rests.

    Parameters
    ----------
    found : what `assess` found
    progress : called with the share done, 0 to 1
    threads : machines solved at once; as many as there are cores when None
    """
    if not found.delivers or not is_made_of_assumptions(found.case):
        return found
    inputs = list_assumed(found.case)
    groups = group_alike(inputs)
    tally = Tally(progress, 2 * (len(groups) + 1) + 2 * BOTH_ENDS)

    def solve(rows: Sequence[Array]) -> list[Pair | None]:
        told = tally.part(2 * len(rows))
        return solve_pairs(found.case, inputs, np.array(rows), progress=told, threads=threads,
                           resolution=COARSE)  # fmt: skip

    stated = np.array([one.nominal for one in inputs])
    base, *low = solve([stated, *(_moved(stated, inputs, own, 0) for own in groups.values())])
    if base is None:
        return found
    first = sorted(zip(groups, low, strict=True), key=lambda own: -_moves(own[1], base))
    first = first[:BOTH_ENDS]
    high = solve([_moved(stated, inputs, groups[path], 1) for path, _ in first])
    made = [
        _tell(path, inputs[groups[path][0]], base, start, end)
        for (path, start), end in zip(first, high, strict=True)
        if start is not None and end is not None
    ]
    order = sorted(made, key=lambda one: (not one.flips, -_reach(one, base)))
    return replace(found, assumptions=tuple(order[:NAMED]))


def group_alike(inputs: Sequence[UncertainInput]) -> dict[str, tuple[int, ...]]:
    """Return the places of inputs that are assumed as one, by the path that stands for them.

    Tubes of both ports with one number are one assumption: `tube.bore` names both.
    """
    found: dict[str, tuple[int, ...]] = {}
    for place, one in enumerate(inputs):
        port, inside, rest = one.path.partition(".tube.")
        both = f"tube.{rest}" if inside and port.startswith("exhaust.") else one.path
        others = found.get(both, ())
        alike = all(inputs[other].nominal == one.nominal for other in others)
        path = both if alike else one.path
        found[path] = (*found.get(path, ()), place)
    return found


def list_assumed(case: Case) -> tuple[UncertainInput, ...]:
    """Return the assumed numbers of a case that state no tolerance of their own.

    Left out are the laws, the sizes that a designer chooses, and what moves an answer least.
    """
    stated = {given.path for given in case.given if is_stated(given)}
    return tuple(
        one for one in list_uncertain(case)
        if one.assumed and one.path not in stated and not one.path.startswith(_LAWS)
        and not _is_slight(one.path)
    )  # fmt: skip


def _is_slight(path: str) -> bool:
    table, _, key = path.rpartition(".")
    return key in _SLIGHT or (table.endswith("jacket") and key in _CHOSEN)


def _moved(
    stated: Array, inputs: Sequence[UncertainInput], places: Sequence[int], end: int
) -> Array:
    """Return a row with some inputs at their low or high ends."""
    row = stated.copy()
    for place in places:
        row[place] = inputs[place].ends[end]
    return row


def _moves(pair: Pair | None, base: Pair) -> float:
    return 0.0 if pair is None else abs(pair.gain - base.gain)


def _tell(path: str, one: UncertainInput, base: Pair, low: Pair, high: Pair) -> Assumption:
    return Assumption(
        path=path, dimension=one.dimension, value=one.nominal, low=one.ends[0],
        high=one.ends[1], at_low=low.gain, at_high=high.gain,
        flips=any((end.gain > 0.0) != (base.gain > 0.0) for end in (low, high)),
    )  # fmt: skip


def _reach(one: Assumption, base: Pair) -> float:
    return max(abs(one.at_low - base.gain), abs(one.at_high - base.gain))
