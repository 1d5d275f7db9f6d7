"""Sizes of a helical channel against points on a helix: no formula is shared with the package."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from one_jacket import CURVE, D_C, D_H, RATIO
from printed import near
from sample import FIRST, JACKET

from jacketcalc.arrays import Array
from jacketcalc.geometry import gallery_volume, helix_sizes, radius_ratio, turn_length
from jacketcalc.inputs import Jacket

TWO_START = replace(JACKET, starts=2, gallery_width=0.0)


def helix(radius: float, rise: float, angles: Array) -> Array:
    """Return points on a helix that rises so much a turn."""
    turned = [radius * np.cos(angles), radius * np.sin(angles), rise * angles / (2 * np.pi)]
    return np.stack(turned, axis=1)


def middle_line(jacket: Jacket, angles: Array) -> Array:
    """Return points in the middle of a start's channel."""
    radius = FIRST.bore / 2 + FIRST.wall_thickness + jacket.gap / 2
    return helix(radius, jacket.starts * jacket.pitch, angles)


@pytest.mark.parametrize("jacket", [JACKET, TWO_START])
def test_path_is_the_length_of_a_fine_polyline(jacket: Jacket) -> None:
    end = 2 * np.pi * jacket.length / (jacket.starts * jacket.pitch)
    points = middle_line(jacket, np.linspace(0.0, end, 200_001))
    length = float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
    sizes = helix_sizes(FIRST, jacket)
    assert sizes.path_length == pytest.approx(length, rel=1e-8)
    assert sizes.turns == pytest.approx(end / (2 * np.pi))


@pytest.mark.parametrize("jacket", [JACKET, TWO_START])
def test_curvature_is_that_of_a_circle_through_three_points(jacket: Jacket) -> None:
    """The circle through three points: product of the sides over twice the triangle's area."""
    points = middle_line(jacket, np.array([-1e-3, 0.0, 1e-3]))
    sides = [float(np.linalg.norm(a - b)) for a, b in combinations(points, 2)]
    twice = float(np.linalg.norm(np.cross(points[1] - points[0], points[2] - points[0])))
    found = helix_sizes(FIRST, jacket).curvature_diameter
    assert found == pytest.approx(np.prod(sides) / twice, rel=1e-5)


@pytest.mark.parametrize("jacket", [JACKET, TWO_START])
def test_clear_width_is_the_shortest_way_between_lands(jacket: Jacket) -> None:
    """On the unrolled cylinder both edges of a channel are lines; the nearest pair of points."""
    round_it = np.pi * (FIRST.bore + 2 * FIRST.wall_thickness + jacket.gap)
    s = np.linspace(-0.5, 0.5, 400_001)
    beside = np.stack([s * round_it, s * jacket.starts * jacket.pitch], axis=1)
    beside[:, 1] += jacket.pitch - jacket.rib
    nearest = float(np.linalg.norm(beside, axis=1).min())
    sizes = helix_sizes(FIRST, jacket)
    assert sizes.clear_width == pytest.approx(nearest, rel=1e-8)
    wetted = 2 * (nearest + jacket.gap)
    assert sizes.hydraulic_diameter == pytest.approx(4 * nearest * jacket.gap / wetted)


def test_channels_fill_what_lands_leave_of_the_annulus() -> None:
    """Channel and rib together are the annulus over the jacket length (Pappus, at mid-depth)."""
    inner = FIRST.bore + 2 * FIRST.wall_thickness
    annulus = np.pi / 4 * ((inner + 2 * JACKET.gap) ** 2 - inner**2) * JACKET.length
    share = 1 - JACKET.rib / JACKET.pitch
    assert helix_sizes(FIRST, JACKET).volume == pytest.approx(share * annulus)
    assert radius_ratio(FIRST, JACKET) == pytest.approx(inner / (inner + 2 * JACKET.gap))
    wide = replace(JACKET, gallery_width=0.01)
    ring = np.pi / 4 * ((inner + 2 * wide.gap) ** 2 - inner**2) * 0.01
    assert gallery_volume(FIRST, wide) == pytest.approx(2 * ring)


def test_a_turn_without_rise_is_a_circle() -> None:
    assert turn_length(0.1, 0.0) == pytest.approx(0.1 * np.pi)


def test_geometry() -> None:
    """VDI Heat Atlas form, read in the Modelica Standard Library: 84 mm, 15 mm -> 84.271 mm."""
    assert near("6.000") == D_H * 1e3
    assert near("84.271") == D_C * 1e3
    assert near("0.07120") == CURVE
    assert near("0.9091") == RATIO
