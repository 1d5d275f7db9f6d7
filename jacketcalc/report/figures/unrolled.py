"""The jacket's passage unrolled at mid-depth, drawn below the section on the same axial scale."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import groupby

import matplotlib as mpl
import numpy as np
from matplotlib.collections import LineCollection, PolyCollection
from matplotlib.colors import Normalize, to_hex
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from jacketcalc.arrays import Array
from jacketcalc.inputs import Jacket
from jacketcalc.report.figures.helix import CUT, TURN
from jacketcalc.report.figures.number_labels import number, trimmed
from jacketcalc.report.figures.section import describe_section, put_section, temperature_row
from jacketcalc.report.figures.section_notes import (
    BELOW,
    LINE,
    fit_beside,
    notes_height,
    put_notes,
)
from jacketcalc.report.figures.section_view import COLUMNS, SectionView, choose_scale, put_scale
from jacketcalc.report.figures.sheet import Sheet, SheetPoint
from jacketcalc.report.figures.stage_part import StagePart
from jacketcalc.report.figures.style import FULL, INK, NARROW, SMALL, WIDE, points, styled
from jacketcalc.report.figures.unrolled_ports import (
    Drawn,
    UnrolledView,
    put_flow_arrows,
    put_holes,
)

MAP = mpl.colormaps["cividis"]
CELLS = 160
"""Coloured cells of a turn; fewer where there are very many turns [-]."""
MOST_CELLS = 2400
"""Cells of a whole drawing [-]."""
SHADES = 60
"""Steps of the colour scale: neighbours are told apart by nobody [-]."""
FLAT_BOTTOM = 5.0
"""Height at which an unrolled passage begins [mm]."""
_FLAT_NOTES = 48.0
"""Least height of the first note beside it, over key and scale [mm]."""
_LABEL = 3.3
"""Least distance of the angles written beside it [mm]."""
_NOTES = 31.0
"""Height of key and scale below a drawing that has no room beside it [mm]."""


_TRIES = (0.0, 0.08, -0.08, 0.16, 0.24, 0.32)
"""Turns by which a word on the passage moves to keep off an isotherm [-]."""
_APART = 2.0
"""Distance from an isotherm at which a word is clear of it [mm]."""
_HALF_WORD = 4.5
"""Half the length of a word on the passage [mm]."""


def draw_stage(part: StagePart) -> Figure:
    """Draw section and, where there is a jacket, unrolled passage below it."""
    with styled():
        view = SectionView(part, choose_scale(part, unrolled=True))
        jacket = part.stage.jacket
        flat_height = view.mm(math.pi * (view.outside + view.shell)) if jacket else 0.0
        under = flat_height + 17.0 if jacket else 3.0
        low = under + 1.0 + view.Y(-view.shell_outside) - temperature_row(view)
        view.beside = _beside(view, low, flat_height)
        floor = (
            0.0
            if view.beside
            else -max(notes_height(view, 1), _NOTES if jacket else BELOW + 2 * LINE)
        )
        sheet = Sheet(FULL, low + 2 * view.mm(view.shell_outside) + 21.0, floor=floor)
        view.middle = low + view.mm(view.shell_outside)
        put_section(sheet, view)
        put_notes(sheet, view)
        if jacket is not None and view.winding is not None:
            flat = UnrolledView(view, view.winding, FLAT_BOTTOM)
            _passage(sheet, flat, jacket)
            _frame(sheet, flat)
            lines = _isotherms(sheet, flat)
            holes = put_holes(sheet, flat)
            put_flow_arrows(sheet, flat, holes)
            _words(sheet, flat, jacket, lines, holes)
        put_scale(sheet, view, (view.notes, 4.0) if view.beside else (COLUMNS[-1], floor + 4.0))
        return sheet.figure


def _beside(view: SectionView, low: float, flat_height: float) -> bool:
    """Return whether all notes have room beside section and unrolled passage.

    Parameters
    ----------
    view : where the section stands
    low : height of the shell's lower edge [mm]
    flat_height : height of the unrolled passage, 0 where there is none [mm]
    """
    tall = low + 2 * view.mm(view.shell_outside) - _notes_top(flat_height) - 4.4 - LINE
    if not flat_height:
        return fit_beside(view, low + 2 * view.mm(view.shell_outside) - 9.0)
    return fit_beside(view, tall) and _notes_top(flat_height) >= _FLAT_NOTES


def _notes_top(flat_height: float) -> float:
    """Return the height of the first note beside an unrolled passage [mm]."""
    return min(FLAT_BOTTOM + flat_height - 2.0, FLAT_BOTTOM + 62.0)


def _air(part: StagePart) -> tuple[Array, Array] | None:
    """Return shares of the path and the air's temperature there."""
    if part.passage is None:
        return None
    return np.linspace(0.0, 1.0, len(part.passage.temperature)), part.passage.temperature


