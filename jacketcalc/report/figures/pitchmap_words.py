"""Words on the map: marks, contour values and letters, each where nothing else is."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.contour import QuadContourSet
from matplotlib.patheffects import withStroke
from matplotlib.transforms import Bbox

from jacketcalc.arrays import Array
from jacketcalc.report.figures.labels import renderer_of
from jacketcalc.report.figures.number_labels import number, signed
from jacketcalc.report.figures.pitchmap_data import PitchMap
from jacketcalc.report.figures.pitchmap_field import points_of
from jacketcalc.report.figures.style import BODY, INK, SMALL

_SIDES = ((1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0), (1.0, 0.0), (-1.0, 0.0),
          (0.0, 1.0), (0.0, -1.0))  # fmt: skip
MARK = 6.0
"""Distance from a mark to its name [pt]."""
CLEAR = 3.0
"""Distance kept from other words [pixel]."""
APART = 7.0
"""Distance a contour's value keeps from other contours [pixel]."""


class Places:
    """A panel and what of it is taken, in pixels."""

    def __init__(self, ax: Axes) -> None:
        figure = ax.get_figure(root=True)
        assert figure is not None
        self.ax, self.renderer = ax, renderer_of(figure)
        self.frame = ax.get_window_extent()
        self.taken: list[Bbox] = []

    def pixels(self, points: Array) -> Array:
        """Return points of the panel's data in pixels."""
        return np.asarray(self.ax.transData.transform(points), dtype=float)

    def size(self, words: str, size: float) -> tuple[float, float]:
        """Return the width and height of words."""
        probe = self.ax.text(0.0, 0.0, words, size=size)
        box = probe.get_window_extent(self.renderer)
        probe.remove()
        return box.width, box.height

    def box(self, middle: Array, size: tuple[float, float]) -> Bbox:
        """Return the box of words round a place."""
        (x, y), (w, h) = middle, size
        return Bbox.from_extents(x - w / 2, y - h / 2, x + w / 2, y + h / 2)

    def free(self, box: Bbox) -> bool:
        """Return whether a box stands inside the panel, clear of what is taken."""
        wide = box.padded(CLEAR)
        return self.depth(box) >= CLEAR and not any(wide.overlaps(other) for other in self.taken)

    def depth(self, box: Bbox) -> float:
        """Return the distance from a box to the nearest edge, negative across it."""
        frame = self.frame
        edges = (box.x0 - frame.x0, frame.x1 - box.x1, box.y0 - frame.y0, frame.y1 - box.y1)
        return float(min(edges))

    def clearance(self, middle: Array) -> float:
        """Return the distance from a place to what is taken."""
        found = [
            float(np.hypot(max(b.x0 - middle[0], 0.0, middle[0] - b.x1),
                           max(b.y0 - middle[1], 0.0, middle[1] - b.y1)))
            for b in self.taken
        ]  # fmt: skip
        return min(found, default=1e3)

    def write(self, words: str, box: Bbox, size: float) -> None:
        """Write words into a box, and take it."""
        self.taken.append(box)
        x, y = self.ax.transData.inverted().transform(((box.x0 + box.x1) / 2,
                                                       (box.y0 + box.y1) / 2))  # fmt: skip
        self.ax.text(x, y, words, size=size, ha="center", va="center", color=INK, zorder=6.0,
                     path_effects=[withStroke(linewidth=2.4, foreground="white")])  # fmt: skip


def mark_spots(places: Places, data: PitchMap) -> None:
    """Mark the drawn and the best design, and name them."""
    parts = [(spot, f"drawn, {stage}", "white") for stage, spot in data.drawn_parts]
    spots = [(data.drawn, "drawn", "white"), *parts, (data.best, "best", INK)]
    found = []
    for spot, words, fill in spots:
        if spot is None:
            continue
        at = (data.shown.value(spot[0], "length"), data.shown.value(spot[1], "length"))
        style = "D" if words == "best" else "o"
        places.ax.plot(*at, style, ms=5.5, mfc=fill, mec=INK, mew=1.2, zorder=6.0, clip_on=False)
        middle = places.pixels(np.array(at))
        places.taken.append(places.box(middle, (8.0, 8.0)))
        found.append((middle, words))
    for middle, words in found:
        _name_spot(places, middle, words)


def _name_spot(places: Places, middle: Array, words: str) -> None:
    """Name a mark at the first of its sides that is free."""
    w, h = places.size(words, BODY)
    gap = MARK * places.ax.figure.dpi / 72.0
    options = [
        places.box(middle + np.array([right * (w / 2 + gap), up * (h / 2 + gap)]), (w, h))
        for right, up in _SIDES
    ]
    places.write(words, next((box for box in options if places.free(box)), options[0]), BODY)


def label_contours(places: Places, data: PitchMap, drawn: QuadContourSet | None) -> None:
    """Write the value of each contour where it stands clear; the key tells those without space."""
    if drawn is None:
        return
    lines = [points_of(places.ax, segments) for segments in drawn.allsegs]
    whole = all(float(level).is_integer() for level in drawn.levels)
    for i, level in enumerate(drawn.levels):
        words = (signed if data.change else number)(float(level), 0 if whole else 1)
        size = places.size(words, SMALL)
        others = [line for j, line in enumerate(lines) if j != i and len(line)]
        best: tuple[float, Bbox] | None = None
        for middle in lines[i]:
            box = places.box(middle, size)
            if not places.free(box):
                continue
            away = min((float(np.hypot(*(line - middle).T).min()) for line in others), default=1e3)
            if away < APART + size[1] / 2:
                continue
            score = min(away, places.clearance(middle), 0.5 * places.depth(box))
            if best is None or score > best[0]:
                best = (score, box)
        if best is not None:
            places.write(words, best[1], SMALL)
