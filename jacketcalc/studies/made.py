"""Values that can be made for an entry that a study or a search varies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jacketcalc.inputs import Case, Jacket
from jacketcalc.makeable import SAME, SIZES, Unmade, is_cut, list_unmade

_BORES = ("tube.bore", "exhaust.port_1.tube.bore", "exhaust.port_2.tube.bore")


def made_values(
    case: Case, path: str, values: Sequence[float], ends: Sequence[float] = ()
) -> list[float]:
    """Return what can be made of some values: the nearest, or all that there are between them.

    Parameters
    ----------
    case : the case, whose `make` says what can be made
    path : dotted path of the entry, such as `jacket.pitch`
    values : values in SI, rising or falling
    ends : ends of the range that they lie in, in SI; the outermost of them when empty

    Returns
    -------
    Values in SI, in the order of those given; the same where anything can be made.
    """
    choices = list_choices(case, path)
    low, high, falls = min(*values, *ends), max(*values, *ends), values[0] > values[-1]
    if choices is not None:
        inside = [c for c in choices if low - SAME <= c <= high + SAME]
        return inside[::-1] if falls else inside
    step = case.make.step
    if step <= 0.0 or not is_size(path):
        return list(values)
    near = dict.fromkeys(round(value / step) for value in values)
    return [n * step for n in near if low - SAME <= n * step <= high + SAME]


def is_size(path: str) -> bool:
    """Return whether a path names a size of a jacket that is made in steps."""
    return "jacket" in path.split(".") and path.rpartition(".")[2] in SIZES


def list_choices(case: Case, path: str) -> tuple[float, ...] | None:
    """Return the only values that an entry can have, rising; None where steps alone bind it.

    Those of a pitch keep every rib as the case has it.
    """
    make = case.make
    if path in _BORES and make.tube_bores:
        return make.tube_bores
    if not path.endswith("jacket.pitch"):
        return None
    cut = [jacket for jacket in _jackets(case, path) if is_cut(jacket, make)]
    if not cut:
        return None
    first, *others = ([w + jacket.rib for w in make.cutter_widths] for jacket in cut)
    return tuple(p for p in first if all(any(abs(p - q) <= SAME for q in own) for own in others))


def _jackets(case: Case, path: str) -> Iterator[Jacket]:
    """Yield the jackets that a path such as `jacket.pitch` stands for."""
    for stage in case.machine.stages:
        key = path.rpartition(".")[2]
        if stage.jacket is not None and _meets(f"stage.{stage.name}.jacket.{key}", path):
            yield stage.jacket


def unmade_by(case: Case, paths: Sequence[str]) -> tuple[Unmade, ...]:
    """Return what cannot be made of a case, as far as the entries varied have a say in it."""
    return tuple(
        one for one in list_unmade(case)
        if any(_meets(own, path) for own in one.paths for path in paths)
    )  # fmt: skip


def _meets(own: str, path: str) -> bool:
    """Return whether a path, which may stand for several entries, names an entry."""
    return own == path or own.endswith(f".{path}")
