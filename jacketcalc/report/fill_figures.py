"""The picture of a fill over time, as PNG and SVG by the endings of their file names."""

from __future__ import annotations

from functools import partial

from jacketcalc.fill.result import FillComparison
from jacketcalc.report.figures.fill import describe_fill, draw_fill
from jacketcalc.report.pictures import MakePicture, Picture, picture_files


def fill_figures(found: FillComparison) -> dict[str, MakePicture]:
    """Return the picture of a fill."""
    picture = Picture(partial(draw_fill, found), describe_fill(found))
    words = "a fill from cold, models as the case has them; no model range solved"
    return picture_files({"-time": picture}, found.case, words)
