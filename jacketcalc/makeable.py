"""Whether a jacket and its tubes can be made: steps, ribs, turns, cutters, tubes on the shelf."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from jacketcalc.geometry import axial_width, helix_lead, helix_turns
from jacketcalc.inputs import Case, Jacket, Make
from jacketcalc.unit_display import System, format_quantity

SAME = 1e-6
"""Difference of two sizes that no shop tells apart [m]."""
SIZES = ("gap", "pitch", "rib", "length")
"""Sizes of a jacket that are made in steps."""


@dataclass(frozen=True, kw_only=True)
class Unmade:
    """One thing that cannot be made as it stands."""

    paths: tuple[str, ...]
    """Entries of the case of which another value would mend it."""
    words: str
    """What is wrong, such as `rib 2.2 mm is not in steps of 0.5 mm`."""


def in_steps(size: float, step: float) -> bool:
    """Return whether a size is a multiple of a step, or no step is stated."""
    return step <= 0.0 or abs(size - round(size / step) * step) <= SAME


def is_one_of(size: float, sizes: tuple[float, ...]) -> bool:
    """Return whether a size is among some, or none are stated."""
    return not sizes or any(abs(size - one) <= SAME for one in sizes)


def is_cut(jacket: Jacket, make: Make) -> bool:
    """Return whether a cutter makes the channel: beside a rib that is one piece with a wall."""
    return bool(make.cutter_widths) and jacket.rib_joint != "loose"


def list_unmade(case: Case) -> tuple[Unmade, ...]:
    """Return what of a case's jackets and tubes cannot be made as drawn, in its units."""
    return tuple(_list(case, case.document.units))


def _list(case: Case, system: System) -> Iterator[Unmade]:
    machine, make = case.machine, case.make
    for stage in machine.stages:
        if stage.jacket is not None:
            yield from _jacket(stage.jacket, make, f"stage.{stage.name}.jacket", system)
    for name, exhaust in (("port_1", machine.exhaust_1), ("port_2", machine.exhaust_2)):
        if exhaust.tube is not None and not is_one_of(exhaust.tube.bore, make.tube_bores):
            shelf = _listed(make.tube_bores, system)
            bore = _length(exhaust.tube.bore, system)
            yield Unmade(paths=(f"exhaust.{name}.tube.bore",),
                         words=f"tube {bore} is not on the shelf ({shelf})")  # fmt: skip


def _jacket(jacket: Jacket, make: Make, path: str, system: System) -> Iterator[Unmade]:
    cut = is_cut(jacket, make)
    for key in SIZES:
        # A cutter's width makes the pitch, whatever the step.
        if key == "pitch" and cut:
            continue
        size = getattr(jacket, key)
        if not in_steps(size, make.step):
            step = _length(make.step, system)
            words = f"{key} {_length(size, system)} is not in steps of {step}"
            yield Unmade(paths=(f"{path}.{key}",), words=words)
    if jacket.rib < make.smallest_rib - SAME:
        least = _length(make.smallest_rib, system)
        words = f"rib {_length(jacket.rib, system)} is thinner than {least}"
        yield Unmade(paths=(f"{path}.rib",), words=words)
    width = axial_width(jacket.pitch, jacket.rib)
    if cut and not is_one_of(width, make.cutter_widths):
        cutters = _listed(make.cutter_widths, system)
        yield Unmade(paths=(f"{path}.pitch", f"{path}.rib"),
                     words=f"no cutter is {_length(width, system)} wide ({cutters})")  # fmt: skip
    turns = helix_turns(jacket.length, helix_lead(jacket.pitch, jacket.starts))
    if turns < make.least_turns * (1.0 - 1e-9):
        yield Unmade(
            paths=tuple(f"{path}.{key}" for key in ("pitch", "starts", "length")),
            words=f"{turns:.3g} turns are fewer than {make.least_turns:g}",
        )


def _length(size: float, system: System) -> str:
    return format_quantity(size, "length", system, 4)


def _listed(sizes: tuple[float, ...], system: System) -> str:
    return ", ".join(_length(size, system) for size in sizes)


def say_unmade(found: tuple[Unmade, ...]) -> str:
    """Say what cannot be made, place by place; empty where all can."""
    places: dict[str, list[str]] = {}
    for one in found:
        place = one.paths[0].rpartition(".")[0].removesuffix(".jacket").removesuffix(".tube")
        places.setdefault(place.removeprefix("exhaust."), []).append(one.words)
    return "; ".join(f"{place}: {', '.join(words)}" for place, words in places.items())
