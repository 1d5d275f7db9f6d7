"""A stage with its jacket, cut through the axis, drawn to scale from the case alone."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from matplotlib.figure import Figure

from jacketcalc.geometry import axial_width, barrel_outside
from jacketcalc.inputs import Jacket
from jacketcalc.report.figures.helix import Hole, Winding
from jacketcalc.report.figures.number_labels import trimmed
from jacketcalc.report.figures.section_jacket import (
    channel_words,
    choose_dimensions,
    ports,
    put_half,
    put_jacket_dimensions,
    put_port_arrows,
)
from jacketcalc.report.figures.section_view import (
    FALLING,
    LEFT,
    RISING,
    SectionView,
    choose_scale,
    put_scale,
)
from jacketcalc.report.figures.sheet import Sheet, fits_upright
from jacketcalc.report.figures.stage_part import StagePart
from jacketcalc.report.figures.style import (
    FULL,
    GREY_WORDS,
    INK,
    NARROW,
    SMALL,
    VERMILION,
    VERMILION_WORDS,
    WIDE,
    styled,
)

_OFF = 2.0
"""Least distance between a leader and an arrow [mm]."""


def draw_section(part: StagePart) -> Figure:
    """Draw the section alone."""
    with styled():
        view = SectionView(part, choose_scale(part, unrolled=False))
        under = 13.0 - (temperature_row(view) - view.Y(-view.shell_outside))
        low = 2 * view.mm(view.shell_outside) + under
        sheet = Sheet(FULL, low + 22.0)
        view.middle = under + view.mm(view.shell_outside)
        put_section(sheet, view)
        put_scale(sheet, view, 5.0)
        return sheet.figure


def put_section(sheet: Sheet, view: SectionView) -> None:
    """Draw the section on a sheet, round the view's middle line."""
    _body(sheet, view)
    _piston(sheet, view)
    if view.winding is not None and view.part.stage.jacket is not None:
        for side in (1.0, -1.0):
            put_half(sheet, view, view.winding, view.part.stage.jacket, side)
        put_port_arrows(sheet, view, view.winding)
        put_jacket_dimensions(sheet, view, view.winding, view.part.stage.jacket)
    _diameters(sheet, view)
    _temperatures(sheet, view)
    _notes(sheet, view)
    begin, end = view.X(view.begin) - 4.0, view.X(view.end) + 5.0
    sheet.line([(begin, view.middle), (end, view.middle)], kind="centre", order=4.0)


def _body(sheet: Sheet, view: SectionView) -> None:
    stage, X, Y = view.part.stage, view.X, view.Y
    for side, name in ((1.0, "upper"), (-1.0, "lower")):
        low, high = sorted((Y(side * view.bore), Y(side * view.outside)))
        sheet.cut(
            X(0.0), low, X(stage.barrel_length), high, RISING, width=WIDE, gid=f"barrel-{name}"
        )
    head = (X(-stage.head_thickness), Y(-view.outside), X(0.0), Y(view.outside))
    sheet.cut(*head, FALLING, spacing=1.0, width=WIDE, gid="head")
    for share, way in ((0.5, 1.0), (-0.5, -1.0)):
        y, before = Y(share * view.bore), X(-stage.head_thickness)
        path = [(before - 4.5, y), (X(0.0) + 2.5, y)]
        sheet.line(path, 1.6, colour="white", order=2.5)
        sheet.arrow(path if way > 0 else path[::-1], size=1.7)
        words = "suction" if way > 0 else "delivery"
        if view.mm(view.bore) > 2.9:
            sheet.text(before - 5.2, y, words, ha="right", size=7.0)


def _piston(sheet: Sheet, view: SectionView) -> None:
    part, X, Y = view.part, view.X, view.Y
    crown, back = part.crown, part.crown + part.stage.piston_length
    play = 0.2
    low, high = Y(-view.bore) + play, Y(view.bore) - play
    out = X(max(part.stage.barrel_length, back)) + 3.0
    collides = part.rod > part.stage.bore
    rod = part.rod / 2
    if collides:
        corners = [(X(back), Y(rod)), (out, Y(rod)), (out, Y(-rod)), (X(back), Y(-rod))]
        sheet.line([*corners, corners[0]], WIDE, "dashed", VERMILION, order=4.0)
    else:
        sheet.box(X(back), Y(-rod), out, Y(rod), fill="#F3F3F3", width=0.0, gid="rod")
        for y in (Y(rod), Y(-rod)):
            sheet.line([(X(back), y), (out, y)], WIDE)
        wave = np.linspace(-1.0, 1.0, 21)
        edge = [(out + 0.5 * math.sin(math.pi * w), Y(rod * w)) for w in wave]
        sheet.line(edge, NARROW)
    sheet.box(X(crown), low, X(back), high, fill="#F3F3F3", width=WIDE, gid="piston")
    length = X(back) - X(crown)
    for share in (0.16, 0.34):
        x, wide, deep = X(crown) + share * length, 0.09 * length, min(0.1 * length, 1.2)
        for top, bottom in ((high + play, high - deep), (low + deep, low - play)):
            sheet.box(x, bottom, x + wide, top, fill="#333333", width=0.0, order=3.0)


