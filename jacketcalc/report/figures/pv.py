"""Pressure-volume diagrams of the stages, bare against jacketed."""

from __future__ import annotations

from matplotlib.figure import Figure

from jacketcalc.assessment.result import Assessment
from jacketcalc.report.figures.curves import BARE, JACKETED, WORDS, close, few_ticks, nice_limits
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.number_labels import Shown, number
from jacketcalc.report.figures.style import (
    FULL,
    MIDDLE,
    foot,
    head,
    new_figure,
    panel,
    plain,
    shorten,
    styled,
)

HIGH = 62.0
"""Height of a panel [mm]."""


def draw_pv(found: Assessment) -> Figure:
    """Draw the diagram of each stage."""
    with styled():
        shown = Shown(found.case.document.units)
        count = len(found.case.machine.stages)
        width = MIDDLE if count == 1 else FULL
        fig = new_figure(width, HIGH + 20.0)
        each = (width - 16.0 * count - 6.0) / count
        for i in range(count):
            bare, jacketed = found.bare_detail.stages[i], found.jacketed_detail.stages[i]
            ax = panel(fig, 15.0 + i * (each + 16.0), 12.0, each, HIGH)
            names = []
            top = right = 0.0
            for label, stage, style in (
                ("no jackets", bare, BARE),
                ("with jackets", jacketed, JACKETED),
            ):
                V = shown.values(close(stage.volume), "volume")
                p = shown.values(close(stage.pressure), "pressure")
                ax.plot(V, p, **style)
                names.append(Name(text=label, x=V, y=p, colour=WORDS[label]))
                top, right = max(top, float(p.max())), max(right, float(V.max()))
            ax.set_xlim(0.0, 1.04 * right)
            ax.set_ylim(*nice_limits(0.0, top, zero=True))
            few_ticks(ax)
            letter = "abcdef"[i] if count > 1 else ""
            unit = shown.unit("pressure")
            name = shorten(bare.name, 20)
            head(ax, f"Pressure in {name}, absolute, $p$ / {plain(unit)}", letter)
            foot(ax, f"Gas volume  $V$ / {shown.unit('volume')}")
            place_names(ax, names)
        return fig


def describe_pv(found: Assessment) -> str:
    """Say in words what the diagrams show."""
    shown = Shown(found.case.document.units)
    words = []
    for bare, jacketed in zip(found.bare.stages, found.jacketed.stages, strict=True):
        unit = shown.unit("energy")
        work = [number(shown.value(s.indicated_work, "energy"), 1) for s in (bare, jacketed)]
        words.append(
            f"Pressure against gas volume in stage {bare.name} over a cycle, from "
            f"{shown.pressure(jacketed.compression_start_pressure)} at its start to delivery "
            f"at {shown.pressure(jacketed.delivery_pressure)}; the work put into its gas is "
            f"{work[0]} {unit} with no jackets and {work[1]} {unit} with jackets."
        )
    return " ".join(words)
