"""Bicubic cells: the grid that a gas's table stands on, and the arithmetic of reading it.

The grid is uniform in two stretched coordinates, so that a cell is found without a search; for air

    x ~ ln(T - 136.3 K)                  steps of 0.3 K at 140 K, 12 K at 300 K, 62 K at 1000 K
    y ~ asinh((p - 52 bar) / 4.7 bar)    finest where cp peaks, above the critical point

A cell's coefficients lie together, so that the compiled core reads them from one place.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from jacketcalc.arrays import Array, Number
from jacketcalc.gases import Span

IndexArray = NDArray[np.intp]

MARGIN = 1e-6
"""Overhang of the grid beyond the range, so that rounding cannot reach past the last cell [-]."""

ROWS_AT_ONCE = 4
"""Rows of cells laid together: what they need stays in the processor's cache [-]."""

HERMITE = np.array([[1, 0, 0, 0], [0, 0, 1, 0], [-3, 3, -2, -1], [2, -2, 1, 1]], dtype=float)
"""Powers of a unit cell's cubic from (value, value, slope, slope) at its two ends [-]."""


class GridPlace(NamedTuple):
    """Where states stand on the grid; x and y keep the shapes of their own variable."""

    cell: IndexArray
    """Number of the cell [-]."""
    x: Array
    """Position within the cell along temperature, 0 to 1 [-]."""
    y: Array
    """Position within the cell along pressure, 0 to 1 [-]."""
    x_T: Array
    """Slope of x with temperature [1/K]."""
    y_p: Array
    """Slope of y with pressure [1/Pa]."""
    p: Array
    """Pressure after clipping to the range [Pa]."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Grid:
    """A rectangle of cells, uniform in the stretched coordinates x(T) and y(p)."""

    span: Span
    """The range, and how cells are stretched over it [SI]."""
    cold_cells: int
    """Cells in temperature below the break of conductivity [-]."""
    x_start: float
    """ln((T - pole) / 1 K) at the coldest node [-]."""
    x_rate: float
    """Cells per unit of that logarithm [-]."""
    y_start: float
    """asinh((p - ridge) / width) at the lowest pressure [-]."""
    y_rate: float
    """Cells per unit of that inverse hyperbolic sine [-]."""

    @classmethod
    def spanning(cls, span: Span) -> Grid:
        """Lay a grid over the whole range with a node on the break of conductivity."""
        coldest = math.log(span.lowest_temperature * (1 - MARGIN) - span.pole)
        broken = math.log(span.broken - span.pole)
        hottest = math.log(span.highest_temperature * (1 + MARGIN) - span.pole)
        x_rate = span.hot_cells / (hottest - broken)
        cold_cells = math.ceil((broken - coldest) * x_rate)
        y_start = math.asinh((span.lowest_pressure * (1 - MARGIN) - span.ridge) / span.width)
        y_end = math.asinh((span.highest_pressure * (1 + MARGIN) - span.ridge) / span.width)
        return cls(
            span=span,
            cold_cells=cold_cells,
            x_start=broken - cold_cells / x_rate,
            x_rate=x_rate,
            y_start=y_start,
            y_rate=span.pressure_cells / (y_end - y_start),
        )

    @property
    def temperatures(self) -> Array:
        """Node temperatures, rising [K]."""
        nodes = np.arange(self.cold_cells + self.span.hot_cells + 1)
        return self.span.pole + np.exp(self.x_start + nodes / self.x_rate)

    @property
    def pressures(self) -> Array:
        """Node pressures, rising [Pa]."""
        nodes = np.arange(self.span.pressure_cells + 1)
        return self.span.ridge + self.span.width * np.sinh(self.y_start + nodes / self.y_rate)

    def x_T(self, T: Array) -> Array:
        """Give the slope of x, in cells, with temperature [1/K]."""
        slope: Array = self.x_rate / (T - self.span.pole)
        return slope

    def y_p(self, p: Array) -> Array:
        """Give the slope of y, in cells, with pressure [1/Pa]."""
        slope: Array = self.y_rate / np.hypot(p - self.span.ridge, self.span.width)
        return slope

    def locate(self, T: Number, p: Number) -> GridPlace:
        """Find the cells of states, clipped to the range of the table.

        Parameters
        ----------
        T
            Temperature [K].
        p
            Absolute pressure [Pa]; T and p broadcast.
        """
        span = self.span
        above = np.minimum(np.maximum(T, span.lowest_temperature), span.highest_temperature)
        above = above - span.pole
        p = np.minimum(np.maximum(p, span.lowest_pressure), span.highest_pressure)
        ridge = (p - span.ridge) / span.width
        root = np.sqrt(ridge * ridge + 1.0)
        x = (np.log(above) - self.x_start) * self.x_rate
        # asinh by log and sqrt: both run on vector units where arcsinh may not
        y = (np.log(ridge + root) - self.y_start) * self.y_rate
        row, column = x.astype(np.intp), y.astype(np.intp)
        return GridPlace(
            cell=row * span.pressure_cells + column,
            x=x - row,
            y=y - column,
            x_T=self.x_rate / above,
            y_p=(self.y_rate / span.width) / root,
            p=p,
        )


def spline_slopes(nodes: int) -> Array:
    """Give the matrix from values at equidistant nodes to cubic spline slopes per spacing.

    The two end slopes close the system with a compact fourth-order formula.
    """
    implicit, explicit = np.zeros((nodes, nodes)), np.zeros((nodes, nodes))
    inner = np.arange(1, nodes - 1)
    implicit[inner, inner] = 4.0
    implicit[inner, inner - 1] = implicit[inner, inner + 1] = 1.0
    explicit[inner, inner - 1], explicit[inner, inner + 1] = -3.0, 3.0
    end = np.array([-17.0, 9.0, 9.0, -1.0]) / 6.0
    implicit[0, :2], explicit[0, :4] = (1.0, 3.0), end
    implicit[-1, -2:], explicit[-1, -4:] = (3.0, 1.0), -end[::-1]
    return np.asarray(np.linalg.solve(implicit, explicit), dtype=np.float64)


def splined(values: Array) -> Array:
    """Complete node values, shape (m, n), to the node data of `lay_cells` by splines.

    `einsum` runs in this thread: waiting for a linear algebra library's own costs far more.
    """
    along_x, along_y = (spline_slopes(nodes) for nodes in values.shape)
    x_slopes = np.einsum("ij,jk->ik", along_x, values)
    y_slopes = [np.einsum("ij,kj->ik", each, along_y) for each in (values, x_slopes)]
    return np.stack([values, y_slopes[0], x_slopes, y_slopes[1]])


def lay_cells(nodes: Array, cells: Array) -> None:
    """Turn node data into the coefficients of every cell's bicubic polynomials.

    Parameters
    ----------
    nodes
        Value, y slope, x slope, mixed slope per cell width, shape (4, quantity, m + 1, n + 1).
    cells
        Filled with coefficients, shape (m n, quantity, power of x, power of y).
    """
    _, count, rows, columns = nodes.shape
    m, n = rows - 1, columns - 1
    for start in range(0, m, ROWS_AT_ONCE):
        end = min(start + ROWS_AT_ONCE, m)
        corners = np.empty((count, 2, 2, 2, 2, end - start, n))  # x slope, x end, y slope, y end
        for x_end in (0, 1):
            for y_end in (0, 1):
                here = nodes[:, :, start + x_end : end + x_end, y_end : y_end + n]
                here = here.reshape(2, 2, count, end - start, n).transpose(2, 0, 1, 3, 4)
                corners[:, :, x_end, :, y_end] = here
        powers = _powers(_powers(corners.reshape(count, 4, 4, -1), 1), 2)
        cells[start * n : end * n].reshape(-1, 16 * count)[:] = powers.reshape(16 * count, -1).T


def _powers(ends: Array, axis: int) -> Array:
    """Powers of unit cubics, as `HERMITE` gives them, along an axis.

    Written out: threads of a linear algebra library cost more than so thin a product.
    """
    found = np.empty_like(ends)
    v0, v1, s0, s1 = np.moveaxis(ends, axis, 0)
    rise, bend = v1 - v0, s0 + s1
    power = np.moveaxis(found, axis, 0)
    power[0], power[1] = v0, s0
    power[2] = 3.0 * rise - s0 - bend
    power[3] = bend - 2.0 * rise
    return found


def read_cells(cells: Array, place: GridPlace) -> tuple[Array, Array, Array]:
    """Evaluate bicubic polynomials with their slopes in x and y.

    Parameters
    ----------
    cells
        Coefficients, shape (cell, quantity, power of x, power of y).
    place
        Where the states stand.

    Returns
    -------
    Values, x slopes and y slopes, each of shape (quantity, *states).
    """
    powers = np.moveaxis(cells[place.cell], (-1, -2, -3), (0, 1, 2))
    along_y, along_y_slope = cubic_with_slope(powers, place.y)
    value, value_x = cubic_with_slope(along_y, place.x)
    return value, value_x, cubic(along_y_slope, place.x)


def cubic(powers: Array, x: Number) -> Array:
    """Evaluate cubics from coefficients stacked along the first axis."""
    value: Array = powers[3] * x
    value += powers[2]
    value *= x
    value += powers[1]
    value *= x
    value += powers[0]
    return value


def cubic_with_slope(powers: Array, x: Number) -> tuple[Array, Array]:
    """Evaluate cubics and their slopes from coefficients stacked along the first axis."""
    slope: Array = powers[3] * x
    value: Array = slope + powers[2]
    slope += value
    slope *= x
    value *= x
    value += powers[1]
    slope += value
    value *= x
    value += powers[0]
    return value, slope
