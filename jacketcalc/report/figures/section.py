"""A stage with its jacket, cut through the axis, drawn to scale from the case alone."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from matplotlib.figure import Figure

from jacketcalc.geometry import axial_width, barrel_outside
from jacketcalc.report.figures.helix import Hole
from jacketcalc.report.figures.section_jacket import (
    ports,
    put_half,
    put_jacket_dimensions,
    put_port_arrows,
)
from jacketcalc.report.figures.section_notes import (
    fit_beside,
    hole_words,
    misfits,
    notes_height,
    put_notes,
    roomy,
)
from jacketcalc.report.figures.section_view import (
    COLUMNS,
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
    NARROW,
    VERMILION,
    WIDE,
    styled,
)

_SCALE = 8.0
"""Height of the scale and its words below notes beside the drawing [mm]."""
_OFF = 2.0
"""Least distance between a leader and an arrow [mm]."""


def draw_section(part: StagePart) -> Figure:
    """Draw the section alone."""
    with styled():
        view = SectionView(part, choose_scale(part, unrolled=False))
        hangs, tall = (
            view.Y(-view.shell_outside) - temperature_row(view),
            2 * view.mm(view.shell_outside),
        )
        view.beside = fit_beside(view, tall + hangs + 13.0 - _SCALE)
        under = hangs + (13.0 if view.beside else 3.0)
        low = tall + under
        sheet = Sheet(FULL, low + 22.0, floor=0.0 if view.beside else -notes_height(view, 2))
        view.middle = under + view.mm(view.shell_outside)
        put_section(sheet, view)
        put_notes(sheet, view, columns=2)
        put_scale(sheet, view, (view.notes, 5.0) if view.beside else (COLUMNS[-1], -6.0))
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
    if not roomy(view):
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
