"""The jacket in the section: ribs, shell, holes, and their dimensions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from jacketcalc.geometry import axial_width
from jacketcalc.inputs import Jacket
from jacketcalc.report.figures.helix import TURN, AxialSpan, Hole, Winding
from jacketcalc.report.figures.section_view import FALLING, PORT_HEIGHT, RISING, SectionView
from jacketcalc.report.figures.sheet import Sheet, reach
from jacketcalc.report.figures.style import NARROW, WIDE

_TOGETHER = (1, 2, 3, 4, 5, 8)
"""Pitches that are dimensioned together, the fewest that make space for their words [-]."""


def openings(view: SectionView, winding: Winding, side: float) -> list[AxialSpan]:
    """Return the holes through the shell that the half-plane of one side meets."""
    found = []
    for hole in winding.holes:
        off = _off(hole, side)
        chord = (hole.bore / 2) ** 2 - (view.shell * math.sin(off)) ** 2
        if math.cos(off) > 0 and chord > 0:
            half = math.sqrt(chord)
            found.append(AxialSpan(start=hole.place - half, end=hole.place + half))
    return sorted(found, key=lambda span: span.start)


def _off(hole: Hole, side: float) -> float:
    """Return the angle between a hole and the half-plane of a side [rad]."""
    plane = 0.0 if side > 0 else TURN / 2
    return (hole.angle - plane + TURN / 2) % TURN - TURN / 2


def ports(view: SectionView, winding: Winding, side: float) -> list[Hole]:
    """Return the holes through whose middle, or nearly so, the half-plane of a side passes."""
    return [h for h in winding.holes if abs(_off(h, side)) * view.shell < h.bore / 2]


def put_half(
    sheet: Sheet, view: SectionView, winding: Winding, jacket: Jacket, side: float
) -> None:
    X, Y = view.X, view.Y
    name = "upper" if side > 0 else "lower"
    angle = 0.0 if side > 0 else TURN / 2

    def cut(z0: float, z1: float, r0: float, r1: float, slope: int, gid: str) -> None:
        low, high = sorted((Y(side * r0), Y(side * r1)))
        sheet.cut(X(z0), low, X(z1), high, slope, width=WIDE, spacing=1.0, gid=gid)

    chamber, ring = winding.chamber, winding.ring
    for span, flows in winding.channels(angle):
        if not flows:
            low, high = sorted((Y(side * view.outside), Y(side * view.shell)))
            sheet.box(X(span.start), low, X(span.end), high, fill="#DDDDDD", width=0.0, order=1.2)
    inner, outer = view.outside, view.shell
    if jacket.rib_joint == "shell":
        inner += jacket.tip_clearance
    else:
        outer -= jacket.tip_clearance
    slope = int(FALLING if jacket.rib_joint == "shell" else RISING)
    for i, rib in enumerate(winding.ribs(angle)):
        cut(rib.start, rib.end, inner, outer, slope, f"rib-{name}-{i}")
    for z0, z1, where in (
        (chamber.start - ring, chamber.start, "head"),
        (chamber.end, chamber.end + ring, "flange"),
    ):
        cut(z0, z1, view.outside, view.shell, FALLING, f"ring-{name}-{where}")
    edge = chamber.start - ring
    stops = [*openings(view, winding, side), AxialSpan(start=chamber.end + ring, end=math.inf)]
    for i, hole in enumerate(stops):
        cut(edge, hole.start, view.shell, view.shell_outside, FALLING, f"shell-{name}-{i}")
        edge = hole.end
    # Edges of the channel seen beyond the cut: the barrel's and the shell's surface.
    for radius in (view.outside, view.shell):
        y = Y(side * radius)
        sheet.line([(X(chamber.start), y), (X(chamber.end), y)], NARROW, order=1.3)


def put_port_arrows(sheet: Sheet, view: SectionView, winding: Winding) -> None:
    """Draw the feeding tubes, and arrows at the inlets and outlets that lie in the section."""
    for side, name in ((1.0, "upper"), (-1.0, "lower")):
        edge = view.Y(side * view.shell_outside)
        for i, hole in enumerate(ports(view, winding, side)):
            x, gid = view.X(hole.place), f"arrow-{name}-{i}"
            if not hole.feeds:
                path = [(x, edge - side * 1.0), (x, edge + side * 5.0)]
                sheet.arrow(path, width=WIDE, gid=gid)
                continue
            half = view.mm(stub_bore(view, hole) / 2)
            if view.part.tube_bore is not None:
                for way in (-half, half):
                    sheet.line([(x + way, edge), (x + way, edge + side * PORT_HEIGHT)], WIDE)
            path = [(x, edge + side * (PORT_HEIGHT + 1.5)), (x, edge - side * 1.0)]
            sheet.arrow(path, width=WIDE, gid=gid)


def stub_bore(view: SectionView, hole: Hole) -> float:
    """Return the bore of what is drawn before an inlet: the tube, or a manifold's branch [m]."""
    jacket = view.part.stage.jacket
    single = jacket is None or jacket.holes == 1
    return (view.part.tube_bore or hole.bore) if single else hole.bore


