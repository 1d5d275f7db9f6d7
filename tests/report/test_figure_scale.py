"""Drawings of a stage are to scale: section, ribs, unrolled channel, hatching.

The section's distances are measured in the written SVG and compared with the case's numbers;
areas on the unrolled passage and lengths of hatching are compared with closed forms.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from figure_data import changed, short_assessment
from jacket_shapes import SHAPES
from numpy.typing import NDArray

from jacketcalc.assessment.result import Assessment
from jacketcalc.report.figures.helix import TURN, PagePoint, Winding
from jacketcalc.report.figures.section import describe_section
from jacketcalc.report.figures.section_notes import misfits
from jacketcalc.report.figures.section_view import choose_scale
from jacketcalc.report.figures.sheet import hatch_lines
from jacketcalc.report.figures.stage_part import StagePart, solved_part
from jacketcalc.report.figures.style import svg_bytes
from jacketcalc.report.figures.unrolled import draw_stage

Points = NDArray[np.float64]


@pytest.fixture(scope="module")
def found() -> Assessment:
    return short_assessment("hot")


@pytest.fixture(scope="module")
def part(found: Assessment) -> StagePart:
    return solved_part(found, 0)


def outlines(svg: bytes) -> dict[str, Points]:
    """Return the corners of every named outline of an SVG, in millimetres, y upwards."""
    found: dict[str, Points] = {}
    named = r'<g id="([a-z]+-?[a-z0-9-]*)">\s*<path d="([^"]+)"'
    for name, path in re.findall(named, svg.decode()):
        pairs = re.findall(r"[ML] ?(-?[0-9.]+) (-?[0-9.]+)", path)
        found[name] = np.array(pairs, dtype=float) * [25.4 / 72, -25.4 / 72]
    return found


@pytest.mark.parametrize("shape", SHAPES)
def test_section_is_to_scale(part: StagePart, shape: str) -> None:
    drawn = changed(part, **SHAPES[shape])
    stage, jacket = drawn.stage, drawn.stage.jacket
    assert jacket is not None
    scale = choose_scale(drawn, unrolled=True)
    at = {k: v / scale for k, v in outlines(svg_bytes(draw_stage(drawn))).items()}

    def low(name: str) -> Points:
        return np.asarray(at[name].min(axis=0))

    def high(name: str) -> Points:
        return np.asarray(at[name].max(axis=0))

    close = {"abs": 0.01}
    bore = low("barrel-upper")[1] - high("barrel-lower")[1]
    outside = high("barrel-upper")[1] - low("barrel-lower")[1]
    assert bore == pytest.approx(1000 * stage.bore, **close)
    assert outside == pytest.approx(1000 * (stage.bore + 2 * stage.wall_thickness), **close)
    length = np.ptp(at["barrel-upper"][:, 0])
    assert length == pytest.approx(1000 * stage.barrel_length, **close)
    shell = next(k for k in at if k.startswith("shell-upper"))
    assert np.ptp(at[shell][:, 1]) == pytest.approx(1000 * jacket.shell_thickness, **close)
    gap = low(shell)[1] - high("barrel-upper")[1]
    assert gap == pytest.approx(1000 * jacket.gap, **close)
    wound = np.ptp(at["dimension-wound"][:, 0])
    assert wound == pytest.approx(1000 * jacket.length, **close)


@pytest.mark.parametrize("shape", SHAPES)
def test_lands_stand_half_a_lead_on_at_the_lower_side(part: StagePart, shape: str) -> None:
    drawn = changed(part, **SHAPES[shape])
    jacket = drawn.stage.jacket
    assert jacket is not None
    scale = choose_scale(drawn, unrolled=True)
    at = outlines(svg_bytes(draw_stage(drawn)))
    head = at["barrel-upper"][:, 0].min()
    start = 1000 * (jacket.offset if jacket.inlet_at == "head" else
                    jacket.offset + jacket.length)  # fmt: skip
    way = 1 if jacket.inlet_at == "head" else -1
    pitch, lead = 1000 * jacket.pitch, 1000 * jacket.pitch * jacket.starts
    seen = 0
    for side, shift in (("upper", 0.0), ("lower", way * lead / 2)):
        for name, corners in at.items():
            x = (corners[:, 0] - head) / scale
            if not name.startswith(f"rib-{side}") or np.ptp(x) < 999 * jacket.rib:
                continue
            seen += 1
            steps = ((x.min() + x.max()) / 2 - start - shift) / pitch - 0.5
            assert abs(steps - round(steps)) * pitch < 0.01
            height = np.ptp(corners[:, 1]) / scale
            assert height == pytest.approx(1000 * (jacket.gap - jacket.tip_clearance), abs=0.01)
    assert seen >= 1


def area(outline: list[PagePoint]) -> float:
    x, y = np.array(outline).T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2


@pytest.mark.parametrize("shape", SHAPES)
def test_unrolled_areas_add_up(part: StagePart, shape: str) -> None:
    """Path area is width x wound angle; channels, corners and ribs fill the chamber."""
    jacket = changed(part, **SHAPES[shape]).stage.jacket
    assert jacket is not None
    winding = Winding(jacket)
    end = TURN * winding.turns
    path = [p for k in range(jacket.starts) for p in winding.strip(k, *winding.wound)]
    flowing = sum(area(p) for p in path)
    assert flowing == pytest.approx(jacket.starts * winding.width * end, rel=1e-9)
    dead = sum(area(p) for k in range(jacket.starts) for p in winding.dead_corners(k))
    width = winding.chamber.end - winding.chamber.start
    angles = (np.arange(4000) + 0.5) * TURN / 4000
    ribs = sum(sum(s.end - s.start for s in winding.ribs(float(a))) for a in angles)
    ribs *= TURN / 4000
    assert flowing + dead + ribs == pytest.approx(width * TURN, rel=2e-4)


def test_hatching_is_as_dense_as_its_spacing() -> None:
    square = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)]
    for slope in (1, -1):
        lines = hatch_lines(square, slope, 0.5)
        length = sum(math.dist(a, b) for a, b in lines)
        assert length * 0.5 == pytest.approx(1200.0, rel=0.01)


def test_a_wrong_number_shows(part: StagePart) -> None:
    assert not misfits(replace(changed(part, offset=0.0165), rod=0.5 * part.stage.bore))
    early = changed(part, offset=0.0, pitch=0.030, rib=0.003)
    assert "jacket 16.5 past the head end" in misfits(early)
    thick = replace(part, rod=1.5 * part.stage.bore)
    assert any("thicker than the bore" in words for words in misfits(thick))
    assert "thicker than the bore" in describe_section(thick)
    late = changed(part, offset=part.stage.barrel_length - 0.05)
    assert any("past the flange end" in words for words in misfits(late))