def _colours(part: StagePart) -> Normalize | None:
    air = _air(part)
    if air is None:
        return None
    low, high = float(air[1].min()), float(air[1].max())
    return Normalize(low, max(high, low + 0.5))


def _passage(sheet: Sheet, flat: UnrolledView, jacket: Jacket) -> None:
    winding, part = flat.winding, flat.view.part
    begin, end = winding.wound
    turns = (end - begin) / TURN
    per_turn = min(CELLS, int(MOST_CELLS / (turns * jacket.starts)) + 4)
    cells = max(8, math.ceil(per_turn * turns))
    marks = np.linspace(begin, end, cells + 1)
    shapes, fills = [], []
    runs = list(_runs(_fills(part, (marks[1:] + marks[:-1]) / 2 / (TURN * winding.turns))))
    for start in range(jacket.starts):
        for first, last, fill in runs:
            # Each piece reaches under the next: edges that only touch show paper between them.
            ahead = float(marks[min(last + 2, cells)])
            for piece in winding.strip(start, float(marks[first]), ahead):
                shapes.append([flat.spot(s) for s in piece])
                fills.append(fill)
    sheet.ax.add_collection(
        PolyCollection(shapes, facecolors=fills, edgecolors="none", antialiaseds=False, zorder=2.0),
        autolim=False,
    )
    _galleries(sheet, flat)
    for start in range(jacket.starts):
        for corner in winding.dead_corners(start):
            path = [flat.spot(s) for s in corner]
            sheet.area(path, fill="#E4E4E4", width=0.0, order=1.8)
            sheet.hatch(path, 1, 2.0, order=1.9, colour="#9A9A9A")
        lines = [[flat.spot(s) for s in line] for line in winding.edges(start)]
        sheet.ax.add_collection(
            LineCollection(lines, colors=INK, linewidths=points(NARROW), zorder=2.6), autolim=False
        )


def _fills(part: StagePart, shares: Array) -> list[str]:
    """Return the colours of the passage at shares of its path, few enough to be merged."""
    air, norm = _air(part), _colours(part)
    if air is None or norm is None:
        return ["#E8EEF3"] * len(shares)
    levels = np.rint(np.asarray(norm(np.interp(shares, *air))) * SHADES) / SHADES
    return [to_hex(MAP(float(level))) for level in levels]


def _runs(fills: Sequence[str]) -> Iterator[tuple[int, int, str]]:
    """Yield first and last place, and the colour, of neighbours of one colour."""
    place = 0
    for fill, same in groupby(fills):
        count = len(list(same))
        yield place, place + count - 1, fill
        place += count


def _galleries(sheet: Sheet, flat: UnrolledView) -> None:
    """Fill the grooves at either end in the colour of the air there."""
    winding, part = flat.winding, flat.view.part
    if not winding.gallery:
        return
    air, norm = _air(part), _colours(part)
    chamber, core = winding.chamber, winding.core
    ends = [(chamber.start, core.start), (core.end, chamber.end)]
    for i, (low, high) in enumerate(ends if winding.towards_flange else ends[::-1]):
        fill = "#E8EEF3"
        if air is not None and norm is not None:
            fill = to_hex(MAP(norm(air[1][-i])))
        x0, x1 = flat.view.X(low), flat.view.X(high)
        sheet.box(x0, flat.bottom, x1, flat.top, fill=fill, width=0.0, smooth=False, order=1.8,
                  gid=f"gallery-{i}")  # fmt: skip


