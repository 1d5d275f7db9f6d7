"""Where channels, ribs and dead corners of a helix lie, for section and unrolled view.

Without galleries the winding runs from inlet centre to outlet centre. A channel keeps its full
width at both, so the square-cut chamber reaches half a channel further at either end. What a
channel leaves of the chamber behind its inlet and beyond its outlet is a dead corner. Galleries
are grooves all round, into which channels open; the ribs end there. Angles count round the
barrel from the inlet; the hand of the helix is not part of a case, nor is the angle of a
gallery's outlet, drawn opposite the inlet.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jacketcalc.geometry import axial_width, helix_lead, helix_turns
from jacketcalc.inputs import Jacket

TURN = 2.0 * math.pi
"""One turn [rad]."""
CUT = -0.25 * TURN
"""Angle at which the unrolled view begins, a quarter turn before the inlet [rad]."""
PagePoint = tuple[float, float]
"""Axial place [m] and angle from the inlet [rad]."""


@dataclass(frozen=True, kw_only=True)
class AxialSpan:
    """An axial stretch."""

    start: float
    """From the barrel's head end [m]."""
    end: float
    """From the barrel's head end [m]."""


@dataclass(frozen=True, kw_only=True)
class Hole:
    """A hole through the shell."""

    place: float
    """Its centre, from the barrel's head end [m]."""
    angle: float
    """Its centre, round the barrel from the first inlet [rad]."""
    bore: float
    """Diameter [m]."""
    feeds: bool
    """Whether the exhaust enters there."""


class Winding:
    """The places of one jacket's helix."""

    def __init__(self, jacket: Jacket) -> None:
        self.jacket = jacket
        self.width = axial_width(jacket.pitch, jacket.rib)
        self.lead = helix_lead(jacket.pitch, jacket.starts)
        self.turns = helix_turns(jacket.length, self.lead)
        self.first = jacket.offset
        self.last = jacket.offset + jacket.length
        self.gallery = jacket.gallery_width
        reach = self.gallery or self.width / 2
        self.chamber = AxialSpan(start=self.first - reach, end=self.last + reach)
        self.core = AxialSpan(start=self.first, end=self.last) if self.gallery else self.chamber
        self.towards_flange = jacket.inlet_at == "head"
        self.inlet = self.first if self.towards_flange else self.last
        self.outlet = self.last if self.towards_flange else self.first
        self.ring = jacket.rib

    def centre(self, angle: float, start: int = 0) -> float:
        """Return the axial place of a start's centre line at an angle it has wound through."""
        sign = 1.0 if self.towards_flange else -1.0
        return self.inlet + sign * self.lead * angle / TURN

    @property
    def wound(self) -> tuple[float, float]:
        """Angles between which a channel carries the flow [rad]."""
        more = TURN * self.width / self.lead / 2 if self.gallery else 0.0
        return -more, TURN * self.turns + more

    @property
    def holes(self) -> list[Hole]:
        """Every hole through the shell, inlets first."""
        jacket, sign = self.jacket, 1.0 if self.towards_flange else -1.0
        starts = range(jacket.holes)
        end = TURN / 2 if self.gallery else TURN * self.turns
        out = sign * self.gallery / 2
        inlets = [
            Hole(place=self.inlet - out, angle=self.begins(k), bore=jacket.inlet_bore, feeds=True)
            for k in starts
        ]
        outlets = [
            Hole(place=self.outlet + out, angle=end + self.begins(k), bore=jacket.outlet_bore,
                 feeds=False)
            for k in starts
        ]  # fmt: skip
        return inlets + outlets

    def begins(self, start: int) -> float:
        """Return the angle round the barrel at which a start begins."""
        return TURN * start / self.jacket.starts

    def ribs(self, angle: float) -> list[AxialSpan]:
        """Return the ribs cut by a half-plane at an angle round the barrel."""
        at = self.centre(angle) + self.jacket.pitch / 2
        return self._repeat(at, self.jacket.rib)

    def channels(self, angle: float) -> list[tuple[AxialSpan, bool]]:
        """Return the channels cut by a half-plane, and whether the flow passes there."""
        spans = self._repeat(self.centre(angle), self.width)
        return [(span, self._on_path(span)) for span in spans]

    def _on_path(self, span: AxialSpan) -> bool:
        if self.gallery:
            return True
        whole = span.end - span.start > self.width * (1.0 - 1e-6)
        middle = (span.start + span.end) / 2
        slack = 1e-9
        return whole and self.first - slack <= middle <= self.last + slack

    def _repeat(self, at: float, width: float) -> list[AxialSpan]:
        pitch, inside = self.jacket.pitch, self.core
        lowest = math.ceil((inside.start - at - width / 2) / pitch + 1e-9)
        highest = math.floor((inside.end - at + width / 2) / pitch - 1e-9)
        spans = []
        for m in range(lowest, highest + 1):
            middle = at + m * pitch
            spans.append(
                AxialSpan(
                    start=max(middle - width / 2, inside.start),
                    end=min(middle + width / 2, inside.end),
                )
            )
        return spans

    def strip(self, start: int, begin: float, end: float) -> list[list[PagePoint]]:
        """Return the outline of a start's channel between two angles, wrapped into the view."""
        half, shift = self.width / 2, self.begins(start)
        one, two = self.centre(begin), self.centre(end)
        outline = [
            (one - half, shift + begin), (one + half, shift + begin),
            (two + half, shift + end), (two - half, shift + end),
        ]  # fmt: skip
        if self.gallery:
            outline = _keep(_keep(outline, self.first, 1.0, 0), self.last, -1.0, 0)
        return wrap(outline) if len(outline) > 2 else []

    def dead_corners(self, start: int) -> list[list[PagePoint]]:
        """Return the triangles behind a start's inlet and beyond its outlet, wrapped."""
        if self.gallery:
            return []
        half, shift = self.width / 2, self.begins(start)
        reach, end = TURN * self.width / self.lead, TURN * self.turns
        sign = 1.0 if self.towards_flange else -1.0
        behind = [
            (self.inlet - half, shift), (self.inlet + half, shift),
            (self.inlet - sign * half, shift - reach),
        ]  # fmt: skip
        beyond = [
            (self.outlet - half, shift + end), (self.outlet + half, shift + end),
            (self.outlet + sign * half, shift + end + reach),
        ]  # fmt: skip
        return wrap(behind) + wrap(beyond)

    def edges(self, start: int) -> list[list[PagePoint]]:
        """Return the lines where a start's channel meets its ribs, wrapped."""
        half, shift = self.width / 2, self.begins(start)
        reach, end = TURN * self.width / self.lead, TURN * self.turns
        sign = 1.0 if self.towards_flange else -1.0
        lines = []
        spans = ((sign, -reach, end), (-sign, 0.0, end + reach))
        if self.gallery:
            spans = ((sign, -reach / 2, end - reach / 2), (-sign, reach / 2, end + reach / 2))
        for side, one, two in spans:
            a = (self.centre(one) + side * half, shift + one)
            b = (self.centre(two) + side * half, shift + two)
            lines.extend(wrap_line(a, b))
        return lines + (self._rib_ends(shift, reach, end) if self.gallery else [])

    def _rib_ends(self, shift: float, reach: float, end: float) -> list[list[PagePoint]]:
        """Return the lines where the rib behind a start ends at either gallery, wrapped."""
        lines = []
        for place, at in ((self.inlet, shift), (self.outlet, shift + end)):
            low, high = at + reach / 2, at + TURN / self.jacket.starts - reach / 2
            lines.extend(wrap_line((place, low), (place, high)))
        return lines


