"""Sizes, colours and files shared by every figure.

Matplotlib's `Figure` is used without its global state. Letters are STIX, which comes with
matplotlib, and are written as outlines, so that a file looks the same, and has the same
bytes, on every machine.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.figure import Figure

INK = "#1a1a1a"
"""Axes and words."""
BLUE, BLUE_WORDS, BLUE_PALE, BLUE_EDGE = "#0072B2", "#005A8E", "#CCE3F0", "#4E94BE"
"""Jacketed machine: Okabe and Ito's blue, a shade for words, a band and its edge."""
GREEN, GREEN_WORDS = "#009E73", "#00734F"
"""Gain."""
VERMILION, VERMILION_WORDS = "#D55E00", "#A84A00"
"""Loss, and limits broken."""
GREY, GREY_WORDS, GREY_PALE = "#7F7F7F", "#555555", "#EBEBEB"
"""Bare machine, and ranges that cannot be."""

WIDE, NARROW = 0.35, 0.18
"""Line widths of a drawing, 2:1 as ISO 128 has them (from memory) [mm]."""
BODY, SMALL = 8.6, 7.5
"""Letter heights at the printed size [pt]."""
SINGLE, MIDDLE, FULL = 90.0, 120.0, 180.0
"""Printed widths [mm]."""

_RC: dict[str, Any] = {
    "font.family": ["STIXGeneral", "DejaVu Sans"],
    "mathtext.fontset": "stix",
    "font.size": BODY,
    "text.color": INK,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.6,
    "axes.unicode_minus": True,
    "xtick.color": INK,
    "ytick.color": INK,
    "xtick.labelsize": SMALL,
    "ytick.labelsize": SMALL,
    "xtick.major.width": 0.6,
    "ytick.major.width": 0.6,
    "xtick.major.size": 3.0,
    "ytick.major.size": 3.0,
    "lines.solid_capstyle": "butt",
    "svg.hashsalt": "jacketcalc",
    "svg.fonttype": "path",
    "path.simplify": False,
}


def points(millimetres: float) -> float:
    """Convert a line width from millimetres to points."""
    return millimetres * 72.0 / 25.4


@contextmanager
def styled() -> Iterator[None]:
    """Draw in the house style."""
    with mpl.rc_context(), warnings.catch_warnings():
        # A letter that no font has is drawn as an empty square, which the PDF's note tells.
        warnings.filterwarnings("ignore", "Glyph .* missing from")
        mpl.rcdefaults()
        settings: Any = mpl.rcParams
        settings.update(_RC)
        yield


def new_figure(width: float, height: float) -> Figure:
    """Return an empty figure of a printed size [mm]."""
    return Figure(figsize=(width / 25.4, height / 25.4), dpi=100, facecolor="white")


def panel(fig: Figure, left: float, bottom: float, width: float, height: float) -> Axes:
    """Add axes placed in millimetres from the lower left corner, with two spines."""
    across, up = fig.get_size_inches() * 25.4
    ax = fig.add_axes((left / across, bottom / up, width / across, height / up))
    ax.spines[["top", "right"]].set_visible(False)
    ax.tick_params(direction="out")
    ax.patch.set_visible(False)
    return ax


def head(ax: Axes, text: str, letter: str = "") -> None:
    """Write what an axis shows above its panel, where it is read without turning the head."""
    mark = f"({letter})  " if letter else ""
    ax.set_title(mark + text, loc="left", fontsize=BODY, pad=5.0)


def foot(ax: Axes, text: str) -> None:
    """Write what the horizontal axis shows."""
    ax.set_xlabel(text, fontsize=BODY, labelpad=2.5)


def plain(text: str) -> str:
    """Return words of a case so that nothing in them is taken for a formula."""
    return text.replace("$", r"\$")


def shorten(text: str, most: int = 18) -> str:
    """Return words of a case cut to a length that fits a drawing."""
    text = " ".join(text.split())
    return plain(text if len(text) <= most else text[: most - 1].rstrip() + "…")


def svg_bytes(fig: Figure) -> bytes:
    """Return a figure as SVG."""
    with styled():
        out = io.BytesIO()
        fig.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
        return out.getvalue()


def png_bytes(fig: Figure, dpi: int = 200, fields: Mapping[str, str] | None = None) -> bytes:
    """Return a figure as PNG, with text fields of the file where there are some."""
    with styled():
        out = io.BytesIO()
        fig.savefig(out, format="png", dpi=dpi, metadata={"Software": None, **(fields or {})})
        return out.getvalue()


def pdf_bytes(fig: Figure) -> bytes:
    """Return a figure as PDF."""
    with styled():
        out = io.BytesIO()
        fig.savefig(out, format="pdf", metadata={"CreationDate": None, "Producer": None})
        return out.getvalue()
