"""Where a section stands on its sheet: scale, places and margins."""

from __future__ import annotations

import math

from jacketcalc.geometry import barrel_outside
from jacketcalc.report.figures.helix import Winding
from jacketcalc.report.figures.sheet import Sheet, SheetPoint
from jacketcalc.report.figures.stage_part import StagePart
from jacketcalc.report.figures.style import WIDE

SCALES = (5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
"""Paper over real size, the largest that fits is taken; series of ISO 5455 from memory [-]."""
ROOM_ACROSS, ROOM_UP = 116.0, 165.0
"""Space for the drawing itself [mm]."""
LEFT, RIGHT_GAP = 24.0, 25.0
"""Left margin, and distance from the barrel to the notes beside it [mm]."""
COLUMNS = (LEFT, 82.0, 130.0)
"""Left edges of notes, more notes and scale below a drawing that has no room beside it [mm]."""
PORT_HEIGHT = 4.5
"""How much of the feeding tube is shown [mm]."""
RISING, FALLING = 1, -1


class SectionView:
    """Places a section on a sheet: `X(z)` and `Y(r)` in millimetres of paper."""

    def __init__(self, part: StagePart, scale: float) -> None:
        self.part, self.scale = part, scale
        stage, jacket = part.stage, part.stage.jacket
        self.winding = Winding(jacket) if jacket is not None else None
        self.bore = stage.bore / 2
        self.outside = barrel_outside(stage) / 2
        self.shell = self.outside + (jacket.gap if jacket else 0.0)
        self.shell_outside = self.shell + (jacket.shell_thickness if jacket else 0.0)
        self.begin = -stage.head_thickness
        self.end = max(stage.barrel_length, part.crown + stage.piston_length)
        if self.winding is not None:
            self.begin = min(self.begin, self.winding.chamber.start - self.winding.ring)
            self.end = max(self.end, self.winding.chamber.end + self.winding.ring)
        self.origin = LEFT - self.mm(self.begin)
        self.middle = 0.0
        self.beside = True
        """Whether notes stand beside the drawing; else below it, under the sheet's zero."""

    def mm(self, length: float) -> float:
        """Return a length on paper [mm]."""
        return 1000.0 * self.scale * length

    def X(self, z: float) -> float:
        """Return where an axial place is drawn [mm]."""
        return self.origin + self.mm(z)

    def Y(self, radius: float) -> float:
        """Return where a signed radius is drawn [mm]."""
        return self.middle + self.mm(radius)

    @property
    def notes(self) -> float:
        """Left edge of the notes beside the drawing [mm]."""
        return self.X(self.end) + RIGHT_GAP


def choose_scale(part: StagePart, *, unrolled: bool) -> float:
    """Return the largest scale of the series at which the drawing fits its space."""
    view = SectionView(part, 1.0)
    across = view.mm(view.end - view.begin)
    up = view.mm(2 * view.shell_outside)
    if unrolled and part.stage.jacket is not None:
        up += view.mm(math.pi * (view.outside + view.shell))
    fits = [s for s in SCALES if s * across <= ROOM_ACROSS and s * up <= ROOM_UP]
    return fits[0] if fits else SCALES[-1]


def scale_words(scale: float) -> str:
    """Return a scale as a drawing has it."""
    return f"{scale:g}:1" if scale >= 1 else f"1:{1 / scale:g}"


def put_scale(sheet: Sheet, view: SectionView, place: SheetPoint) -> None:
    """Write the scale and draw a bar that holds on screens and copies too."""
    shown = view.part.shown
    size, unit = (1e-3, "mm") if shown.system == "SI" else (0.0254, "in")
    steps = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0)
    length = next(s for s in reversed(steps) if view.mm(s * size) <= 22.0)
    (x, y), wide = place, view.mm(length * size)
    sheet.line([(x, y), (x + wide, y)], WIDE, gid="scale-bar")
    for share in (0.0, 0.5, 1.0):
        sheet.line([(x + share * wide, y - 0.8), (x + share * wide, y + 0.8)])
    sheet.text(x, y + 3.0, f"{length:g} {unit}", ha="left")
    sheet.text(x + 13.0, y + 3.0, f"scale {scale_words(view.scale)}", ha="left")
