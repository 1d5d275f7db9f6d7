"""A diagram of each stage's gas over a cycle, no jackets against with jackets."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.arrays import Array
from jacketcalc.assessment.pair import Solved
from jacketcalc.core.profiles import StageDetail
from jacketcalc.report.figures.curves import WORDS, close, few_ticks, machines, nice_limits
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.stage_panels import LETTERS, stage_panels
from jacketcalc.report.figures.style import foot, head, shorten, styled

HIGH = 62.0
"""Height of a panel [mm]."""


@dataclass(frozen=True, kw_only=True)
class Diagram:
    """What a diagram of a cycle shows."""

    head: Callable[[str], str]
    """What stands above a panel, from its stage's name."""
    foot: str
    x: Callable[[StageDetail], Array]
    """Values across, in display units [-]."""
    y: Callable[[StageDetail], Array]
    """Values upwards, in display units [-]."""
    from_zero: bool
    """Whether both axes begin at nought."""
    behind: Callable[[Axes, int], list[Name]] = lambda ax, index: []
    """Draws lines behind a stage's curves, and returns them with their names."""


def draw_cycles(found: Solved, diagram: Diagram) -> Figure:
    """Draw the diagram of each stage, panels side by side."""
    with styled():
        count = len(found.case.machine.stages)
        fig, panels = stage_panels(count, HIGH, 8.0)
        for i, ax in enumerate(panels):
            names = []
            for label, whole, style in machines(found):
                detail = whole.stages[i]
                x, y = close(diagram.x(detail)), close(diagram.y(detail))
                ax.plot(x, y, **style)
                names.append(Name(text=label, x=x, y=y, colour=WORDS[label]))
            _limit(ax, names, diagram.from_zero)
            few_ticks(ax)
            letter = LETTERS[i] if count > 1 else ""
            head(ax, diagram.head(shorten(found.bare.stages[i].name, 20)), letter)
            foot(ax, diagram.foot)
            place_names(ax, [*names, *diagram.behind(ax, i)])
        return fig


def _limit(ax: Axes, names: list[Name], from_zero: bool) -> None:
    """Set limits that hold both curves."""
    left, right = min(float(n.x.min()) for n in names), max(float(n.x.max()) for n in names)
    low, high = min(float(n.y.min()) for n in names), max(float(n.y.max()) for n in names)
    ax.set_xlim(*((0.0, 1.04 * right) if from_zero else nice_limits(left, right)))
    ax.set_ylim(*nice_limits(0.0 if from_zero else low, high, zero=from_zero))
