"""Figures of several starts: as many holes as the case has, as wide, clear of ribs and words.

Circles are measured in the written SVG, whose arcs are drawn through their extremes, and held
against bores of the case. Where holes must stand follows from plain geometry, stated at each test.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise
from math import cos, hypot, pi, tau

import numpy as np
import pytest
from figure_data import changed, clashes, short_assessment, shown_texts
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from numpy.typing import NDArray

from jacketcalc.assessment.result import Assessment
from jacketcalc.report.figures.helix import Winding
from jacketcalc.report.figures.labels import renderer_of
from jacketcalc.report.figures.schematic import describe_schematic, draw_schematic
from jacketcalc.report.figures.section import describe_section
from jacketcalc.report.figures.section_jacket import choose_dimensions
from jacketcalc.report.figures.section_view import SectionView, choose_scale
from jacketcalc.report.figures.stage_part import StagePart, solved_part
from jacketcalc.report.figures.style import svg_bytes
from jacketcalc.report.figures.unrolled import draw_stage

Points = NDArray[np.float64]
RIB = 0.003


@cache
def found() -> Assessment:
    return short_assessment("hot")


def shaped(starts: int, feed: str, pitch: float, inlet_at: str = "head") -> StagePart:
    """Give the first stage a jacket whose holes fit by hand: 0.9 of the axial space of a channel
    of up to 4 starts on a barrel of 40 mm, whose slant is 0.92 or more, or 20 mm in a gallery."""
    gallery = max(starts * (pitch - RIB) / 2, 0.022) if feed == "gallery" and starts > 1 else 0.0
    space = 0.02 if gallery else 0.85 * (pitch - RIB)
    sizes = {
        "starts": starts, "pitch": pitch, "rib": RIB, "offset": 0.04, "length": 0.08,
        "gallery_width": gallery, "outlet_bore": min(0.02, space), "inlet_bore": min(0.012, space),
        "inlet_at": inlet_at,
    }  # fmt: skip
    return changed(solved_part(found(), 0), **sizes)


SHAPES = [
    (starts, feed, pitch, inlet_at)
    for starts in (1, 2, 3, 4)
    for feed in (("gallery", "each") if starts > 1 else ("gallery",))
    for pitch in (0.008, 0.02)
    for inlet_at in ("head", "flange")
]


def outlines(svg: bytes) -> dict[str, Points]:
    """Return the points of every named outline of an SVG, in millimetres, y upwards."""
    shapes: dict[str, Points] = {}
    for name, path in re.findall(r'<g id="([a-z]+-?[a-z0-9-]*)">\s*<path d="([^"]+)"',
                                 svg.decode()):  # fmt: skip
        numbers = np.array(re.findall(r"-?\d+\.?\d*", path), dtype=float)
        shapes[name] = numbers.reshape(-1, 2) * [25.4 / 72, -25.4 / 72]
    return shapes


def struck(fig: Figure) -> Iterator[str]:
    """Return words that an arrow or an exhaust line crosses, sampled each half millimetre."""
    texts, renderer = shown_texts(fig), renderer_of(fig)
    boxes = [t.get_window_extent(renderer) for t in texts]
    for line in fig.axes[0].findobj(Line2D):
        assert isinstance(line, Line2D)
        gid, blue = str(line.get_gid() or ""), line.get_color() == "#0072B2"
        if not (gid.startswith("arrow") or blue):
            continue
        corners = fig.axes[0].transData.transform(line.get_xydata())
        for a, b in pairwise(corners):
            steps = max(2, int(hypot(*(b - a)) / 2))
            for x, y in np.linspace(a, b, steps):
                for text, box in zip(texts, boxes, strict=True):
                    if box.x0 < x < box.x1 and box.y0 < y < box.y1:
                        yield f"{gid or 'exhaust'} strikes {text.get_text()!r}"


@pytest.mark.parametrize(("starts", "feed", "pitch", "inlet_at"), SHAPES)
def test_unrolled_holes_are_those_of_the_case(
    starts: int, feed: str, pitch: float, inlet_at: str
) -> None:
    part = shaped(starts, feed, pitch, inlet_at)
    jacket = part.stage.jacket
    assert jacket is not None
    scale = choose_scale(part, unrolled=True)
    at = outlines(svg_bytes(draw_stage(part)))
    shared = starts > 1 and feed == "gallery"
    for name, bore in (("inlet", jacket.inlet_bore), ("outlet", jacket.outlet_bore)):
        holes = [p for k, p in at.items() if re.fullmatch(rf"{name}-\d+", k)]
        assert len(holes) == (1 if shared else starts)
        for corners in holes:
            assert np.ptp(corners, axis=0) / scale == pytest.approx([1000 * bore] * 2, abs=0.01)
        # Equal holes share the round equally: mean circumference over their number.
        middles = np.sort([(c.max(axis=0) + c.min(axis=0))[1] / 2 / scale for c in holes])
        around = pi * 1000 * (part.stage.bore + 2 * part.stage.wall_thickness + jacket.gap)
        assert np.diff(middles) == pytest.approx([around / starts] * (len(holes) - 1), abs=0.01)
    frame = at["unrolled"]
    assert np.ptp(frame[:, 0]) / scale == pytest.approx(
        1000 * (0.08 + (2 * jacket.gallery_width or pitch - RIB)), abs=0.01
    )
    assert ("gallery-0" in at) == ("gallery-1" in at) == shared
    if shared:
        for i in (0, 1):
            wide = np.ptp(at[f"gallery-{i}"][:, 0]) / scale
            assert wide == pytest.approx(1000 * jacket.gallery_width, abs=0.01)


@pytest.mark.parametrize(("starts", "feed", "pitch", "inlet_at"), SHAPES)
def test_holes_cut_no_land(starts: int, feed: str, pitch: float, inlet_at: str) -> None:
    """A channel's centre line passes through its holes; ribs stand half a clear width away.

    Clear width: axial width x cosine of the lead angle, on the unrolled mean cylinder.
    """
    part = shaped(starts, feed, pitch, inlet_at)
    jacket = part.stage.jacket
    assert jacket is not None
    winding = Winding(jacket)
    mean = part.stage.bore + 2 * part.stage.wall_thickness + jacket.gap
    slant = cos(np.arctan(starts * pitch / (pi * mean)))
    assert len(winding.holes) == 2 * jacket.holes
    for hole in winding.holes:
        if jacket.gallery_width:
            beyond = max(winding.first - hole.place, hole.place - winding.last)
            assert beyond - hole.bore / 2 >= -1e-12
            assert beyond + hole.bore / 2 <= jacket.gallery_width + 1e-12
            continue
        steps = [
            (hole.angle - winding.begins(k)) / tau * starts * pitch * (1 if winding.towards_flange
             else -1) + winding.inlet - hole.place for k in range(starts)
        ]  # fmt: skip
        off = min(abs((s + pitch / 2) % pitch - pitch / 2) for s in steps)
        assert off * slant + hole.bore / 2 <= (pitch - RIB) * slant / 2 + 1e-12


@pytest.mark.parametrize(("starts", "feed", "pitch", "inlet_at"), SHAPES)
def test_words_and_arrows_keep_apart(starts: int, feed: str, pitch: float, inlet_at: str) -> None:
    part = shaped(starts, feed, pitch, inlet_at)
    fig = draw_stage(part)
    assert not clashes(fig)
    assert not list(struck(fig))
    words = [t.get_text() for t in shown_texts(fig)]
    shared = starts > 1 and feed == "gallery"
    many = 1 if shared else starts
    assert sum(w.startswith("inlet ⌀" if many == 1 else f"{many} inlets ⌀") for w in words) == 1
    assert sum(w.startswith("outlet ⌀" if many == 1 else f"{many} outlets ⌀") for w in words) == 1
    assert any(w.startswith("galleries ") for w in words) == shared
    assert (f"{many} inlets" in describe_section(part)) == (many > 1)


@pytest.mark.parametrize(("starts", "feed", "pitch", "inlet_at"), SHAPES)
def test_dimensions_stand_over_their_own_gap(
    starts: int, feed: str, pitch: float, inlet_at: str
) -> None:
    part = shaped(starts, feed, pitch, inlet_at)
    jacket, fig = part.stage.jacket, draw_stage(part)
    assert jacket is not None
    renderer, inverse = renderer_of(fig), fig.axes[0].transData.inverted()
    view = SectionView(part, choose_scale(part, unrolled=True))
    chosen = choose_dimensions(view, Winding(jacket), jacket)
    assert any(gid == "dimension-pitch" for _, _, _, gid in chosen)
    for z0, z1, words, gid in chosen:
        text = next(t for t in shown_texts(fig) if t.get_text() == words)
        box = inverse.transform(text.get_window_extent(renderer))
        assert view.X(z0) <= box[0][0] and box[1][0] <= view.X(z1), words
        count = int(words.split(" × pitch")[0]) if " × pitch" in words else 1
        real = count * pitch if gid == "dimension-pitch" else pitch - RIB
        assert z1 - z0 == pytest.approx(real, rel=1e-9)


@pytest.mark.parametrize("inlet_at", ["head", "flange"])
@pytest.mark.parametrize("feed", ["gallery", "each"])
@pytest.mark.parametrize("starts", [1, 2, 3, 4, 7])
def test_schematic_feeds_and_outlets_every_start(starts: int, feed: str, inlet_at: str) -> None:
    base = found()
    shared = starts > 1 and feed == "gallery"
    machine = base.case.machine
    stages = []
    for stage in machine.stages:
        assert stage.jacket is not None
        wide = 0.03 if shared else 0.0
        changes = {"starts": starts, "gallery_width": wide, "inlet_at": inlet_at}
        stages.append(replace(stage, jacket=replace(stage.jacket, **changes)))  # type: ignore[arg-type]
    case = replace(base.case, machine=replace(machine, stages=tuple(stages)))
    fig = draw_schematic(replace(base, case=case))
    assert not clashes(fig)
    assert not list(struck(fig))
    lines = [str(line.get_gid() or "") for line in fig.axes[0].findobj(Line2D)]
    drawn = min(1 if shared else starts, 4)
    for name in ("inlet", "outlet"):
        assert sum(gid.startswith(f"arrow-{name}") for gid in lines) == 2 * drawn
    names = re.findall(r'<g id="([^"]+)"', svg_bytes(fig).decode())
    assert len(names) == len(set(names))
    words = " ".join(t.get_text() for t in shown_texts(fig))
    assert (f"{starts} starts" in words) == (starts > 1)
    assert (f"{starts} outlets" in words) == (starts > 1 and not shared)
    told = describe_schematic(replace(base, case=case))
    assert ("gallery" in told) == shared
    assert (f"{starts} inlets" in told) == (starts > 1 and not shared)