def _frame(sheet: Sheet, flat: UnrolledView) -> None:
    winding, X = flat.winding, flat.view.X
    chamber, ring = winding.chamber, winding.ring
    x0, x1 = X(chamber.start), X(chamber.end)
    for left, right in ((X(chamber.start - ring), x0), (x1, X(chamber.end + ring))):
        sheet.box(left, flat.bottom, right, flat.top, fill="white", width=NARROW, order=2.7)
        sheet.hatch(
            [(left, flat.bottom), (right, flat.bottom), (right, flat.top), (left, flat.top)],
            -1, 1.3, order=2.8,
        )  # fmt: skip
    sheet.box(x0, flat.bottom, x1, flat.top, width=WIDE, order=2.9, gid="unrolled")
    left = X(chamber.start - ring)
    step = next((s for s in (1, 2, 4) if flat.height * s / 4 >= _LABEL), 5)
    for quarter in range(0, 5, step):
        _, y = flat.spot((0.0, CUT + quarter * TURN / 4))
        sheet.line([(left - 1.4, y), (left, y)])
        sheet.text(left - 1.9, y, number(-90.0 + 90.0 * quarter) + "°", ha="right")
    for quarter in (1, 3):
        _, y = flat.spot((0.0, CUT + quarter * TURN / 4))
        sheet.line([(left, y), (X(chamber.end + ring) + 1.5, y)], NARROW, "centre", order=3.2)


def _isotherms(sheet: Sheet, flat: UnrolledView) -> list[float]:
    """Draw where the barrel's outside has round temperatures, and return those places [mm].

    The wall's temperature varies along the barrel only.
    """
    part, chamber = flat.view.part, flat.winding.chamber
    detail, shown = part.detail, part.shown
    if detail is None:
        return []
    z = detail.wall_position
    T = shown.values(detail.wall_outside, "temperature")
    inside = (z > chamber.start) & (z < chamber.end)
    spread = float(np.ptp(T[inside])) if inside.any() else 0.0
    step = next((s for s in (0.5, 1, 2, 5, 10, 20, 50) if spread / s <= 6), 100)
    label_y = flat.top + 2.2
    last = -1e9
    places: list[tuple[float, float]] = []
    for level in np.arange(math.ceil(T.min() / step) * step, T.max() + 1e-9, step):
        for i in np.flatnonzero((T[:-1] - level) * (T[1:] - level) <= 0):
            if T[i] == T[i + 1]:
                continue
            share = (level - T[i]) / (T[i + 1] - T[i])
            at = float(z[i] + share * (z[i + 1] - z[i]))
            if chamber.start < at < chamber.end:
                places.append((at, float(level)))
    for at, level in sorted(set(places)):
        x = flat.view.X(at)
        sheet.line([(x, flat.bottom), (x, flat.top)], 0.3, colour="white", order=3.0)
        sheet.line([(x, flat.bottom), (x, flat.top + 0.8)], NARROW, "dashed", order=3.1)
        if x - last > 7.5:
            sheet.text(x, label_y, number(level, 1 if step < 1 else 0), ha="center", size=7.0)
            last = x
    if places:
        right = flat.view.X(chamber.end + flat.winding.ring) + 2.5
        words = f"barrel outside / {shown.unit('temperature')}"
        sheet.text(right, label_y, words, size=7.0, color="#333333")
    else:
        low, high = float(detail.wall_outside.min()), float(detail.wall_outside.max())
        words = f"barrel outside {shown.temperatures(low, high)}"
        middle = flat.view.X((chamber.start + chamber.end) / 2)
        sheet.text(middle, label_y, words, ha="center", size=7.0, color="#333333")
    return [flat.view.X(at) for at, _ in places]


def _words(
    sheet: Sheet, flat: UnrolledView, jacket: Jacket, lines: Sequence[float], holes: Sequence[Drawn]
) -> None:
    part, view = flat.view.part, flat.view
    helix, shown = part.helix, part.shown
    assert helix is not None
    _air_labels(sheet, flat, lines, holes)
    path = (
        f"{number(helix.path_length, 2)} m"
        if shown.system == "SI"
        else (f"{shown.length(helix.path_length)} in")
    )
    starts = "one start" if jacket.starts == 1 else f"{jacket.starts} starts"
    notes = [
        f"path {path}",
        f"lead angle {number(math.degrees(helix.lead_angle), 1)}°",
        f"{trimmed(helix.turns, 3)} turns, {starts}",
        f"clear width {trimmed(shown.value(helix.clear_width, 'length'), 3)}",
    ]
    x, y = view.notes, _notes_top(flat.height)
    if not view.beside:
        x, y = COLUMNS[1], -BELOW - 4.4
    sheet.text(x, y + 4.4, "unrolled at mid-depth", color="#555555")
    for i, words in enumerate(notes):
        sheet.text(x, y - LINE * i, words)
    _key(sheet, flat, (x, y - LINE * len(notes) - 1.0) if view.beside else (COLUMNS[-1], -BELOW))