def wrap_line(a: PagePoint, b: PagePoint) -> list[list[PagePoint]]:
    """Cut a line wherever it leaves the unrolled view, and bring the pieces back into it."""
    pieces = []
    for turn in range(_band(a[1]), _band(b[1] - 1e-9) + 1):
        low, high = CUT + turn * TURN, CUT + (turn + 1) * TURN
        ends = [_at(a, b, min(max(angle, a[1]), b[1])) for angle in (low, high)]
        pieces.append([(z, angle - turn * TURN) for z, angle in ends])
    return pieces


def wrap(outline: Sequence[PagePoint]) -> list[list[PagePoint]]:
    """Cut a convex outline wherever it leaves the unrolled view, and bring the pieces back."""
    angles = [angle for _, angle in outline]
    pieces = []
    for turn in range(_band(min(angles)), _band(max(angles) - 1e-9) + 1):
        low, high = CUT + turn * TURN, CUT + (turn + 1) * TURN
        part = _keep(_keep(list(outline), low, 1.0), high, -1.0)
        if len(part) > 2:
            pieces.append([(z, angle - turn * TURN) for z, angle in part])
    return pieces


def _band(angle: float) -> int:
    return math.floor((angle - CUT) / TURN + 1e-12)


def _at(a: PagePoint, b: PagePoint, angle: float, axis: int = 1) -> PagePoint:
    share = (angle - a[axis]) / (b[axis] - a[axis])
    return a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])


def _keep(outline: list[PagePoint], limit: float, sign: float, axis: int = 1) -> list[PagePoint]:
    """Return the part of a convex outline on one side of an angle, or of a place (axis 0)."""
    out: list[PagePoint] = []
    for here, ahead in zip(outline, outline[1:] + outline[:1], strict=True):
        inside, next_inside = (sign * (spot[axis] - limit) >= 0 for spot in (here, ahead))
        if inside:
            out.append(here)
        if inside != next_inside:
            out.append(_at(here, ahead, limit, axis))
    return out
