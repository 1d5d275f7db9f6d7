"""Readings less what the model shows, in units of their joint uncertainty."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib.figure import Figure

from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.number_labels import signed
from jacketcalc.report.figures.style import (
    BLUE,
    FULL,
    GREY,
    GREY_PALE,
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

PITCH, BELOW, ABOVE = 5.4, 12.0, 8.0
"""Height of a reading's row, and the space below and above the panel [mm]."""
LEFT, ACROSS = 74.0, 74.0
"""Left edge and width of the panel [mm]."""
LIMIT = 2.0
"""Residual beyond which a reading and the model do not agree, about 95 % [-]."""
_NAME = 60
"""Letters of a reading's name [-]."""


@dataclass(frozen=True, kw_only=True)
class Residual:
    """One reading beside the model, in joint standard uncertainties."""

    name: str
    nominal: float
    """Reading less what the nominal case shows [-]."""
    fitted: float
    """Reading less what is shown after the fit, over the same uncertainty [-]."""


@dataclass(frozen=True, kw_only=True)
class ResidualFigure:
    """The readings of a bench, in the order of the case."""

    rows: tuple[Residual, ...]
    left_out: int = 0
    """Readings that are not shown: those nearest to the model [-]."""


def draw_residuals(data: ResidualFigure) -> Figure:
    """Draw a row for each reading, before and after the fit."""
    with styled():
        high = PITCH * max(len(data.rows), 1)
        fig = new_figure(FULL, BELOW + high + ABOVE)
        ax = panel(fig, LEFT, BELOW, ACROSS, high)
        head(ax, "Reading less prediction, over their joint standard uncertainty")
        ax.axvspan(-LIMIT, LIMIT, color=GREY_PALE, lw=0.0, zorder=0.0)
        ax.axvline(0.0, color=INK, lw=0.6, zorder=1.0)
        for end in (-LIMIT, LIMIT):
            ax.axvline(end, color=INK, lw=0.8, ls=(0, (4, 2)), zorder=1.0)
        across = ax.get_yaxis_transform()
        for place, one in enumerate(data.rows):
            beyond = abs(one.nominal) > LIMIT
            colour = VERMILION if beyond else GREY
            ax.plot([one.nominal, one.fitted], [place, place], color=GREY, lw=0.7, zorder=2.0)
            ax.plot([one.nominal], [place], "s", ms=4.8, mfc=colour, mec=INK, mew=0.8, zorder=3.0)
            ax.plot([one.fitted], [place], "o", ms=4.8, mfc="white", mec=BLUE, mew=1.3, zorder=4.0)
            ink = VERMILION_WORDS if beyond else INK
            ax.text(-0.02, place, shorten(one.name, _NAME), transform=across, ha="right",
                    va="center", size=SMALL)  # fmt: skip
            ax.text(1.03, place, f"{signed(one.nominal)};  fitted {signed(one.fitted)}",
                    transform=across, ha="left", va="center", size=SMALL, color=ink)  # fmt: skip
        ax.set_ylim(max(len(data.rows), 1) - 0.4, -0.6)
        reach = max(
            [1.25 * LIMIT, *(1.1 * abs(v) for r in data.rows for v in (r.nominal, r.fitted))]
        )
        ax.set_xlim(-reach, reach)
        ax.spines["left"].set_visible(False)
        ax.set_yticks([])
        few_ticks(ax, x=8)
        foot(ax, "square: nominal case; circle: after the fit; dashed: ±2")
        return fig


def describe_residuals(data: ResidualFigure) -> str:
    """Say in words which readings the model meets."""
    beyond = sum(abs(one.nominal) > LIMIT for one in data.rows)
    words = [
        f"Residuals of {len(data.rows)} readings in joint standard uncertainties; {beyond} lie "
        "beyond ±2."
    ]
    words += [
        f"{one.name}: {signed(one.nominal)}, after the fit {signed(one.fitted)}."
        for one in data.rows
    ]
    if data.left_out:
        words.append(f"{data.left_out} readings nearer to the model are not shown.")
    return " ".join(words)
