"""Coverage intervals of the main results, no jackets and with jackets, and of their changes."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.number_labels import number, signed
from jacketcalc.report.figures.style import (
    BLUE,
    BLUE_WORDS,
    FULL,
    GREY,
    GREY_WORDS,
    INK,
    SMALL,
    head,
    new_figure,
    panel,
    plain,
    styled,
)

HIGH, PITCH, BELOW = 9.0, 20.0, 9.0
"""Height of a panel, distance from row to row, and the space below the last [mm]."""
BOTH, CHANGE, ACROSS = 18.0, 112.0, 38.0
"""Left edges of the two columns of panels, and their width [mm]."""
ROOM = 0.08
"""Room beside the ends, as a share of what is shown [-]."""


@dataclass(frozen=True, kw_only=True)
class Span:
    """An interval in the unit shown."""

    low: float
    """Lower end [-]."""
    middle: float
    """Median of samples; nominal value of the model range [-]."""
    high: float
    """Upper end [-]."""


@dataclass(frozen=True, kw_only=True)
class IntervalRow:
    """One result."""

    label: str
    unit: str
    """Unit of both machines, in brackets where it has a stroke; empty where it has none."""
    decimals: int
    """Decimals of both machines [-]."""
    no_jackets: Span | None
    """None where some samples have no number [unit]."""
    with_jackets: Span | None
    """None where some samples have no number [unit]."""
    change_unit: str
    """Unit of the change."""
    change: Span | None
    """Of the samples; None where some have no number [change_unit]."""
    model_range: Span | None
    """Of the members of the model range; None where nothing is delivered [change_unit]."""


@dataclass(frozen=True, kw_only=True)
class Intervals:
    """Every result that is followed."""

    level: float
    """Coverage probability [-]."""
    rows: tuple[IntervalRow, ...]


def draw_intervals(data: Intervals) -> Figure:
    """Draw a row for each result: both machines, and beside them the change."""
    with styled():
        count = len(data.rows)
        fig = new_figure(FULL, BELOW + PITCH * count - 4.0)
        for place, row in enumerate(data.rows):
            up = BELOW + PITCH * (count - 1 - place)
            both = panel(fig, BOTH, up, ACROSS, HIGH)
            beside = panel(fig, CHANGE, up, ACROSS, HIGH)
            unit = f" / {row.unit}" if row.unit else ""
            head(both, plain(f"{row.label[:1].upper()}{row.label[1:]}{unit}"))
            head(beside, plain(f"Its change / {row.change_unit}"))
            _lines(both, ("no jackets", row.no_jackets, GREY, GREY_WORDS, "s"),
                   ("with jackets", row.with_jackets, BLUE, BLUE_WORDS, "o"),
                   decimals=row.decimals)  # fmt: skip
            beside.axvline(0.0, color=INK, lw=0.6, zorder=1.0)
            _lines(beside, ("samples", row.change, BLUE, BLUE_WORDS, "o"),
                   ("model range", row.model_range, INK, INK, "d"),
                   decimals=1, sign=True)  # fmt: skip
        return fig


_Line = tuple[str, Span | None, str, str, str]


def _lines(
    ax: Axes, upper: _Line, lower: _Line, *, decimals: int, sign: bool = False
) -> None:  # fmt: skip
    """Draw two intervals over one another, named at the left, their numbers at the right."""
    ax.spines["left"].set_visible(False)
    ax.set_ylim(-0.6, 1.6)
    ax.set_yticks([])
    seen = [0.0] if sign else []
    for at, (name, span, colour, ink, mark) in ((1.0, upper), (0.0, lower)):
        across = ax.get_yaxis_transform()
        ax.text(-0.03, at, name, transform=across, ha="right", va="center", size=SMALL, color=ink)
        words = "–" if span is None else _numbers(span, decimals, sign)
        ax.text(1.03, at, words, transform=across, ha="left", va="center", size=SMALL, color=ink)
        if span is None:
            continue
        seen += [span.low, span.middle, span.high]
        ax.plot([span.low, span.high], [at, at], color=colour, lw=1.4, marker="|", ms=6.0, mew=1.1,
                zorder=3.0)  # fmt: skip
        ax.plot([span.middle], [at], mark, ms=4.5, mfc="white", mec=colour, mew=1.2, zorder=4.0)
    if not seen:
        ax.set_xticks([])
        return
    low, high = min(seen), max(seen)
    # Both machines stall at one pressure: a change of nought still wants an axis.
    slack = ROOM * (high - low) or 0.01 * abs(high) or 1.0
    ax.set_xlim(low - slack, high + slack)
    few_ticks(ax, x=5)


def _numbers(span: Span, decimals: int, sign: bool) -> str:
    say = signed if sign else number
    low, middle, high = (say(v, decimals) for v in (span.low, span.middle, span.high))
    return f"{middle}  ({low} to {high})"


def describe_intervals(data: Intervals) -> str:
    """Say in words what the intervals are."""
    words = [
        f"Median and {100 * data.level:g} % coverage interval of the samples, and the model range "
        "of each change with its nominal value."
    ]
    for row in data.rows:
        parts = [
            f"{name} {_numbers(span, decimals, sign)}"
            for name, span, decimals, sign in (
                ("no jackets", row.no_jackets, row.decimals, False),
                ("with jackets", row.with_jackets, row.decimals, False),
                ("change", row.change, 1, True),
                ("its model range", row.model_range, 1, True),
            )
            if span is not None
        ]
        unit = f" in {row.unit}" if row.unit else ""
        told = "; ".join(parts) or "no number in some samples"
        words.append(f"{row.label}{unit}, change in {row.change_unit}: {told}.")
    return " ".join(words)
