"""Notes of a section: what has no dimension line, and what of a case does not fit together.

They stand beside the drawing where there is room, else in columns below it.
"""

from __future__ import annotations

import math

from jacketcalc.inputs import Jacket
from jacketcalc.report.figures.helix import Winding
from jacketcalc.report.figures.number_labels import trimmed
from jacketcalc.report.figures.section_jacket import channel_words, choose_dimensions
from jacketcalc.report.figures.section_view import COLUMNS, SectionView
from jacketcalc.report.figures.sheet import Sheet, words_width
from jacketcalc.report.figures.stage_part import StagePart
from jacketcalc.report.figures.style import FULL, GREY_WORDS, INK, SMALL, VERMILION_WORDS

LINE = 4.0
"""Distance of the lines of notes [mm]."""
BELOW = 4.0
"""Distance from the drawing to notes below it [mm]."""
_EDGE = 3.0
"""Least distance from notes to the paper's edge [mm]."""
_LEAST = 31.0
"""Width of scale, key and the notes of an unrolled passage [mm]."""

Note = tuple[str, str]
"""Words and their colour."""


def list_notes(view: SectionView) -> list[Note]:
    """Return the notes of a section."""
    part, shown, jacket = view.part, view.part.shown, view.part.stage.jacket
    lines: list[Note] = []
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
    if part.detail is not None and not roomy(view):
        words = shown.temperature(part.detail.crown_temperature)
        if part.outcome is not None:
            start = part.outcome.compression_start_temperature
            words += f", compression starts at {shown.temperature(start)}"
        lines.append((f"crown {words}", INK))
    return lines + [(words, VERMILION_WORDS) for words in misfits(part)]


def fit_beside(view: SectionView, tall: float) -> bool:
    """Return whether the notes have room between drawing and paper's edge.

    Parameters
    ----------
    view : where the section stands
    tall : height that is free there, from the shell's outside down [mm]
    """
    lines = list_notes(view)
    widest = max((words_width(words) for words, _ in lines), default=0.0)
    wide = view.notes + max(widest, _LEAST) <= FULL - _EDGE
    return wide and LINE * len(lines) <= tall


def notes_height(view: SectionView, columns: int) -> float:
    """Return how much paper notes below the drawing take, their head included [mm]."""
    return BELOW + LINE * (math.ceil(len(list_notes(view)) / columns) + 1)


def put_notes(sheet: Sheet, view: SectionView, columns: int = 1) -> None:
    """Write the notes under a head that says in what lengths are given.

    Parameters
    ----------
    sheet, view : where the section is drawn
    columns : columns that notes below the drawing stand in
    """
    lines = list_notes(view)
    unit = "mm" if view.part.shown.system == "SI" else "inches"
    x, top = view.notes, view.Y(view.shell_outside) + 3.4
    if not view.beside:
        x, top = COLUMNS[0], -BELOW
    sheet.text(x, top, f"dimensions in {unit}", color=GREY_WORDS, size=SMALL)
    each = len(lines) if view.beside else math.ceil(len(lines) / columns)
    for i, (words, colour) in enumerate(lines):
        place, row = divmod(i, max(each, 1))
        left = x if place == 0 else COLUMNS[place]
        sheet.text(left, top - 0.4 - LINE * (row + 1), words, color=colour)


def roomy(view: SectionView) -> bool:
    """Whether words fit between head and crown."""
    return view.X(view.part.crown) - view.X(0.0) > 25.0 and view.mm(view.bore) > 2.9


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
