"""Pressure-volume diagrams of the stages, bare against jacketed."""

from __future__ import annotations

from matplotlib.figure import Figure

from jacketcalc.assessment.pair import Solved
from jacketcalc.report.figures.cycles import Diagram, draw_cycles
from jacketcalc.report.figures.number_labels import Shown, number
from jacketcalc.report.figures.style import plain


def draw_pv(found: Solved) -> Figure:
    """Draw the diagram of each stage."""
    shown = Shown(found.case.document.units)
    unit = plain(shown.unit("pressure"))
    return draw_cycles(
        found,
        Diagram(
            head=lambda name: f"Pressure in {name}, absolute, $p$ / {unit}",
            foot=f"Gas volume  $V$ / {shown.unit('volume')}",
            x=lambda detail: shown.values(detail.volume, "volume"),
            y=lambda detail: shown.values(detail.pressure, "pressure"),
            from_zero=True,
        ),
    )


def describe_pv(found: Solved) -> str:
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
