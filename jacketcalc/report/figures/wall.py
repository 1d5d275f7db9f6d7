"""Temperature of the barrels' inner surface, bare against jacketed."""

from __future__ import annotations

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.assessment.pair import Solved
from jacketcalc.inputs import Stage
from jacketcalc.report.figures.curves import WORDS, few_ticks, machines, nice_limits
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.stage_panels import LETTERS, stage_panels
from jacketcalc.report.figures.style import BLUE_WORDS, foot, head, shorten, styled

HIGH = 48.0
"""Height of a panel [mm]."""
_MARK = 4.6
"""Height of the winding's mark and word [mm]."""


def draw_wall(found: Solved) -> Figure:
    """Draw the barrel's inside temperature of each stage from head to flange."""
    with styled():
        shown = Shown(found.case.document.units)
        stages = found.case.machine.stages
        fig, panels = stage_panels(len(stages), HIGH, 10.0)
        for i, (stage, ax) in enumerate(zip(stages, panels, strict=True)):
            letter = LETTERS[i] if len(stages) > 1 else ""
            unit = shown.unit("temperature")
            head(ax, f"Inside of the barrel of {shorten(stage.name, 18)},  $T$ / {unit}", letter)
            put_wall(ax, found, i)
        return fig


def put_wall(ax: Axes, found: Solved, index: int) -> None:
    """Draw one stage's barrel, bare and jacketed, into a panel."""
    shown, stage = Shown(found.case.document.units), found.case.machine.stages[index]
    names, ends = [], []
    for label, whole, style in machines(found):
        detail = whole.stages[index]
        z = shown.values(detail.wall_position, "length")
        T = shown.values(detail.wall_inside, "temperature")
        ax.plot(z, T, **style)
        names.append(Name(text=label, x=z, y=T, colour=WORDS[label]))
        ends += [float(T.min()), float(T.max())]
    low, high = nice_limits(min(ends), max(ends))
    # Room for the mark of the winding and its word below the curves.
    fig = ax.get_figure(root=True)
    assert fig is not None
    tall = ax.get_position().height * fig.get_figheight() * 25.4
    ax.set_ylim(low - _MARK / tall * (high - low), high)
    ax.set_xlim(0.0, shown.value(stage.barrel_length, "length"))
    few_ticks(ax)
    foot(ax, f"Distance from the head end  $z$ / {shown.unit('length')}")
    _mark_winding(ax, stage, shown)
    place_names(ax, names)


def _mark_winding(ax: Axes, stage: Stage, shown: Shown) -> None:
    """Draw where the jacket winds, just above the axis."""
    if stage.jacket is None:
        return
    begin = shown.value(stage.jacket.offset, "length")
    end = shown.value(stage.jacket.offset + stage.jacket.length, "length")
    y = 0.035
    across = ax.get_xaxis_transform()
    ax.plot([begin, end], [y, y], transform=across, color="#0072B2", lw=2.5, solid_capstyle="butt")
    ax.text((begin + end) / 2, y + 0.02, "jacket", transform=across, size=7.5, color=BLUE_WORDS,
            ha="center", va="bottom")  # fmt: skip


def describe_wall(found: Solved) -> str:
    """Say in words how warm the barrels are."""
    shown = Shown(found.case.document.units)
    words = []
    for bare, jacketed in zip(found.bare.stages, found.jacketed.stages, strict=True):
        means = [shown.temperature(s.wall_temperature.mean) for s in (bare, jacketed)]
        highest = [shown.temperature(s.wall_temperature.max) for s in (bare, jacketed)]
        words.append(
            f"Inside of the barrel of stage {bare.name}: mean {means[0]} with no jackets and "
            f"{means[1]} with jackets, hottest {highest[0]} and {highest[1]}."
        )
    return " ".join(words)
