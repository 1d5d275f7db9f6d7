"""Pictures of a study as files: each as PNG and SVG, with machine, case, range and its words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import NamedTuple

from matplotlib.figure import Figure

from jacketcalc.inputs import Case
from jacketcalc.report.figures.standalone import Label, label_of, standalone_png, standalone_svg

MakePicture = Callable[[], bytes]


class Picture(NamedTuple):
    """A figure to be drawn, and what it shows in words."""

    draw: Callable[[], Figure]
    alt: str


def picture_files(
    pictures: Mapping[str, Picture], case: Case, ranges: str
) -> dict[str, MakePicture]:
    """Return every picture in both formats, by the endings of the files' names.

    Parameters
    ----------
    pictures : pictures by their names
    case : the case, which is named on each
    ranges : what was varied, and whether the model range is in it
    """
    forms: dict[str, MakePicture] = {}
    for name, picture in pictures.items():
        label = label_of(case, ranges, picture.alt)
        forms[f"{name}.png"] = partial(_make, standalone_png, picture, label)
        forms[f"{name}.svg"] = partial(_make, standalone_svg, picture, label)
    return forms


def _make(write: Callable[[Figure, Label], bytes], picture: Picture, label: Label) -> bytes:
    return write(picture.draw(), label)
