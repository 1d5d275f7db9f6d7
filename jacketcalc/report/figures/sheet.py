"""A drawing sheet in millimetres of paper, with the draughtsman's usual marks.

Visible edges are wide lines, all else narrow ones; cut parts are hatched; a dimension has a
narrow line between filled arrowheads with its number above. After ISO 128 and ISO 129-1 as
common practice has them (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle, PathPatch, Polygon
from matplotlib.path import Path
from matplotlib.patheffects import withStroke

from jacketcalc.report.figures.style import INK, NARROW, SMALL, WIDE, new_figure, points

SheetPoint = tuple[float, float]
DASHES: dict[str, tuple[float, ...]] = {
    "full": (),
    "dashed": (9.0, 4.0),
    "centre": (24.0, 4.0, 2.0, 4.0),
}
"""Line types as lengths of dash and gap, in line widths [-]."""
ARROW = 2.2
"""Length of an arrowhead [mm]."""
_CLEAR = [withStroke(linewidth=1.8, foreground="white")]
"""Breaks lines behind the number of a dimension."""
_TIGHT = 7.0
"""Distance on paper below which arrowheads stand outside [mm]."""
PAST = 1.2
"""How far an extension line passes its dimension line [mm]."""


class Sheet:
    """A figure whose coordinates are millimetres from its lower left corner.

    Parameters
    ----------
    width, height : of the figure, above the zero of its coordinates [mm]
    floor : lower edge of the figure, negative where something stands below that zero [mm]
    """

    def __init__(self, width: float, height: float, floor: float = 0.0) -> None:
        self.figure: Figure = new_figure(width, height - floor)
        self.width, self.height = width, height
        self.ax: Axes = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.ax.set_xlim(0.0, width)
        self.ax.set_ylim(floor, height)
        self.ax.set_axis_off()

    def line(
        self,
        path: Sequence[SheetPoint],
        width: float = NARROW,
        kind: str = "full",
        colour: str = INK,
        gid: str = "",
        order: float = 3.0,
    ) -> None:
        """Draw a line of a type and width [mm]."""
        x, y = zip(*path, strict=True)
        style: Any = (0, DASHES[kind]) if DASHES[kind] else "-"
        self.ax.plot(
            x, y, color=colour, lw=points(width), ls=style, gid=gid or None, zorder=order,
            solid_joinstyle="miter", scalex=False, scaley=False,
        )  # fmt: skip

    def area(
        self,
        path: Sequence[SheetPoint],
        fill: str = "none",
        edge: str = INK,
        width: float = WIDE,
        gid: str = "",
        order: float = 2.0,
        smooth: bool = True,
    ) -> None:
        """Draw a closed outline; a width of 0 leaves the edge out."""
        self.ax.add_patch(
            Polygon(
                list(path), closed=True, facecolor=fill, edgecolor=edge if width else "none",
                lw=points(width), joinstyle="miter", gid=gid or None, zorder=order,
                antialiased=smooth,
            )
        )  # fmt: skip

    def box(self, x0: float, y0: float, x1: float, y1: float, **style: Any) -> None:
        """Draw a rectangle, styled as `area`."""
        self.area([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], **style)

    def hatch(
        self,
        path: Sequence[SheetPoint],
        slope: int = 1,
        spacing: float = 1.3,
        order: float = 1.5,
        colour: str = INK,
    ) -> None:
        """Hatch a closed outline at 45 degrees, rising (1) or falling (-1), all lines one path."""
        pieces = hatch_lines(path, slope, spacing)
        if pieces:
            lines = Path(
                [end for piece in pieces for end in piece], [Path.MOVETO, Path.LINETO] * len(pieces)
            )
            self.ax.add_patch(
                PathPatch(lines, facecolor="none", edgecolor=colour, lw=points(0.13), zorder=order,
                          capstyle="butt")
            )  # fmt: skip

    def cut(self, x0: float, y0: float, x1: float, y1: float, slope: int, **style: Any) -> None:
        """Draw a cut rectangle: wide outline and hatching; nothing where it has no size."""
        if x1 - x0 < 1e-9 or y1 - y0 < 1e-9:
            return
        spacing = style.pop("spacing", 1.3)
        self.box(x0, y0, x1, y1, fill="white", order=1.4, width=0.0)
        self.hatch([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], slope, spacing)
        self.box(x0, y0, x1, y1, **style)

    def circle(self, x: float, y: float, radius: float, **style: Any) -> Circle:
        """Draw a circle with a width [mm] and a fill."""
        patch = Circle(
            (x, y), radius, facecolor=style.get("fill", "none"), edgecolor=style.get("edge", INK),
            lw=points(style.get("width", NARROW)), zorder=style.get("order", 4.0),
            gid=style.get("gid"),
        )  # fmt: skip
        self.ax.add_patch(patch)
        return patch

    def text(self, x: float, y: float, words: str, **style: Any) -> None:
        """Write words; the keywords are those of matplotlib."""
        style.setdefault("size", SMALL)
        style.setdefault("va", "center")
        style.setdefault("zorder", 6.0)
        self.ax.text(x, y, words, **style)

    def arrowhead(
        self, tip: SheetPoint, towards: SheetPoint, colour: str = INK, size: float = ARROW
    ) -> None:
        """Draw a filled arrowhead at `tip`, pointing along the vector `towards`."""
        length = math.hypot(*towards)
        ux, uy = towards[0] / length * size, towards[1] / length * size
        side = 0.17
        base = (tip[0] - ux, tip[1] - uy)
        corners = [tip, (base[0] - side * uy, base[1] + side * ux),
                   (base[0] + side * uy, base[1] - side * ux)]  # fmt: skip
        self.area(corners, fill=colour, width=0.0, order=5.0)

    def arrow(
        self,
        path: Sequence[SheetPoint],
        colour: str = INK,
        width: float = NARROW,
        size: float = ARROW,
        gid: str = "",
    ) -> None:
        """Draw a line that ends in an arrowhead."""
        (x0, y0), (x1, y1) = path[-2], path[-1]
        length = math.hypot(x1 - x0, y1 - y0)
        back = min(1.0, 0.7 * size / length)
        stop = (x1 - back * (x1 - x0), y1 - back * (y1 - y0))
        self.line([*path[:-1], stop], width, colour=colour, order=4.5, gid=gid)
        self.arrowhead((x1, y1), (x1 - x0, y1 - y0), colour, size)

    def leader(self, path: Sequence[SheetPoint], colour: str = INK) -> None:
        """Draw a leader that ends in a dot on what it names."""
        self.line(path, colour=colour, order=5.0)
        self.circle(*path[-1], 0.45, fill=colour, edge=colour, order=5.0)

    def across(
        self, x0: float, x1: float, y: float, feet: tuple[float, float], words: str, gid: str = ""
    ) -> None:
        """Dimension a distance along x, on a line at `y`, from outlines at heights `feet`."""
        past = math.copysign(PAST, y - feet[0])
        for x, foot in zip((x0, x1), feet, strict=True):
            self.line([(x, foot + math.copysign(0.6, y - foot)), (x, y + past)])
        left, right = reach(x0, x1, words)
        inside = x1 - x0 >= _TIGHT
        self.line([(x0, y), (x1, y)], gid=gid)
        self.arrowhead((x0, y), (-1.0 if inside else 1.0, 0.0))
        self.arrowhead((x1, y), (1.0 if inside else -1.0, 0.0))
        if left < x0:
            self.line([(left, y), (x0, y)])
        if right > x1:
            self.line([(x1, y), (right, y)])
            self.text(right - 0.4, y + 0.7, words, va="bottom", ha="right", path_effects=_CLEAR)
        else:
            self.text((x0 + x1) / 2, y + 0.7, words, va="bottom", ha="center", path_effects=_CLEAR)

    def upright(
        self, x: float, y0: float, y1: float, feet: tuple[float, float], words: str, gid: str = ""
    ) -> None:
        """Dimension a distance along y, on a line at `x`; the number reads from the right."""
        past = math.copysign(PAST, x - feet[0]) if feet[0] != x else 0.0
        for y, foot in zip((y0, y1), feet, strict=True):
            if past:
                self.line([(foot + math.copysign(0.6, x - foot), y), (x + past, y)])
        self.line([(x, y0), (x, y1)], gid=gid)
        inside = y1 - y0 >= 6.0
        self.arrowhead((x, y0), (0.0, -1.0 if inside else 1.0))
        self.arrowhead((x, y1), (0.0, 1.0 if inside else -1.0))
        if not inside:
            self.line([(x, y0 - 4.0), (x, y0)])
            self.line([(x, y1), (x, y1 + 4.0)])
        if fits_upright(words, y1 - y0):
            self.text(x - 0.7, (y0 + y1) / 2, words, rotation=90, ha="right")
        else:
            self.text(x + 0.8, (y0 + y1) / 2, words, ha="left")


def fits_upright(words: str, length: float) -> bool:
    """Return whether words stand along an upright dimension of a length [mm]."""
    return words_width(words) <= length - 2.0


def reach(x0: float, x1: float, words: str) -> tuple[float, float]:
    """Return how far a dimension between two places reaches, with its words [mm]."""
    if x1 - x0 >= max(_TIGHT, words_width(words) + 1.0):
        return x0, x1
    before = x0 if x1 - x0 >= _TIGHT else x0 - 5.0
    return before, x1 + (1.0 if x1 - x0 >= _TIGHT else 3.5) + words_width(words)


def words_width(words: str) -> float:
    """Return about how wide small words are [mm]."""
    return 1.25 * len(words) + 0.6


def hatch_lines(path: Sequence[SheetPoint], slope: int, spacing: float) -> list[list[SheetPoint]]:
    """Return the 45 degree lines inside a closed outline, as pairs of ends."""
    corners = np.asarray(path, dtype=float)
    x, y = corners[:, 0], corners[:, 1]
    level = y - slope * x
    step = spacing * math.sqrt(2.0)
    first = math.ceil(level.min() / step - 1e-9)
    last = math.floor(level.max() / step + 1e-9)
    ahead_x, ahead_level = np.roll(x, -1), np.roll(level, -1)
    out: list[list[SheetPoint]] = []
    for k in range(first, last + 1):
        c = k * step + 1e-7
        crossed = (level < c) != (ahead_level < c)
        share = (c - level[crossed]) / (ahead_level[crossed] - level[crossed])
        hits = np.sort(x[crossed] + share * (ahead_x[crossed] - x[crossed]))
        for a, b in zip(hits[::2], hits[1::2], strict=False):
            out.append([(float(a), float(slope * a + c)), (float(b), float(slope * b + c))])
    return out
