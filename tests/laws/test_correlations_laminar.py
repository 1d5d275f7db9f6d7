"""Laminar flow in the channel against solutions of our own and the tables that check them."""

from __future__ import annotations

import numpy as np
import pytest
from printed import near
from scipy.linalg import eigh_tridiagonal
from scipy.sparse import diags, identity, kron
from scipy.sparse.linalg import spsolve

from jacketcalc.correlations import friction as fr
from jacketcalc.correlations import heat
from jacketcalc.correlations.records import catalogue


@pytest.mark.parametrize(
    ("aspect", "printed"),
    [(1.0, "56.918"), (0.5, "62.229"), (1 / 3, "68.380"), (0.25, "72.936"), (0.0, "96")],
)
def test_rectangle_friction(aspect: float, printed: str) -> None:
    """Shah and London 1978, coefficients read in a public file."""
    if aspect:
        assert fr.rectangle_constant(aspect) == near(printed)
        assert fr.rectangle_constant(1.0 / aspect) == near(printed)
    else:
        assert fr.rectangle_constant(1e-9) == near(printed)


# laminar, one wall heated: an independent solution

ONE_WALL = [
    (0.0, 5.3846),
    (0.05, 5.083),
    (0.10, 4.820),
    (0.20, 4.378),
    (0.25, 4.195),
    (1 / 3, 3.931),
    (0.50, 3.514),
    (0.70, 3.127),
    (1.0, 2.686),
]


@pytest.mark.parametrize(("aspect", "printed"), ONE_WALL)
def test_one_wall_table(aspect: float, printed: float) -> None:
    """Finite volumes, computed for this project; the fit is within 0.03 % of it."""
    assert heat.one_wall_laminar(aspect) == pytest.approx(printed, rel=4e-4)


@pytest.mark.parametrize(
    ("aspect", "printed"),
    [
        (0.2, "76.28"),
        (0.25, "72.93"),
        (1 / 3, "68.36"),
        (0.5, "62.19"),
        (0.7, "58.42"),
        (1, "56.91"),
    ],
)
def test_rectangle_friction_against_the_series(aspect: float, printed: str) -> None:
    """The exact series of Shah and London; their polynomial follows it within 0.1 %.

    Finite volumes print the same, but 89.55 at 0.05 and 84.58 at 0.1, where the series gives
    89.91 and 84.68: the grid was coarse there, and those two are not used.
    """
    n = np.arange(1, 200, 2)
    tail = np.sum(np.tanh(n * np.pi / 2 / aspect) / n**5.0)
    series = 96 / ((1 + aspect) ** 2 * (1 - 192 * aspect / np.pi**5 * tail))
    assert series == pytest.approx(float(printed), abs=0.006)
    assert fr.rectangle_constant(aspect) == pytest.approx(series, rel=1e-3)


@pytest.mark.parametrize("aspect", [0.1, 1 / 3, 0.7, 1.0, 1.5, 2.0, 5.0, 12.0])
def test_one_wall_against_a_solution(aspect: float) -> None:
    """Momentum and energy solved on two grids here and extrapolated."""
    assert heat.one_wall_laminar(aspect) == pytest.approx(duct(aspect, "DNNN"), rel=2e-3)


def test_the_solution_knows_the_square() -> None:
    """Shah and London 1978: 3.608 with four walls, uniform axial flux."""
    assert duct(1.0, "DDDD") == pytest.approx(3.608, rel=1e-3)


def test_short_wall_of_the_handbook() -> None:
    """Schmidt and Newell's table: one short wall, aspect 0.5, 1.854 (from memory; 1.5 %)."""
    assert heat.one_wall_laminar(2.0) == pytest.approx(1.854, rel=0.015)


def duct(aspect: float, walls: str) -> float:
    """Nusselt number of a rectangle, uniform axial flux; D a heated wall, N an insulated one."""
    coarse, fine = (_duct(aspect, walls, n) for n in (24, 48))
    return (4.0 * fine - coarse) / 3.0


def _duct(aspect: float, walls: str, n: int) -> float:
    gap, width = aspect, 1.0
    eye = identity(n)
    momentum = kron(eye, _second(n, gap, "DD")) + kron(_second(n, width, "DD"), eye)
    u = spsolve(momentum.tocsc(), -np.ones(n * n))
    u /= u.mean()
    energy = kron(eye, _second(n, gap, walls[:2])) + kron(_second(n, width, walls[2:]), eye)
    theta = spsolve(energy.tocsc(), -u)
    lengths = (width, width, gap, gap)
    heated = sum(size for size, kind in zip(lengths, walls, strict=True) if kind == "D")
    flux = gap * width / heated
    return float(flux * 2.0 * gap * width / (gap + width) / (u * theta).mean())


