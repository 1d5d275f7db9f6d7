"""The picture of water along the path, as PNG and SVG by the endings of their file names."""

from __future__ import annotations

from functools import partial

from jacketcalc.assessment.water_finding import WaterFinding
from jacketcalc.report.figures.water import describe_water, draw_water
from jacketcalc.report.pictures import MakePicture, Picture, picture_files


def water_figures(found: WaterFinding) -> dict[str, MakePicture]:
    """Return the picture of a machine that runs; none of one that stalls."""
    if found.jacketed is None:
        return {}
    picture = Picture(partial(draw_water, found), describe_water(found))
    words = "with and without jackets as the case has them; no model range solved"
    return picture_files({"-margins": picture}, found.case, words)
