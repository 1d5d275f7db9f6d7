"""Margin to frost and dew: along the exhaust of each port, and over the cycle in each stage."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.arrays import Array
from jacketcalc.assessment.water_finding import WaterFinding
from jacketcalc.findings.water_path import WaterPath, WaterPlace
from jacketcalc.report.figures.curves import BARE, JACKETED, WORDS, few_ticks, nice_limits
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.number_labels import Shown, number
from jacketcalc.report.figures.style import (
    FULL,
    GREEN,
    GREEN_WORDS,
    GREY_WORDS,
    MIDDLE,
    VERMILION,
    foot,
    head,
    new_figure,
    panel,
    shorten,
    styled,
)

HIGH, STEP = 40.0, 56.0
"""Height of a panel, and from one to the next [mm]."""
_AIR = {"color": GREY_WORDS, "lw": 0.9, "ls": (0, (4, 2))}
_BARREL = {"color": GREEN, "lw": 1.2}


def draw_water(found: WaterFinding) -> Figure:
    """Draw how far walls and air are from frost and dew, below nought where water leaves."""
    with styled():
        path, shown = found.jacketed, Shown(found.case.document.units)
        assert path is not None
        ports, stages = list_ports(path), [s.name for s in found.case.machine.stages]
        stages = [name for name in stages if stage_margin(path, name) is not None]
        rows = [row for row in (ports, stages) if row]
        count = max(map(len, rows))
        width = MIDDLE if count == 1 else FULL
        fig = new_figure(width, STEP * len(rows) + 6.0)
        each = (width - 16.0 * count - 5.0) / count
        letters, unit = iter("abcdefgh"), shown.unit("temperature difference")
        for place, port in enumerate(ports):
            left, bottom = 14.0 + place * (each + 16.0), 12.0 + STEP * (len(rows) - 1)
            ax = panel(fig, left, bottom, each, HIGH)
            head(ax, f"Margin along the exhaust of {port} / {unit}", next(letters))
            _put_port(ax, path, port, shown)
        for place, stage in enumerate(stages):
            ax = panel(fig, 14.0 + place * (each + 16.0), 12.0, each, HIGH)
            name = shorten(stage, 18)
            head(ax, f"Margin in stage {name} over the cycle / {unit}", next(letters))
            _put_stage(ax, found, stage, shown)
        return fig


def list_ports(path: WaterPath) -> list[str]:
    """Return the ports, such as `port 1`, whose exhaust meets a wall."""
    at = [p.name.removeprefix("air at the valve, ") for p in path.places
          if p.name.startswith("air at the valve, ")]  # fmt: skip
    return [port for port in at if _walls(path, port)]


def _after(path: WaterPath, port: str) -> list[WaterPlace]:
    """Return the places that the exhaust of a port passes, in order."""
    names = [p.name for p in path.places]
    first = names.index(f"air at the valve, {port}")
    found = [path.places[first]]
    for place in path.places[first + 1 :]:
        exhausts = place.part in ("exhaust air", "passage wall")
        if not exhausts or place.name.startswith("air at the "):
            break
        found.append(place)
    return found


def _walls(path: WaterPath, port: str) -> list[WaterPlace]:
    return [p for p in _after(path, port) if p.part == "passage wall"]


def exhaust_curves(path: WaterPath, port: str) -> list[tuple[str, Array, Array]]:
    """Return the margins along a port's exhaust: name, way [m], margin [K] of each curve."""
    passed = _after(path, port)
    kinds = (
        ("air", [p for p in passed if p.part == "exhaust air"]),
        ("tube and shell", [p for p in _walls(path, port) if not p.name.startswith("barrel")]),
        ("barrel", [p for p in _walls(path, port) if p.name.startswith("barrel")]),
    )
    return [(name, *_joined(places)) for name, places in kinds if places]


