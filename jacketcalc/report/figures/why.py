"""The picture of the first page: what cooling brings, what resistance takes, what is left."""

from __future__ import annotations

import math
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.assessment.result import Assessment, Change, Interval
from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.number_labels import Shown, signed
from jacketcalc.report.figures.style import (
    BLUE,
    BLUE_WORDS,
    FULL,
    GREEN,
    GREEN_WORDS,
    GREY,
    GREY_WORDS,
    INK,
    SMALL,
    VERMILION,
    VERMILION_WORDS,
    foot,
    head,
    new_figure,
    panel,
    shorten,
    styled,
)
from jacketcalc.report.figures.wall import put_wall

HIGH, PANEL = 42.0, 24.0
"""Height of the figure and of its panels [mm]."""
_NAMES = ("cooling alone", "resistance alone", "from both together", "the jackets")


@dataclass(frozen=True, kw_only=True)
class Parts:
    """The change that is judged and its parts, in the unit shown; the parts add up."""

    title: str
    unit: str
    values: tuple[float, float, float, float]
    """Cooling alone, resistance alone, what both together add, the whole [its unit]; not a
    number where its machine did not settle."""
    band: tuple[float, float]
    """Span of the whole over the model's band [its unit]."""
    gain: float
    """Sign of a change for the better [-]."""

    def words(self, value: float) -> str:
        """Return one of the numbers with its sign and unit."""
        return f"{signed(value)}\u00a0{self.unit}" if value == value else "an unknown amount"


def hottest(found: Assessment) -> int:
    """Return the place of the stage with the hottest discharge."""
    stages = found.jacketed.stages
    return max(range(len(stages)), key=lambda i: stages[i].discharge_temperature)


def judged_parts(found: Assessment) -> Parts:
    """Return the parts of the change that the verdict judges."""
    shown, by, band = Shown(found.case.document.units), found.verdict.judged_by, found.band
    three = (found.split.cooling_alone, found.split.resistance_alone, found.change)
    if by == "discharge temperature":
        at = hottest(found)
        unit, title, span = shown.unit("temperature difference"), "Hottest discharge", (
            band.discharge_temperature)  # fmt: skip
        read = [shown.value(c.stages[at].discharge_temperature, "temperature difference")
                if c else math.nan for c in three]  # fmt: skip
        ends = tuple(shown.value(v, "temperature difference") for v in (span.low, span.high))
    else:
        flow = by == "delivery"
        title = "Delivery" if flow else "Specific air consumption"
        span = band.delivered_mass_flow if flow else band.specific_air_consumption
        unit, read = "%", [100.0 * _judged(c, flow) if c else math.nan for c in three]
        ends = _percent(span)
    cooling, resistance, whole = (round(v, 1) for v in read)
    return Parts(
        title=title,
        unit=unit,
        values=(cooling, resistance, round(whole - cooling - resistance, 1), whole),
        band=(ends[0], ends[1]),
        gain=1.0 if by == "delivery" else -1.0,
    )


def _judged(change: Change, flow: bool) -> float:
    return change.delivered_mass_flow if flow else change.specific_air_consumption


def _percent(span: Interval) -> tuple[float, float]:
    return 100.0 * span.low, 100.0 * span.high


def draw_why(found: Assessment) -> Figure:
    """Draw the parts of the change as bars, and the barrel they come from beside them."""
    with styled():
        parts = judged_parts(found)
        fig = new_figure(FULL, HIGH)
        ax = panel(fig, 32.0, 12.0, 42.0, PANEL)
        head(ax, f"{parts.title}, change / {parts.unit}", "a")
        _bars(ax, parts)
        at = hottest(found)
        beside = panel(fig, 116.0, 12.0, 60.0, PANEL)
        name = shorten(found.case.machine.stages[at].name, 18)
        unit = Shown(found.case.document.units).unit("temperature")
        head(beside, f"Inside of the barrel of {name},  $T$ / {unit}", "b")
        put_wall(beside, found, at)
        return fig


def _bars(ax: Axes, parts: Parts) -> None:
    good, bad = (GREEN, GREEN_WORDS), (VERMILION, VERMILION_WORDS)
    for row, (name, value) in enumerate(zip(_NAMES, parts.values, strict=True)):
        last = row == len(_NAMES) - 1
        gain = value * parts.gain
        better = good if gain > 0 else bad if gain < 0 else (GREY, GREY_WORDS)
        fill, ink = (BLUE, BLUE_WORDS) if last else better
        finite = value if math.isfinite(value) else 0.0
        ax.barh(row, finite, 0.62, color=fill)
        words = signed(value) if math.isfinite(value) else "–"
        if last:
            low, high = parts.band
            ax.plot([low, high], [row, row], color=INK, lw=1.0, marker="|", ms=5.0, mew=1.0)
            words += f"  ({signed(low)} to {signed(high)})"
        across = ax.get_yaxis_transform()
        weight = "bold" if last else "normal"
        ax.text(-0.04, row, name, transform=across, ha="right", va="center", size=SMALL,
                weight=weight)  # fmt: skip
        ax.text(1.05, row, words, transform=across, ha="left", va="center", color=ink, size=SMALL,
                weight=weight)  # fmt: skip
    ax.axvline(0.0, color=INK, lw=0.6)
    ax.set_ylim(len(_NAMES) - 0.5, -0.5)
    ax.spines["left"].set_visible(False)
    ax.set_yticks([])
    few_ticks(ax, x=5)
    foot(ax, "compared with no jackets; line: model range")


def why_words(found: Assessment) -> str:
    """Return in a sentence what the picture says, true whatever the verdict is."""
    parts = judged_parts(found)
    cooling, resistance, both, whole = (parts.words(v) for v in parts.values)
    low, high = (parts.words(v) for v in parts.band)
    return (
        f"(a) {parts.title}: the jackets' cooling alone would change it by {cooling}, the "
        f"resistance of their passages alone by {resistance}; acting together they add {both}, "
        f"which makes {whole} (model range {low} to {high}). "
        f"(b) The barrel of the hottest stage, no jackets and with jackets."
    )


def describe_why(found: Assessment) -> str:
    """Say in words what the picture shows."""
    at, shown = hottest(found), Shown(found.case.document.units)
    ends = [
        shown.temperatures(float(d.stages[at].wall_inside.min()),
                           float(d.stages[at].wall_inside.max()))
        for d in (found.bare_detail, found.jacketed_detail)
    ]  # fmt: skip
    name = found.case.machine.stages[at].name
    return (
        f"{why_words(found)} Inside of the barrel of stage {name}: {ends[0]} with no jackets, "
        f"{ends[1]} with jackets."
    )