def put_jacket_dimensions(
    sheet: Sheet, view: SectionView, winding: Winding, jacket: Jacket
) -> None:
    X, shown = view.X, view.part.shown
    top = view.Y(view.shell_outside)
    first, second = top + 6.5, top + 13.0
    sheet.across(
        X(winding.first), X(winding.last), second, (top, top),
        f"{shown.length(jacket.length)} wound", "dimension-wound",
    )  # fmt: skip
    inner = view.Y(view.shell)
    for z0, z1, words, gid in choose_dimensions(view, winding, jacket):
        sheet.across(X(z0), X(z1), first, (inner, inner), words, gid)


def channel_words(view: SectionView, jacket: Jacket) -> str:
    """Return the channel's width along the axis and its depth."""
    shown = view.part.shown
    return f"{shown.length(axial_width(jacket.pitch, jacket.rib))} × {shown.length(jacket.gap)}"


def choose_dimensions(
    view: SectionView, winding: Winding, jacket: Jacket
) -> list[tuple[float, float, str, str]]:
    """Choose ribs to dimension pitch and channel between: words stand within their own gap.

    Where one pitch is too short for its words, several are dimensioned together; what finds no
    gap, clear of ports and of each other, is left to the notes.
    """
    whole = [z for z in winding.ribs(0.0) if z.end - z.start > 0.999 * jacket.rib]
    middles = [(z.start + z.end) / 2 for z in whole]
    taken = [_beside(view, hole) for hole in ports(view, winding, 1.0)]
    row = []
    for count in _TOGETHER:
        more = f"{count} × " if count > 1 else ""
        words = f"{more}pitch {view.part.shown.length(jacket.pitch)}"
        pairs = list(zip(middles, middles[count:], strict=False))
        if found := _clear(view, pairs, words, taken, winding.first + 0.62 * jacket.length):
            row.append((*found, words, "dimension-pitch"))
            taken.append((view.X(found[0]) - 0.3, view.X(found[1]) + 0.3))
            break
    words = channel_words(view, jacket)
    gaps = [(one.end, two.start) for one, two in pairwise(whole)]
    if found := _clear(view, gaps, words, taken, winding.first + 0.3 * jacket.length):
        row.append((*found, words, "dimension-channel"))
    return row


def _beside(view: SectionView, hole: Hole) -> tuple[float, float]:
    half = view.mm(max(stub_bore(view, hole), hole.bore) / 2) + 1.5
    return view.X(hole.place) - half, view.X(hole.place) + half


def _clear(
    view: SectionView,
    pairs: Sequence[tuple[float, float]],
    words: str,
    taken: Sequence[tuple[float, float]],
    target: float,
) -> tuple[float, float] | None:
    """Return the pair nearest a place whose words fit between, clear of what is taken."""
    fit = []
    for pair in pairs:
        x0, x1 = view.X(pair[0]), view.X(pair[1])
        free = all(x1 < low or x0 > high for low, high in taken)
        if free and reach(x0, x1, words) == (x0, x1):
            fit.append(pair)
    return min(fit, key=lambda pair: abs(sum(pair) / 2 - target), default=None)
