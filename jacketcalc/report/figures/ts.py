"""Temperature over specific entropy of the gas in each stage, real gas, over a cycle."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.arrays import Array
from jacketcalc.assessment.pair import Solved
from jacketcalc.core.profiles import StageDetail
from jacketcalc.gas.entropy import specific_entropy
from jacketcalc.gas.stage_gas import stage_gas_table
from jacketcalc.report.figures.curves import ISOBAR
from jacketcalc.report.figures.cycles import Diagram, draw_cycles
from jacketcalc.report.figures.labels import Name
from jacketcalc.report.figures.number_labels import Shown, number
from jacketcalc.report.figures.style import GREY_WORDS, SMALL

_POINTS = 60
"""Points of an isobar [-]."""
_ENDS = (0.95, 0.05, 0.9, 0.1, 0.85, 0.15, 0.75, 0.25)
"""Where an isobar is named, as shares of its points [-]."""


def draw_ts(found: Solved) -> Figure:
    """Draw the diagram of each stage, isobars of suction and delivery behind it."""
    shown = Shown(found.case.document.units)
    unit, gas = shown.unit("specific entropy"), found.case.machine.gas.name

    def behind(ax: Axes, index: int) -> list[Name]:
        return _put_isobars(ax, found, index, shown)

    return draw_cycles(
        found,
        Diagram(
            head=lambda name: f"Gas temperature in {name},  $T$ / {shown.unit('temperature')}",
            foot=f"Specific entropy above {gas} outside  $s - s_0$ / ({unit})",
            x=lambda d: shown.values(entropy(found, d.temperature, d.pressure), "specific entropy"),
            y=lambda d: shown.values(d.temperature, "temperature"),
            from_zero=False,
            behind=behind,
        ),
    )


def entropy(found: Solved, T: Array, p: Array) -> Array:
    """Return the specific entropy above that of the same gas at ambient state [J/(kg K)]."""
    machine = found.case.machine
    ambient = machine.ambient
    return specific_entropy(stage_gas_table(machine), T, p, (ambient.temperature, ambient.pressure))


def _put_isobars(ax: Axes, found: Solved, index: int, shown: Shown) -> list[Name]:
    """Draw the isobars of the charge and of delivery, with jackets, and return them."""
    outcome = found.jacketed.stages[index]
    zero = shown.value(0.0, "temperature")
    per_kelvin = shown.value(1.0, "temperature") - zero
    low, high = ((y - zero) / per_kelvin for y in ax.get_ylim())
    T = np.linspace(low, high, _POINTS)
    left, right = ax.get_xlim()
    lines = []
    for p in (outcome.compression_start_pressure, outcome.delivery_pressure):
        x = shown.values(entropy(found, T, np.full(_POINTS, p)), "specific entropy")
        y = shown.values(T, "temperature")
        ax.plot(x, y, **ISOBAR)
        seen = (x > left) & (x < right)
        if seen.sum() > 1:
            lines.append(Name(text=shown.pressure(p), x=x[seen], y=y[seen], colour=GREY_WORDS,
                              size=SMALL, along=_ENDS))  # fmt: skip
    return lines


def describe_ts(found: Solved) -> str:
    """Say in words what the diagrams show."""
    shown = Shown(found.case.document.units)
    words = []
    for i, stage in enumerate(found.case.machine.stages):
        pair = (found.bare_detail.stages[i], found.jacketed_detail.stages[i])
        hottest = [shown.temperature(float(d.temperature.max())) for d in pair]
        spans = [number(shown.value(_span(found, d), "specific entropy"), 2) for d in pair]
        words.append(
            f"Gas temperature against specific entropy in stage {stage.name} over a cycle: the gas "
            f"reaches {hottest[0]} with no jackets and {hottest[1]} with jackets; its entropy "
            f"spans "
            f"{spans[0]} and {spans[1]} {shown.unit('specific entropy')}."
        )
    return " ".join(words)


def _span(found: Solved, detail: StageDetail) -> float:
    """Return how far the gas's specific entropy goes in a cycle [J/(kg K)]."""
    return float(np.ptp(entropy(found, detail.temperature, detail.pressure)))