def _diameters(sheet: Sheet, view: SectionView) -> None:
    stage, shown = view.part.stage, view.part.shown
    end = view.X(stage.barrel_length)
    edge = view.X(view.end)
    x = 9.0
    for radius, gid in ((view.bore, "bore"), (view.outside, "barrel")):
        words = f"⌀{shown.length(2 * radius)}"
        low, high = view.Y(-radius), view.Y(radius)
        sheet.upright(edge + x, low, high, (end, end), words, f"dimension-{gid}")
        x += 7.5 if fits_upright(words, high - low) else 12.5


def _temperatures(sheet: Sheet, view: SectionView) -> None:
    """Write wall temperatures below the section, on leaders from the places they belong to."""
    part = view.part
    detail, shown, X, Y = part.detail, part.shown, view.X, view.Y
    if detail is None:
        return
    struck = [X(h.place) for h in _lower_ports(view)]
    row = temperature_row(view)
    length = part.stage.barrel_length
    count = int(np.clip(view.mm(length) / 16.0, 2, 5))
    for share in np.linspace(0.0, 1.0, count):
        node = round(float(share) * (len(detail.wall_position) - 1))
        node = _off_arrows(view, node, struck)
        x = X(float(detail.wall_position[node]))
        sheet.leader([(x, row + 1.8), (x, Y(-view.bore) - 0.2)])
        sheet.text(x, row, shown.temperature(float(detail.wall_inside[node])), ha="center")
    left = X(float(detail.wall_position[0])) - 6.5
    sheet.text(min(LEFT - 2.0, left), row, "barrel inside", ha="right", color="#333333")
    _inner_words(sheet, view)


def _lower_ports(view: SectionView) -> list[Hole]:
    return [] if view.winding is None else ports(view, view.winding, -1.0)


def temperature_row(view: SectionView) -> float:
    """Return the height of the barrel's temperatures, below whatever the lower side shows [mm]."""
    return view.Y(-view.shell_outside) - (11.5 if _lower_ports(view) else 5.0)


def _off_arrows(view: SectionView, node: int, struck: Sequence[float]) -> int:
    """Return the node nearest to one whose leader keeps off the ports' arrows."""
    assert view.part.detail is not None
    x = [view.X(float(z)) for z in view.part.detail.wall_position]
    clear = [i for i, at in enumerate(x) if all(abs(at - s) > _OFF for s in struck)]
    return min(clear, key=lambda i: abs(i - node), default=node)


def _inner_words(sheet: Sheet, view: SectionView) -> None:
    """Write the head's temperature on a leader, and gas and crown into the working space."""
    part, X, Y = view.part, view.X, view.Y
    detail, shown = part.detail, part.shown
    assert detail is not None
    head, high = X(-part.stage.head_thickness), Y(view.outside)
    sheet.leader([(LEFT - 9.0, high + 5.0), (head + 1.0, high - 0.8)])
    sheet.text(
        LEFT - 9.5, high + 6.0,
        f"head\n{shown.temperature(detail.head_temperature)}", ha="right", linespacing=1.05,
    )  # fmt: skip
    if not _roomy(view):
        return
    crown = X(part.crown)
    if part.outcome is not None:
        words = (
            f"compression starts at {shown.temperature(part.outcome.compression_start_temperature)}"
        )
        sheet.text(crown - 4.0, Y(0.5 * view.bore), words, ha="right")
    low = Y(-0.5 * view.bore)
    sheet.leader([(crown - 3.4, low), (crown + 0.2, low)])
    sheet.text(crown - 4.0, low, f"crown {shown.temperature(detail.crown_temperature)}", ha="right")


def _roomy(view: SectionView) -> bool:
    """Whether words fit between head and crown."""
    return view.X(view.part.crown) - view.X(0.0) > 25.0 and view.mm(view.bore) > 2.9