def _second(n: int, size: float, walls: str) -> diags:
    """Second derivative on n cells between two walls."""
    middle = -2.0 * np.ones(n)
    middle[0] += -1.0 if walls[0] == "D" else 1.0
    middle[-1] += -1.0 if walls[1] == "D" else 1.0
    side = np.ones(n - 1)
    return diags([side, middle, side], [-1, 0, 1]) / (size / n) ** 2


# Incropera, Table 8.2 (Kays and Perkins), read: one wall at a temperature, other insulated.
ANNULUS = [
    (0.05, "17.46", "4.06"),
    (0.10, "11.56", "4.11"),
    (0.25, "7.37", "4.23"),
    (0.50, "5.74", "4.43"),
    (0.9999, "4.86", "4.86"),
]


@pytest.mark.parametrize(("ratio", "inner", "outer"), ANNULUS)
def test_annulus_solution_against_the_table(ratio: float, inner: str, outer: str) -> None:
    """The solution used below, 0.1 % as the digits allow."""
    assert annulus(ratio, "inner") == pytest.approx(float(inner), rel=1e-3, abs=0.005)
    assert annulus(ratio, "outer") == pytest.approx(float(outer), rel=1e-3, abs=0.005)


def test_annulus_of_a_heat_exchanger() -> None:
    """Incropera, example 11.1: 25 in 45 mm, Nu_i 5.63 by a straight line in the table; 0.5 %.

    The curve is hollow there: the solution lies 1.2 % below the line.
    """
    ratios, inner, _ = zip(*ANNULUS, strict=True)
    line = np.interp(0.556, ratios, [float(value) for value in inner])
    assert line == pytest.approx(5.63, rel=5e-3)
    assert -0.015 < annulus(25 / 45, "inner") / line - 1.0 < 0.0


def test_flat_wall_stands_for_the_cylinder() -> None:
    """The channel's laminar law is for a flat floor; at a radius ratio of 0.9 it loses 2 %."""
    flat = annulus(0.9999, "inner")
    assert flat == near("4.86")
    assert 1.0 < annulus(0.9, "inner") / flat < 1.03


def annulus(ratio: float, heated: str, n: int = 600) -> float:
    """Fully developed Nusselt number of an annulus, one wall at a temperature."""
    edges = np.linspace(ratio, 1.0, n + 1) / (1.0 - ratio)
    r = 0.5 * (edges[1:] + edges[:-1])
    inner, outer = edges[0], edges[-1]
    h = edges[1] - edges[0]
    log = (outer**2 - inner**2) / np.log(outer / inner)
    u = outer**2 - r**2 + log * np.log(r / outer)
    u /= (u * r).sum() / r.sum()
    middle = -(edges[1:] + edges[:-1]) / h
    middle[0] += inner / h * (-1.0 if heated == "inner" else 1.0)
    middle[-1] += outer / h * (-1.0 if heated == "outer" else 1.0)
    weight = np.sqrt(u * r * h)
    side = edges[1:-1] / h / (weight[1:] * weight[:-1])
    decay = -eigh_tridiagonal(
        middle / weight**2, side, select="i", select_range=(n - 1, n - 1), eigvals_only=True
    )
    perimeter = inner if heated == "inner" else outer
    return float(decay[0] * (outer**2 - inner**2) / 2.0 / perimeter * 2.0 * (outer - inner))


# laminar curved channel: numerical experiment of this project, not external
# w/g, Re, De, f Re, Nu on the inner wall alone.
CURVED = [
    (3, 500, 79, 77.7, 5.58),
    (3, 500, 134, 86.2, 6.52),
    (3, 1000, 267, 115.7, 7.97),
    (3, 2000, 316, 122.8, 8.21),
    (3, 2000, 534, 152.3, 9.94),
    (3, 4000, 1069, 213.4, 12.7),
    (5, 1000, 282, 120.9, 7.87),
    (5, 2000, 563, 156.6, 9.93),
    (1, 500, 109, 92.9, 5.76),
    (1, 1000, 218, 115.0, 7.95),
    (1, 2000, 436, 159.3, 10.85),
]


@pytest.mark.parametrize(("width", "Re", "De", "friction", "inner"), CURVED)
def test_curved_channel(width: int, Re: float, De: float, friction: float, inner: float) -> None:
    """Within 4 % for wide channels, -14 to +6 % for square ones, as stated with the fit."""
    error = float(heat.curved_laminar(De, 1.0 / width)) / inner - 1.0
    assert abs(error) < 0.042 if width > 1 else -0.145 < error < 0.065
    low, high = catalogue()["coil, laminar friction"].scatter
    # A round coil of curvature 1 has its Dean number for Reynolds number.
    coil = fr.coil_laminar(De, 1.0) * De / 64.0
    ours = float(fr.rectangle_constant(1.0 / width)) * coil
    assert low < friction / ours - 1.0 < high
