"""The jacket in the section: lands, shell, holes, and their dimensions."""

from __future__ import annotations

import math
from itertools import pairwise

from jacketcalc.inputs import Jacket
from jacketcalc.report.figures.helix import TURN, Span, Winding
from jacketcalc.report.figures.section_view import FALLING, PORT_HEIGHT, RISING, SectionView
from jacketcalc.report.figures.sheet import Sheet, reach
from jacketcalc.report.figures.style import NARROW, WIDE


def openings(view: SectionView, winding: Winding, side: float) -> list[Span]:
    """Return the holes through the shell that the half-plane of one side meets."""
    angle, jacket, found = (0.0 if side > 0 else TURN / 2), view.part.stage.jacket, []
    assert jacket is not None
    holes = []
    if view.part.inlet_bore is not None:
        starts = range(jacket.starts)
        holes += [(winding.inlet, winding.begins(k), view.part.inlet_bore) for k in starts]
    holes.append((winding.vent, TURN * winding.turns, jacket.vent_bore))
    for place, at, bore in holes:
        off = (at - angle + TURN / 2) % TURN - TURN / 2
        chord = (bore / 2) ** 2 - (view.shell * math.sin(off)) ** 2
        if math.cos(off) > 0 and chord > 0:
            found.append(Span(start=place - math.sqrt(chord), end=place + math.sqrt(chord)))
    return sorted(found, key=lambda span: span.start)


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
    if jacket.land_joint == "shell":
        inner += jacket.tip_clearance
    else:
        outer -= jacket.tip_clearance
    slope = int(FALLING if jacket.land_joint == "shell" else RISING)
    for i, land in enumerate(winding.lands(angle)):
        cut(land.start, land.end, inner, outer, slope, f"land-{name}-{i}")
    for z0, z1, where in (
        (chamber.start - ring, chamber.start, "head"),
        (chamber.end, chamber.end + ring, "mount"),
    ):
        cut(z0, z1, view.outside, view.shell, FALLING, f"ring-{name}-{where}")
    edge = chamber.start - ring
    stops = [*openings(view, winding, side), Span(start=chamber.end + ring, end=math.inf)]
    for i, hole in enumerate(stops):
        cut(edge, hole.start, view.shell, view.shell_outside, FALLING, f"shell-{name}-{i}")
        edge = hole.end
    # Edges of the channel seen beyond the cut: the barrel's and the shell's surface.
    for radius in (view.outside, view.shell):
        y = Y(side * radius)
        sheet.line([(X(chamber.start), y), (X(chamber.end), y)], NARROW, order=1.3)


def put_port_arrows(sheet: Sheet, view: SectionView, winding: Winding) -> None:
    """Draw the feeding tube, and arrows at inlet and vent where they lie in the section."""
    jacket = view.part.stage.jacket
    assert jacket is not None
    X = view.X
    top = view.Y(view.shell_outside)
    if view.part.inlet_bore is not None:
        half = view.mm(view.part.inlet_bore / 2)
        for side in (-1.0, 1.0):
            x = X(winding.inlet) + side * half
            sheet.line([(x, top), (x, top + PORT_HEIGHT)], WIDE)
    x = X(winding.inlet)
    sheet.arrow([(x, top + PORT_HEIGHT + 1.5), (x, top - 1.0)], width=WIDE)
    off = (TURN * winding.turns + TURN / 2) % TURN - TURN / 2
    for side, angle in ((1.0, 0.0), (-1.0, TURN / 2)):
        if abs(abs(off) - angle) * view.shell < jacket.vent_bore / 2:
            edge = view.Y(side * view.shell_outside)
            x = X(winding.vent)
            sheet.arrow([(x, edge - side * 1.0), (x, edge + side * 5.0)], width=WIDE)


def put_jacket_dimensions(
    sheet: Sheet, view: SectionView, winding: Winding, jacket: Jacket
) -> None:
    X, shown = view.X, view.part.shown
    top = view.Y(view.shell_outside)
    first, second = top + 6.5, top + 13.0
    sheet.across(
        X(winding.first), X(winding.last), second, (top, top),
        f"{shown.length(jacket.wound_length)} wound", "dimension-wound",
    )  # fmt: skip
    inner = view.Y(view.shell)
    for z0, z1, words, gid in choose_dimensions(view, winding, jacket):
        sheet.across(X(z0), X(z1), first, (inner, inner), words, gid)


def channel_words(view: SectionView, jacket: Jacket) -> str:
    """Return the channel's width along the axis and its depth."""
    shown = view.part.shown
    return f"{shown.length(jacket.pitch - jacket.land)} × {shown.length(jacket.gap)}"


def choose_dimensions(
    view: SectionView, winding: Winding, jacket: Jacket
) -> list[tuple[float, float, str, str]]:
    """Choose lands to dimension pitch and channel between, clear of the ports and each other."""
    whole = [z for z in winding.lands(0.0) if z.end - z.start > 0.999 * jacket.land]
    pairs = list(pairwise(whole))
    if not pairs:
        return []
    target = winding.first + 0.62 * jacket.wound_length
    one, two = min(pairs, key=lambda p: abs((p[0].start + p[1].end) / 2 - target))
    pitch = ((one.start + one.end) / 2, (two.start + two.end) / 2)
    words = f"pitch {view.part.shown.length(jacket.pitch)}"
    row = [(*pitch, words, "dimension-pitch")]
    low = view.X(winding.first) + view.mm((view.part.inlet_bore or 0.0) / 2) + 1.5
    taken = reach(view.X(pitch[0]), view.X(pitch[1]), words)
    words = channel_words(view, jacket)
    for one, two in pairs:
        left, right = reach(view.X(one.end), view.X(two.start), words)
        if left > low and right < taken[0] + 0.1:
            return [*row, (one.end, two.start, words, "dimension-channel")]
    return row
