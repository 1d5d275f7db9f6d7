"""Holes of the unrolled passage, and arrows that say where the air enters and leaves."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.patches import Rectangle

from jacketcalc.report.figures.helix import CUT, TURN, PagePoint, Winding
from jacketcalc.report.figures.section_view import SectionView
from jacketcalc.report.figures.sheet import Sheet
from jacketcalc.report.figures.style import FULL, WIDE

_RISES = (5.5, -5.5, 8.0, -8.0, 10.5, -10.5)
"""Heights of an arrow's words over its hole, in order of preference [mm]."""
_LINE = 2.0
"""Distance at which a line or a word stays apart from another word [mm]."""
_MARKS = 9.0
"""How far from the words of an arrow the frame begins [mm]."""


class UnrolledView:
    """Places the unrolled passage: `spot` turns axial place and angle into paper."""

    def __init__(self, view: SectionView, winding: Winding, bottom: float) -> None:
        self.view, self.winding, self.bottom = view, winding, bottom
        self.height = view.mm(math.pi * (view.outside + view.shell))

    @property
    def top(self) -> float:
        """Upper edge [mm]."""
        return self.bottom + self.height

    def spot(self, spot: PagePoint) -> tuple[float, float]:
        """Return where a place on the passage is drawn [mm]."""
        z, angle = spot
        return self.view.X(z), self.bottom + self.height * (angle - CUT) / TURN


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A hole on the sheet."""

    middle: tuple[float, float]
    """Its centre [mm]."""
    radius: float
    """Its radius [mm]."""
    feeds: bool
    """Whether the exhaust enters there."""


def put_holes(sheet: Sheet, flat: UnrolledView) -> list[Drawn]:
    """Draw every hole, on both edges where the view cuts it; return each once."""
    clip = Rectangle((0.0, flat.bottom), FULL, flat.height, transform=sheet.ax.transData)
    found, count = [], {True: 0, False: 0}
    for hole in flat.winding.holes:
        base, radius = CUT + (hole.angle - CUT) % TURN, flat.view.mm(hole.bore / 2)
        name = f"{'inlet' if hole.feeds else 'outlet'}-{count[hole.feeds]}"
        count[hole.feeds] += 1
        for turn in (0.0, -TURN, TURN):
            x, y = flat.spot((hole.place, base + turn))
            if flat.bottom - radius < y < flat.top + radius:
                gid = name if turn == 0.0 else f"{name}-again"
                for style in ({"edge": "white", "width": 3 * WIDE, "order": 3.9}, {"gid": gid}):
                    circle = sheet.circle(x, y, radius, **{"width": WIDE, **style})
                    circle.set_clip_path(clip)
        middle = flat.spot((hole.place, base))
        found.append(Drawn(middle=middle, radius=radius, feeds=hole.feeds))
    return found


def put_flow_arrows(sheet: Sheet, flat: UnrolledView, holes: Sequence[Drawn]) -> None:
    """Draw one arrow into the first inlet and one out of the first outlet, with the air's state."""
    winding, part, X = flat.winding, flat.view.part, flat.view.X
    jacket = part.outcome.jacket if part.outcome is not None else None
    left = X(winding.chamber.start - winding.ring) - 9.0
    right = X(winding.chamber.end + winding.ring) + 7.0
    for feeds in (True, False):
        same = [hole for hole in holes if hole.feeds == feeds]
        at_left = winding.towards_flange == feeds
        outer = left if at_left else right
        hole, rise = _choose(flat, same, outer)
        y = hole.middle[1]
        elbow = (outer + (3.0 if at_left else -3.0), y + rise)
        path = [(outer, y + rise), elbow, _rim(hole, elbow)]
        sheet.line(path, 0.7, colour="white", order=4.4)
        gid = f"arrow-{'in' if feeds else 'out'}"
        sheet.arrow(path if feeds else path[::-1], width=WIDE, gid=gid)
        words = "in" if feeds else "out"
        if jacket is not None:
            T = jacket.inlet_temperature if feeds else jacket.outlet_temperature
            words += f" {part.shown.temperature(T)}"
        sheet.text(
            outer + (-0.8 if at_left else 0.8), y + rise, words, ha="right" if at_left else "left"
        )


def _choose(flat: UnrolledView, holes: Sequence[Drawn], outer: float) -> tuple[Drawn, float]:
    """Return a hole, and a height over it, at which words and arrow meet no angle's mark."""
    marks = [flat.spot((0.0, CUT + quarter * TURN / 4))[1] for quarter in range(5)]

    def space(hole: Drawn, rise: float) -> float:
        y = hole.middle[1] + rise
        if not flat.bottom <= y <= flat.top - 2.0:
            return -math.inf
        # From the elbow to where the frame begins the arrow passes the marks of angles.
        reach = _MARKS / abs(hole.middle[0] - outer)
        passed = y - reach * rise
        low, high = min(y, passed) - _LINE, max(y, passed) + _LINE
        return min(max(low - m, m - high) for m in marks)

    options = [(hole, rise) for hole in holes for rise in _RISES]
    return next((o for o in options if space(*o) >= 0.0), max(options, key=lambda o: space(*o)))


def _rim(hole: Drawn, towards: tuple[float, float]) -> tuple[float, float]:
    """Return the place on a hole's rim that faces a point [mm]."""
    (x, y), far = hole.middle, math.dist(hole.middle, towards)
    share = min(hole.radius / far, 1.0)
    return x + share * (towards[0] - x), y + share * (towards[1] - y)