def _notes(sheet: Sheet, view: SectionView) -> None:
    """Write beside the section what has no dimension line, and what does not fit together."""
    part, shown, stage = view.part, view.part.shown, view.part.stage
    jacket = stage.jacket
    lines: list[tuple[str, str]] = []
    if jacket is not None:
        if part.passage is not None:
            inside = part.passage.shell_temperature
            words = shown.temperatures(float(inside.min()), float(inside.max()))
            lines.append((f"shell inside {words}", INK))
        drawn = [] if view.winding is None else choose_dimensions(view, view.winding, jacket)
        if len(drawn) < 1:
            lines.append((f"pitch {shown.length(jacket.pitch)}", INK))
        lines.append((f"channel {channel_words(view, jacket)}", INK))
        rib, shell = shown.length(jacket.rib), shown.length(jacket.shell_thickness)
        lines.append((f"rib {rib}, shell {shell}", INK))
        lines.append((f"tip clearance {shown.length(jacket.tip_clearance)}", INK))
        lines += [(words, INK) for words in hole_words(part, jacket)]
    if part.detail is not None and not _roomy(view):
        words = shown.temperature(part.detail.crown_temperature)
        if part.outcome is not None:
            start = part.outcome.compression_start_temperature
            words += f", compression starts at {shown.temperature(start)}"
        lines.append((f"crown {words}", INK))
    lines += [(words, VERMILION_WORDS) for words in misfits(part)]
    y = view.Y(view.shell_outside) - 1.0
    unit = "mm" if shown.system == "SI" else "inches"
    sheet.text(view.notes, y + 4.4, f"dimensions in {unit}", color=GREY_WORDS, size=SMALL)
    for i, (words, colour) in enumerate(lines):
        sheet.text(view.notes, y - 4.0 * i, words, color=colour)


def hole_words(part: StagePart, jacket: Jacket) -> list[str]:
    """Say how many holes feed and empty the jacket, how wide they are, and what they open into."""
    shown = part.shown
    lines = []
    for name, bore in (("inlet", jacket.inlet_bore), ("outlet", jacket.outlet_bore)):
        many = f"{jacket.holes} {name}s" if jacket.holes > 1 else name
        lines.append(f"{many} ⌀{trimmed(shown.value(bore, 'length'), 3)}")
    if jacket.gallery_width:
        lines.append(f"galleries {trimmed(shown.value(jacket.gallery_width, 'length'), 3)} wide")
    return lines


def misfits(part: StagePart) -> list[str]:
    """Say in words what in the case does not fit together in the drawing."""
    stage, shown, found = part.stage, part.shown, []
    if part.rod > stage.bore:
        found.append(f"rod ⌀{shown.length(part.rod)} is thicker than the bore")
    if stage.jacket is not None:
        winding = Winding(stage.jacket)
        before = winding.ring - winding.chamber.start
        after = winding.chamber.end + winding.ring - stage.barrel_length
        if before > 1e-9:
            found.append(f"jacket {trimmed(shown.value(before, 'length'), 3)} past the head end")
        if after > 1e-9:
            found.append(f"jacket {trimmed(shown.value(after, 'length'), 3)} past the flange end")
    return found


def describe_section(part: StagePart) -> str:
    """Say in words what the section shows."""
    stage, shown, jacket = part.stage, part.shown, part.stage.jacket
    unit = shown.unit("length")
    words = [
        f"Section through stage {stage.name}: bore {shown.length(stage.bore)} {unit}, barrel "
        f"outside {shown.length(barrel_outside(stage))} {unit}, barrel length "
        f"{shown.length(stage.barrel_length)} {unit}."
    ]
    if jacket is None:
        words.append("It has no jacket.")
    else:
        words.append(
            f"Its jacket winds over {shown.length(jacket.length)} {unit} at a pitch of "
            f"{shown.length(jacket.pitch)} {unit}, channel "
            f"{shown.length(axial_width(jacket.pitch, jacket.rib))} {unit} wide and "
            f"{shown.length(jacket.gap)} {unit} deep, rib {shown.length(jacket.rib)} {unit}, "
            f"shell {shown.length(jacket.shell_thickness)} {unit}, "
            f"{', '.join(hole_words(part, jacket))}."
        )
    if part.detail is not None:
        inside = part.detail.wall_inside
        words.append(
            f"The barrel's inside is at {shown.temperatures(float(inside[0]), float(inside[-1]))} "
            f"from head to flange, the head at {shown.temperature(part.detail.head_temperature)}, "
            f"the piston crown at {shown.temperature(part.detail.crown_temperature)}."
        )
    words += [f"Note: {found}." for found in misfits(part)]
    return " ".join(words)