def _air_labels(
    sheet: Sheet, flat: UnrolledView, isotherms: Sequence[float], holes: Sequence[Drawn]
) -> None:
    """Write the air's temperature along the first start, at most five times.

    Words keep off isotherms, holes and the ends of the ribs.
    """
    part, winding = flat.view.part, flat.winding
    air, norm = _air(part), _colours(part)
    if air is None or norm is None or flat.view.mm(winding.width) < 2.9:
        return
    slope = math.degrees(
        math.atan2(flat.height, flat.view.mm(winding.lead) * (1 if winding.towards_flange else -1))
    )
    if slope > 90.0:
        slope -= 180.0
    turns = np.arange(0.125 if winding.turns < 1 else 0.3125, winding.turns - 0.05)

    def crowd(turn: float) -> float:
        angle = TURN * turn
        x, y = flat.spot((winding.centre(angle), CUT + (angle - CUT) % TURN))
        away = [abs(x - at) for at in isotherms]
        away += [math.dist((x, y), h.middle) - h.radius - _HALF_WORD + _APART for h in holes]
        return -min(away, default=9.0)

    for middle in turns[:: max(1, math.ceil(len(turns) / 5))]:
        near = [middle + d for d in _TRIES if 0.05 < middle + d < winding.turns - 0.1]
        clear = [t for t in near if crowd(float(t)) < -_APART]
        turn = clear[0] if clear else min(near or [middle], key=lambda t: crowd(float(t)))
        share = float(turn) / winding.turns
        T = float(np.interp(share, *air))
        colour = MAP(norm(T))
        halo = withStroke(linewidth=2.0, foreground=to_hex(colour))
        light = 0.2126 * colour[0] ** 2.2 + 0.7152 * colour[1] ** 2.2 + 0.0722 * colour[2] ** 2.2
        angle = TURN * float(turn)
        x, y = flat.spot((winding.centre(angle), CUT + (angle - CUT) % TURN))
        sheet.text(
            x, y, part.shown.temperature(T), ha="center", rotation=slope, size=7.0,
            rotation_mode="anchor", path_effects=[halo], color="white" if light < 0.18 else INK,
        )  # fmt: skip


def _key(sheet: Sheet, flat: UnrolledView, place: SheetPoint) -> None:
    """Draw the colour scale of the air's temperature, and the sign for dead corners if any."""
    air, (x, top) = _air(flat.view.part), place
    y = top - 4.0
    if air is not None:
        low, high = float(air[1].min()), float(air[1].max())
        wide = 24.0
        for i in range(24):
            fill = to_hex(MAP((i + 0.5) / 24))
            left = x + wide * i / 24
            sheet.box(left, y - 2.4, x + wide, y, fill=fill, width=0.0, smooth=False)
        sheet.box(x, y - 2.4, x + wide, y, width=NARROW)
        sheet.text(x, y + 2.2, "air, mass mean", ha="left")
        sheet.text(x, y - 4.6, flat.view.part.shown.temperature(low), ha="left")
        sheet.text(x + wide, y - 4.6, flat.view.part.shown.temperature(high), ha="right")
        y -= 9.0
    if flat.winding.gallery:
        return
    corner = [(x, y - 2.2), (x + 5.0, y - 2.2), (x + 5.0, y)]
    sheet.area(corner, fill="#E4E4E4", width=NARROW)
    sheet.hatch(corner, 1, 1.4, colour="#9A9A9A", order=2.2)
    sheet.text(x + 6.5, y - 1.2, "dead corner", ha="left", size=SMALL)


def describe_stage(part: StagePart) -> str:
    """Say in words what section and unrolled passage show."""
    jacket, helix, shown = part.stage.jacket, part.helix, part.shown
    if jacket is None or helix is None:
        return describe_section(part)
    starts = "one start" if jacket.starts == 1 else f"{jacket.starts} starts"
    words = (
        f" Below it the passage unrolled: {trimmed(helix.turns, 3)} turns, {starts}, a path of "
        f"{number(helix.path_length, 2)} m at a lead angle of "
        f"{number(math.degrees(helix.lead_angle), 1)} degrees, entered at the {jacket.inlet_at} "
        "end."
    )
    found = part.outcome.jacket if part.outcome is not None else None
    if found is not None:
        words += (
            f" The exhaust enters at {shown.temperature(found.inlet_temperature)} and leaves at "
            f"{shown.temperature(found.outlet_temperature)}."
        )
    return describe_section(part) + words
