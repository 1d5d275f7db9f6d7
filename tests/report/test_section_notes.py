"""Every word of a stage's drawing lies on its page, whatever the length of the barrel."""

from __future__ import annotations

from dataclasses import replace

import pytest
from figure_data import changed, clashes, short_assessment
from places import ROOT

from jacketcalc import read_case
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.section import draw_section
from jacketcalc.report.figures.stage_part import StagePart, case_part, solved_part
from jacketcalc.report.figures.style import svg_bytes
from jacketcalc.report.figures.unrolled import draw_stage

SHIPPED = sorted((ROOT / "cases").glob("*.toml"))
LENGTHS = (0.04, 0.07, 0.1, 0.13, 0.16, 0.2, 0.217, 0.24, 0.3, 0.5, 0.9)
"""Barrels of a bore of 32 mm, from hardly more than that to far beyond what is built [m]."""


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_shipped_cases(file: object) -> None:
    case = read_case(str(file))
    for index in range(len(case.machine.stages)):
        part = case_part(case, index)
        for system in ("SI", "inch-pound"):
            shown = replace(part, shown=Shown(system))
            assert not clashes(draw_section(shown))
            assert not clashes(draw_stage(shown))


def stretched(part: StagePart, length: float) -> StagePart:
    """Return a stage stretched along its axis, its jacket with it."""
    jacket = part.stage.jacket
    assert jacket is not None
    ratio = length / part.stage.barrel_length
    longer = changed(
        part, barrel_length=length, piston_length=ratio * part.stage.piston_length,
        length=ratio * jacket.length, offset=ratio * jacket.offset,
    )  # fmt: skip
    detail = part.detail
    assert detail is not None
    detail = replace(detail, wall_position=ratio * detail.wall_position)
    return replace(longer, stroke=ratio * part.stroke, detail=detail)


@pytest.mark.parametrize("length", LENGTHS)
def test_any_length_of_barrel(length: float) -> None:
    found = short_assessment("hot")
    part = stretched(solved_part(found, 0), length)
    bare = replace(part, outcome=None, detail=None, passage=None)
    for one in (part, bare, replace(part, shown=Shown("inch-pound"))):
        assert not clashes(draw_section(one))
        assert not clashes(draw_stage(one))


def test_a_drawing_is_few_elements() -> None:
    """A hatched area is one path and neighbours of one colour another: each line and each cell of
    its own made 2500 of them, of which two thirds of a report's page consisted."""
    svg = svg_bytes(draw_stage(solved_part(short_assessment("hot"), 0))).decode()
    assert 60 < svg.count("<path") < 700
