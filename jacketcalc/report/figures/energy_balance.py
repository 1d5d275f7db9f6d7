"""The energy balance as streams: what flows into the machine on the left, out on the right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure

from jacketcalc.core.outcome import Outcome
from jacketcalc.report.figures.number_labels import Shown, number
from jacketcalc.report.figures.sheet import Sheet, SheetPoint
from jacketcalc.report.figures.style import (
    BLUE_PALE,
    FULL,
    GREY_WORDS,
    NARROW,
    WIDE,
    plain,
    styled,
)

TRUNK = 52.0
"""Height of all streams together [mm]."""
LEFT, RIGHT = 54.0, 126.0
"""Where streams begin and end [mm]."""
MIDDLE = (78.0, 102.0)
"""The machine, in the middle [mm]."""
SLOT = 4.6
"""Least distance between the names of streams [mm]."""
SMALL_SHARE = 0.008
"""Streams below this share of all are drawn as one [-]."""
_LINE = 12
"""Letters that fit beside a verb inside the machine [-]."""
_FILLS = (("exhaust", BLUE_PALE), ("tubes", BLUE_PALE), ("shells", BLUE_PALE),
          ("supply", "#E3E3E3"), ("", "#F6D9C4"))  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Stream:
    """One flow of the energy balance as printed."""

    name: str
    watts: float
    """Size, always positive [W]."""
    printed: str
    """As written beside it."""


def split_energy_balance(outcome: Outcome, shown: Shown) -> tuple[list[Stream], list[Stream], str]:
    """Return streams in, streams out, and their common total, which close as printed."""
    into = {k: v for k, v in outcome.energy_balance.items() if v > 0}
    out = {k: -v for k, v in outcome.energy_balance.items() if v < 0}
    total = max(sum(into.values()), sum(out.values()), 1e-9)
    decimals = 0 if shown.value(total, "power") >= 2000 else 1
    goal = round(shown.value(total, "power"), decimals)
    return (
        _print_side(_join_small(into, total), goal, decimals, shown),
        _print_side(_join_small(out, total), goal, decimals, shown),
        f"{number(goal, decimals)} {shown.unit('power')}",
    )


def _join_small(flows: dict[str, float], total: float) -> dict[str, float]:
    small = [k for k, v in flows.items() if v < SMALL_SHARE * total]
    kept = {k: v for k, v in flows.items() if k not in small}
    if len(small) == 1:
        return kept | {small[0]: flows[small[0]]}
    if small:
        kept[f"{len(small)} smaller flows"] = sum(flows[k] for k in small)
    return kept


def _print_side(flows: dict[str, float], goal: float, decimals: int, shown: Shown) -> list[Stream]:
    """Round so that the printed numbers add up to the printed total (largest remainders)."""
    unit = 10.0**-decimals
    exact = np.array([shown.value(v, "power") for v in flows.values()]) / unit
    steps = np.floor(exact)
    missing = round(float(goal / unit - steps.sum()))
    order = np.argsort(-(exact - steps), kind="stable")
    for i in order[: max(missing, 0)]:
        steps[i] += 1.0
    return [
        Stream(name=name, watts=watts, printed=number(float(step) * unit, decimals))
        for (name, watts), step in zip(flows.items(), steps, strict=True)
    ]


def draw_energy_balance(outcome: Outcome, shown: Shown) -> Figure:
    """Draw the energy balance of one machine."""
    with styled():
        into, out, total = split_energy_balance(outcome, shown)
        scale = TRUNK / max(sum(s.watts for s in into), 1e-9)
        need = max(_height(into, scale), _height(out, scale))
        sheet = Sheet(FULL, need + 13.0)
        middle = need / 2 + 2.5
        top = middle + TRUNK / 2
        sheet.box(MIDDLE[0], middle - TRUNK / 2, MIDDLE[1], top, fill="white", width=WIDE)
        lines = ["the whole", "machine", f"{total} in", f"{total} out"]
        lines += _jackets(outcome, shown)
        for i, words in enumerate(lines):
            gap = 3.0 if i >= 4 else 0.0
            sheet.text(sum(MIDDLE) / 2, top - 5.0 - 4.2 * i - gap, words, ha="center")
        unit = shown.unit("power")
        for side, streams in ((-1.0, into), (1.0, out)):
            _side(sheet, streams, scale, side, middle, unit)
        y = sheet.height - 3.5
        sheet.text(MIDDLE[0], y, "into the machine", ha="right", color=GREY_WORDS)
        sheet.text(MIDDLE[1], y, "out of the machine", ha="left", color=GREY_WORDS)
        return sheet.figure


def _height(streams: Sequence[Stream], scale: float) -> float:
    return sum(max(s.watts * scale + 1.4, SLOT) for s in streams)


def _side(
    sheet: Sheet,
    streams: Sequence[Stream],
    scale: float,
    side: float,
    middle: float,
    unit: str,
) -> None:
    order = sorted(streams, key=lambda s: -s.watts)
    inner = middle + TRUNK / 2
    outer = middle + _height(order, scale) / 2
    near, far = (MIDDLE[0], LEFT) if side < 0 else (MIDDLE[1], RIGHT)
    for stream in order:
        tall = stream.watts * scale
        slot = max(tall + 1.4, SLOT)
        centre = outer - slot / 2
        path = _band(near, far, (inner, inner - tall), (centre + tall / 2, centre - tall / 2))
        fill = next(f for key, f in _FILLS if key in stream.name)
        sheet.area(path, fill=fill, width=NARROW, order=1.5)
        size, name = f"{stream.printed} {unit}", plain(stream.name)
        words = f"{name}  {size}" if side < 0 else f"{size}  {name}"
        x = far - 1.5 if side < 0 else far + 3.6
        sheet.text(x, centre, words, ha="right" if side < 0 else "left")
        inner -= tall
        outer -= slot


def _band(
    near: float, far: float, inner: tuple[float, float], outer: tuple[float, float]
) -> list[SheetPoint]:
    """Outline a stream: a notch where it comes in (left), a point where it leaves (right)."""
    share = np.linspace(0.0, 1.0, 25)
    ease = share**2 * (3.0 - 2.0 * share)
    x = near + (far - near) * share
    upper = inner[0] + (outer[0] - inner[0]) * ease
    lower = inner[1] + (outer[1] - inner[1]) * ease
    there = [(float(a), float(b)) for a, b in zip(x, upper, strict=True)]
    back = [(float(a), float(b)) for a, b in zip(x[::-1], lower[::-1], strict=True)]
    tall = outer[0] - outer[1]
    return [*there, (far + min(2.4, 0.5 * tall + 0.4), sum(outer) / 2), *back]


def _jackets(outcome: Outcome, shown: Shown) -> list[str]:
    """Return, in short lines, the heat that jackets take from barrels inside the machine."""
    heats = [s.jacket.heat for s in outcome.stages if s.jacket is not None]
    if not heats:
        return []
    parts = " and ".join(number(shown.value(h, "power"), 0) for h in heats)
    unit = shown.unit("power")
    if len(parts) + len(unit) <= _LINE:
        return ["inside, jackets", f"take {parts} {unit}", "from barrels"]
    return ["inside, jackets", f"take {parts}", f"{unit} from barrels"]


def describe_energy_balance(outcome: Outcome, shown: Shown) -> str:
    """Say in words what flows in and out."""
    into, out, total = split_energy_balance(outcome, shown)
    unit = shown.unit("power")

    def side(streams: Sequence[Stream]) -> str:
        return ", ".join(f"{s.name} {s.printed} {unit}" for s in streams)

    words = "Enthalpies count from air at ambient temperature and pressure. "
    words += f"Into the machine: {side(into)}; together {total}. Out of it: {side(out)}; the same."
    jackets = _jackets(outcome, shown)
    return words + (f" I{' '.join(jackets)[1:]}." if jackets else "")