def _joined(places: Sequence[WaterPlace]) -> tuple[Array, Array]:
    """Return way [m] and margin [K] of places one after the other."""
    along = np.concatenate([p.along for p in places])
    return along, np.concatenate([p.margin_along for p in places])


def _put_port(ax: Axes, path: WaterPath, port: str, shown: Shown) -> None:
    names, ends = [], [0.0]
    styles = {"air": (_AIR, GREY_WORDS), "tube and shell": (JACKETED, WORDS["with jackets"]),
              "barrel": (_BARREL, GREEN_WORDS)}  # fmt: skip
    for name, way, margin in exhaust_curves(path, port):
        x, y = shown.values(way, "length"), shown.values(margin, "temperature difference")
        style, colour = styles[name]
        ax.plot(x, y, **style)
        names.append(Name(text=name, x=x, y=y, colour=colour))
        ends += [float(y.min()), float(y.max())]
    _finish(ax, ends, names, f"Way of the air from the valve  $s$ / {shown.unit('length')}")


def stage_margin(path: WaterPath | None, stage: str) -> tuple[Array, Array] | None:
    """Return share of the cycle [-] and least margin of a stage's surfaces [K], each (instant,)."""
    found = [p for p in path.places if p.part == "stage" and p.name.endswith(f"stage {stage}")
             ] if path is not None else []  # fmt: skip
    if not found:
        return None
    time = found[0].time
    return time / time[-1], np.min([p.margin_in_time for p in found], axis=0)


def _put_stage(ax: Axes, found: WaterFinding, stage: str, shown: Shown) -> None:
    names, ends = [], [0.0]
    both = (("no jackets", found.bare, BARE), ("with jackets", found.jacketed, JACKETED))
    for label, path, style in both:
        curve = stage_margin(path, stage)
        if curve is None:
            continue
        x, y = 100.0 * curve[0], shown.values(curve[1], "temperature difference")
        ax.plot(x, y, **style)
        names.append(Name(text=label, x=x, y=y, colour=WORDS[label]))
        ends += [float(y.min()), float(y.max())]
    ax.set_xlim(0.0, 100.0)
    _finish(ax, ends, names, "Time from the reversal to stroke 1, share of the cycle / %")


def _finish(ax: Axes, ends: Sequence[float], names: Sequence[Name], below: str) -> None:
    """Mark where water leaves, then write words clear of the curves."""
    low, high = nice_limits(min(ends), max(ends))
    ax.set_ylim(low, high)
    ax.axhline(0.0, color=VERMILION, lw=0.9, zorder=1.0)
    if low < 0.0:
        ax.axhspan(low, 0.0, color=VERMILION, alpha=0.08, lw=0.0, zorder=0.5)
    few_ticks(ax)
    foot(ax, below)
    across = np.array(ax.get_xlim())
    place_names(ax, names, avoid=[(across, np.zeros(2))])


def describe_water(found: WaterFinding) -> str:
    """Say in words what the figure shows."""
    path, shown = found.jacketed, Shown(found.case.document.units)
    assert path is not None
    unit, words = shown.unit("temperature difference"), []

    def said(margin: float) -> str:
        return f"{number(shown.value(margin, 'temperature difference'), 1)} {unit}"

    for port in list_ports(path):
        least = [f"{name} {said(float(margin.min()))}" for name, _, margin in
                 exhaust_curves(path, port)]  # fmt: skip
        words.append(f"Least margin to frost or dew along the exhaust of {port}: "
                     f"{', '.join(least)}.")  # fmt: skip
    for stage in found.case.machine.stages:
        pair = [(name, stage_margin(one, stage.name)) for name, one in
                (("no jackets", found.bare), ("with jackets", path))]  # fmt: skip
        told = [f"{said(float(curve[1].min()))} with {name.removeprefix('with ')}"
                for name, curve in pair if curve is not None]  # fmt: skip
        if told:
            words.append(f"Least margin in stage {stage.name}: {' and '.join(told)}.")
    return " ".join((*words, "Below nought water or ice leaves the air."))
