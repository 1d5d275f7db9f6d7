"""Temperatures, pressure and Mach number along one jacket's passage."""

from __future__ import annotations

import numpy as np
from matplotlib.figure import Figure

from jacketcalc.assessment.pair import Solved
from jacketcalc.core.profiles import PassageDetail
from jacketcalc.report.figures.curves import JACKETED, few_ticks, nice_limits, reference
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.number_labels import Shown, number
from jacketcalc.report.figures.style import (
    BLUE_WORDS,
    FULL,
    INK,
    VERMILION,
    VERMILION_WORDS,
    foot,
    head,
    new_figure,
    panel,
    styled,
)


def find_passage(found: Solved, stage: str) -> PassageDetail:
    """Return the passage that feeds a stage's jacket."""
    return next(p for p in found.jacketed_detail.passages if p.stage == stage)


def draw_along(found: Solved, stage: str) -> Figure:
    """Draw air, barrel and shell temperature, then pressure and Mach number, inlet to outlet."""
    with styled():
        shown = Shown(found.case.document.units)
        passage = find_passage(found, stage)
        fig = new_figure(FULL, 62.0)
        start = float(passage.position[0])
        faces = shown.values(np.abs(passage.position - start), "length")
        cells = (faces[1:] + faces[:-1]) / 2
        top = panel(fig, 14.0, 11.0, 78.0, 43.0)
        head(top, f"Temperature,  $T$ / {shown.unit('temperature')}", "a")
        names = []
        for label, x, T, style, words in (
            ("air, mass mean", faces, passage.temperature, JACKETED, BLUE_WORDS),
            ("barrel outside", cells, passage.wall_temperature,
             {"color": VERMILION, "lw": 1.2, "ls": (0, (5, 2))}, VERMILION_WORDS),
            ("shell inside", cells, passage.shell_temperature,
             {"color": INK, "lw": 0.8, "ls": (0, (1.5, 1.5))}, INK),
        ):  # fmt: skip
            y = shown.values(T, "temperature")
            top.plot(x, y, **style)
            names.append(Name(text=label, x=x, y=y, colour=words))
        every = np.concatenate([n.y for n in names])
        top.set_ylim(*nice_limits(float(every.min()), float(every.max())))
        middle = panel(fig, 109.0, 36.5, 66.0, 17.5)
        head(middle, f"Pressure at the strongest flow, absolute,  $p$ / {shown.unit('pressure')}",
             "b")  # fmt: skip
        p = shown.values(passage.pressure_peak, "pressure")
        ambient = shown.value(found.case.machine.ambient.pressure, "pressure")
        middle.plot(faces, p, **JACKETED)
        reference(middle, ambient)
        middle.set_ylim(*nice_limits(min(ambient, float(p.min())), float(p.max())))
        low = panel(fig, 109.0, 11.0, 66.0, 14.5)
        head(low, "Mach number at the strongest flow,  $Ma$", "c")
        low.plot(faces, passage.mach_peak, **JACKETED)
        low.set_ylim(*nice_limits(0.0, float(passage.mach_peak.max()), zero=True))
        for ax in (top, middle, low):
            ax.set_xlim(0.0, float(faces[-1]))
            few_ticks(ax, y=4 if ax is top else 3)
            ax.tick_params(labelbottom=ax is not middle)
        for ax in (top, low):
            foot(ax, f"Axial distance from the inlet / {shown.unit('length')}")
        place_names(top, names)
        level = Name(text="ambient", x=np.array([0.0, float(faces[-1])]), y=np.full(2, ambient),
                     colour="#555555", along=(0.05, 0.1, 0.9, 0.5))  # fmt: skip
        place_names(middle, [level], [(faces, p)])
        return fig


def describe_along(found: Solved, stage: str) -> str:
    """Say in words how the air changes along the passage."""
    shown = Shown(found.case.document.units)
    passage = find_passage(found, stage)
    T, p, Ma = passage.temperature, passage.pressure_peak, passage.mach_peak
    return (
        f"Along the jacket of stage {stage}, from inlet to outlet, the air warms from "
        f"{shown.temperature(float(T[0]))} to {shown.temperature(float(T[-1]))}; the barrel's "
        f"outside is at {shown.temperature(float(passage.wall_temperature[0]))} at the inlet and "
        f"{shown.temperature(float(passage.wall_temperature[-1]))} at the outlet. At the strongest "
        f"flow the pressure falls from {shown.pressure(float(p[0]))} to "
        f"{shown.pressure(float(p[-1]))} and the Mach number rises from "
        f"{number(float(Ma[0]), 2)} to {number(float(Ma[-1]), 2)}."
    )
