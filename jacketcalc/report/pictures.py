"""Pictures as files of a format: each with machine, case, range and its words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from matplotlib.figure import Figure

from jacketcalc.inputs import Case
from jacketcalc.report.figures.standalone import (
    Label,
    label_of,
    standalone_pdf,
    standalone_png,
    standalone_svg,
)

MakePicture = Callable[[], bytes]
_WRITERS: dict[str, Callable[[Figure, Label], bytes]] = {
    "png": standalone_png,
    "svg": standalone_svg,
    "pdf": standalone_pdf,
}
FORMATS = tuple(_WRITERS)
"""Formats a picture is written in; their names are the files' endings."""
_OF_STUDIES = ("png", "svg")


class Picture(NamedTuple):
    """A figure to be drawn, and what it shows in words."""

    draw: Callable[[], Figure]
    alt: str


def picture_files(
    pictures: Mapping[str, Picture],
    case: Case,
    ranges: str,
    formats: Sequence[str] = _OF_STUDIES,
) -> dict[str, MakePicture]:
    """Return every picture in each format, by the endings of the files' names.

    Parameters
    ----------
    pictures : pictures by their names
    case : the case, which is named on each
    ranges : what was varied, and whether the model range is in it
    formats : of `FORMATS`
    """
    forms: dict[str, MakePicture] = {}
    for name, picture in pictures.items():
        label = label_of(case, ranges, picture.alt)
        for form in formats:
            forms[f"{name}.{form}"] = partial(_make, _WRITERS[form], picture, label)
    return forms


def _make(write: Callable[[Figure, Label], bytes], picture: Picture, label: Label) -> bytes:
    return write(picture.draw(), label)
