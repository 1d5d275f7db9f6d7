"""Limits on the map: hatched where broken, a letter upon each, and their names below."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from scipy.interpolate import RegularGridInterpolator
from scipy.ndimage import distance_transform_edt

from jacketcalc.arrays import Array
from jacketcalc.report.figures.pitchmap_data import PitchMap
from jacketcalc.report.figures.pitchmap_field import GAPS, refine
from jacketcalc.report.figures.pitchmap_words import Places
from jacketcalc.report.figures.style import BODY, INK, MIDDLE, SMALL, VERMILION_WORDS, plain

HATCHES = ("//", "\\\\", "..", "||", "--", "xx", "oo", "++")
"""Hatching of the limits in their order."""
DARK = "#3A3A3A"
"""Colour of hatching."""
SIGN = 4.5
"""Height of a line that explains a sign [mm]."""
FINE = (61, 81)
"""Points of the grid on which letters find their places [-]."""


def hatch_limits(places: Places, data: PitchMap) -> None:
    """Hatch where limits are broken, and set their letters."""
    for place, limit in enumerate(data.limits):
        x, y, fine = refine(data.x, data.y, limit.excess)
        excess = np.ma.masked_invalid(fine)
        top = float(excess.max()) if excess.count() else 0.0
        if top <= 0.0:
            continue
        hatch = HATCHES[place % len(HATCHES)]
        hatched = places.ax.contourf(x, y, excess, levels=[0.0, 2.0 * top],
                                     colors="none", hatches=[hatch], zorder=2.5)  # fmt: skip
        hatched.set_edgecolor(DARK)
        hatched.set_linewidth(0.0)
        hatched.set_hatch_linewidth(0.5)
        if float(excess.min()) < 0.0:
            for colour, width in (("white", 2.6), (VERMILION_WORDS, 1.2)):
                places.ax.contour(x, y, excess, levels=[0.0], colors=colour, linewidths=width,
                                  linestyles="-", zorder=2.6)  # fmt: skip
    for place, limit in enumerate(data.limits):
        _letter(places, data, limit.excess, letter(place))


def letter(place: int) -> str:
    """Return the letter of a limit."""
    return "ABCDEFGH"[place % len(HATCHES)]


def _letter(places: Places, data: PitchMap, excess: Array, words: str) -> None:
    """Write a letter deep inside a region, away from other words."""
    y, x = (np.linspace(axis[0], axis[-1], n) for axis, n in zip((data.y, data.x), FINE,
                                                                   strict=True))  # fmt: skip
    known = np.nan_to_num(excess, nan=-np.nanmax(np.abs(excess)))
    grid = np.stack(np.meshgrid(y, x, indexing="ij"), axis=-1)
    inside = RegularGridInterpolator((data.y, data.x), known)(grid) > 0.0
    if not inside.any():
        return
    step = [getattr(places.frame, side) / n for side, n in zip(("height", "width"), FINE,
                                                              strict=True)]  # fmt: skip
    depth = distance_transform_edt(np.pad(inside, 1), sampling=step)[1:-1, 1:-1]
    order = np.argsort(-depth, axis=None, kind="stable")[:400]
    size = places.size(words, BODY)
    best = None
    for i, j in zip(*np.unravel_index(order, inside.shape), strict=True):
        middle = places.pixels(np.array([x[j], y[i]]))
        box = places.box(middle, size)
        score = min(float(depth[i, j]), places.clearance(middle))
        if places.free(box) and (best is None or score > best[0]):
            best = (score, box)
    if best is not None:
        places.write(words, best[1], BODY)


def write_signs(fig: Figure, data: PitchMap, top: float) -> None:
    """Say below the map what hatching, grey and the dotted line mean."""
    height = float(fig.get_size_inches()[1]) * 25.4
    entries = [(f"{letter(i)}   {limit.name}", HATCHES[i % len(HATCHES)], "white")
               for i, limit in enumerate(data.limits)]  # fmt: skip
    entries += [(gap.name, "", fill) for gap, fill in zip(data.gaps, GAPS, strict=False)]
    if data.level is not None:
        entries.append((data.level_words, ":", "white"))
    for i, (words, sign, fill) in enumerate(entries):
        y = (top - SIGN * (i + 1)) / height
        swatch = fig.add_axes((10.0 / MIDDLE, y, 8.0 / MIDDLE, 3.4 / height))
        _swatch(swatch, sign, fill)
        fig.text(20.0 / MIDDLE, y + 1.7 / height, plain(words), va="center", size=SMALL)


def _swatch(ax: Axes, sign: str, fill: str) -> None:
    ax.set_xticks([])
    ax.set_yticks([])
    ax.set_xlim(0.0, 1.0)
    ax.set_ylim(0.0, 1.0)
    if sign == ":":
        ax.axis("off")
        ax.plot([0.0, 1.0], [0.5, 0.5], ls=":", lw=1.6, color=INK)
        return
    ax.add_patch(
        Rectangle((0.0, 0.0), 1.0, 1.0, facecolor=fill, hatch=2 * sign or None,
                  edgecolor=DARK, hatch_linewidth=0.5, lw=0.0)
    )  # fmt: skip
