"""Bicubic cells: the grid the air table stands on, and the arithmetic of reading it.

The grid is uniform in two stretched coordinates, so that a cell is found without a search:

    x ~ ln(T - 130 K)                   steps of 1 K at 150 K and 43 K at 1000 K
    y ~ asinh((p - 66 bar) / 16 bar)    finest where cp peaks, above the critical point

Coefficients are stored power by power, cell by cell: each numpy operation then runs over
contiguous points. Keeping a cell's coefficients together gathers faster but reads 4x slower.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IndexArray = NDArray[np.intp]
Values = float | FloatArray

LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE = 150.0, 1000.0
"""Range of the table [K]."""
LOWEST_PRESSURE, HIGHEST_PRESSURE = 0.5e5, 400e5
"""Range of the table [Pa]."""

TEMPERATURE_POLE = 130.0
"""Origin of ln(T - pole), just below the critical temperature [K]."""
RIDGE_PRESSURE = 66e5
"""Pressure where cp peaks at 150 K; the centre of the fine cells [Pa]."""
RIDGE_WIDTH = 16e5
"""Half width of the range of fine cells [Pa]."""
CONDUCTIVITY_BREAK = 265.2624
"""Twice the reducing temperature: above it the critical enhancement of k is cut to zero [K]."""
MARGIN = 1e-6
"""Overhang of the grid beyond the range, so that rounding cannot reach past the last cell [-]."""

HERMITE = np.array([[1, 0, 0, 0], [0, 0, 1, 0], [-3, 3, -2, -1], [2, -2, 1, 1]], dtype=float)
"""Powers of a unit cell's cubic from (value, value, slope, slope) at its two ends [-]."""


class Place(NamedTuple):
    """Where states stand on the grid; x and y keep the shapes of their own variable."""

    cell: IndexArray
    """Number of the cell [-]."""
    x: FloatArray
    """Position within the cell along temperature, 0 to 1 [-]."""
    y: FloatArray
    """Position within the cell along pressure, 0 to 1 [-]."""
    x_T: FloatArray
    """Slope of x with temperature [1/K]."""
    y_p: FloatArray
    """Slope of y with pressure [1/Pa]."""
    p: FloatArray
    """Pressure after clipping to the range [Pa]."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Grid:
    """A rectangle of cells, uniform in the stretched coordinates x(T) and y(p)."""

    hot_cells: int
    """Cells in temperature above the break of conductivity [-]."""
    cold_cells: int
    """Cells in temperature below it [-]."""
    pressure_cells: int
    """Cells in pressure [-]."""
    x_start: float
    """ln((T - pole) / 1 K) at the coldest node [-]."""
    x_rate: float
    """Cells per unit of that logarithm [-]."""
    y_start: float
    """asinh((p - ridge) / width) at the lowest pressure [-]."""
    y_rate: float
    """Cells per unit of that inverse hyperbolic sine [-]."""

    @classmethod
    def spanning(cls, hot_cells: int, pressure_cells: int) -> Grid:
        """Lay a grid over the whole range with a node on the break of conductivity."""
        coldest = math.log(LOWEST_TEMPERATURE * (1 - MARGIN) - TEMPERATURE_POLE)
        broken = math.log(CONDUCTIVITY_BREAK - TEMPERATURE_POLE)
        hottest = math.log(HIGHEST_TEMPERATURE * (1 + MARGIN) - TEMPERATURE_POLE)
        x_rate = hot_cells / (hottest - broken)
        cold_cells = math.ceil((broken - coldest) * x_rate)
        y_start = math.asinh((LOWEST_PRESSURE * (1 - MARGIN) - RIDGE_PRESSURE) / RIDGE_WIDTH)
        y_end = math.asinh((HIGHEST_PRESSURE * (1 + MARGIN) - RIDGE_PRESSURE) / RIDGE_WIDTH)
        return cls(
            hot_cells=hot_cells,
            cold_cells=cold_cells,
            pressure_cells=pressure_cells,
            x_start=broken - cold_cells / x_rate,
            x_rate=x_rate,
            y_start=y_start,
            y_rate=pressure_cells / (y_end - y_start),
        )

    @property
    def temperatures(self) -> FloatArray:
        """Node temperatures, rising [K]."""
        nodes = np.arange(self.cold_cells + self.hot_cells + 1)
        return TEMPERATURE_POLE + np.exp(self.x_start + nodes / self.x_rate)

    @property
    def pressures(self) -> FloatArray:
        """Node pressures, rising [Pa]."""
        nodes = np.arange(self.pressure_cells + 1)
        return RIDGE_PRESSURE + RIDGE_WIDTH * np.sinh(self.y_start + nodes / self.y_rate)

    def x_T(self, T: FloatArray) -> FloatArray:
        """Give the slope of x, in cells, with temperature [1/K]."""
        slope: FloatArray = self.x_rate / (T - TEMPERATURE_POLE)
        return slope

    def y_p(self, p: FloatArray) -> FloatArray:
        """Give the slope of y, in cells, with pressure [1/Pa]."""
        slope: FloatArray = self.y_rate / np.hypot(p - RIDGE_PRESSURE, RIDGE_WIDTH)
        return slope

    def locate(self, T: Values, p: Values) -> Place:
        """Find the cells of states, clipped to the range of the table.

        Parameters
        ----------
        T
            Temperature [K].
        p
            Absolute pressure [Pa]; T and p broadcast.
        """
        above = np.minimum(np.maximum(T, LOWEST_TEMPERATURE), HIGHEST_TEMPERATURE)
        above = above - TEMPERATURE_POLE
        p = np.minimum(np.maximum(p, LOWEST_PRESSURE), HIGHEST_PRESSURE)
        ridge = (p - RIDGE_PRESSURE) / RIDGE_WIDTH
        root = np.sqrt(ridge * ridge + 1.0)
        x = (np.log(above) - self.x_start) * self.x_rate
        # asinh by log and sqrt: both run on vector units where arcsinh may not
        y = (np.log(ridge + root) - self.y_start) * self.y_rate
        row, column = x.astype(np.intp), y.astype(np.intp)
        return Place(
            cell=row * self.pressure_cells + column,
            x=x - row,
            y=y - column,
            x_T=self.x_rate / above,
            y_p=(self.y_rate / RIDGE_WIDTH) / root,
            p=p,
        )


def spline_slopes(nodes: int) -> FloatArray:
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


def splined(values: FloatArray) -> FloatArray:
    """Complete node values, shape (m, n), to the node data of `cell_powers` by splines."""
    along_x, along_y = (spline_slopes(nodes) for nodes in values.shape)
    x_slopes = along_x @ values
    return np.stack([values, x_slopes, values @ along_y.T, x_slopes @ along_y.T])


def cell_powers(first: FloatArray, second: FloatArray) -> FloatArray:
    """Turn node data of two quantities into the bicubic polynomials of every cell.

    Parameters
    ----------
    first, second
        Value, x slope, y slope, mixed slope per cell width, shape (4, m + 1, n + 1).

    Returns
    -------
    Coefficients laid out for reading, shape (power of y, power of x times quantity, cell).
    """
    m, n = first.shape[1] - 1, first.shape[2] - 1
    corners = np.empty((2, 2, 2, 2, 2, m, n))  # y slope, y end, x slope, x end, quantity
    for number, nodes in enumerate((first, second)):
        for x_end in (0, 1):
            for y_end in (0, 1):
                here = nodes[:, x_end : x_end + m, y_end : y_end + n].reshape(2, 2, m, n)
                corners[:, y_end, :, x_end, number] = here
    along_y = _powers(corners.reshape(4, -1))
    along_x = _powers(along_y.reshape(4, 4, -1).swapaxes(0, 1))
    return along_x.swapaxes(0, 1).reshape(4, 8, m * n)


def _powers(ends: FloatArray) -> FloatArray:
    """Powers of unit cubics, as `HERMITE` gives them, along the first axis.

    Written out: threads of a linear algebra library cost more than so thin a product.
    """
    v0, v1, s0, s1 = ends
    rise, bend = v1 - v0, s0 + s1
    found = np.empty_like(ends)
    found[0], found[1] = v0, s0
    found[2] = 3.0 * rise - s0 - bend
    found[3] = bend - 2.0 * rise
    return found


def gathered(table: FloatArray, cell: IndexArray, y: Values) -> tuple[FloatArray, FloatArray]:
    """Fetch the coefficients of cells and evaluate the cubics in y, with their slopes.

    Returns
    -------
    Values and y slopes, each of shape (x power, quantity, *states).
    """
    high = table[3].take(cell, axis=1, mode="clip")
    slope = high * y
    low = table[2].take(cell, axis=1, mode="clip")
    value = np.add(slope, low, out=high)
    slope += value
    slope *= y
    value *= y
    value += table[1].take(cell, axis=1, mode="clip", out=low)
    slope += value
    value *= y
    value += table[0].take(cell, axis=1, mode="clip", out=low)
    shape = (4, 2, *cell.shape)
    return value.reshape(shape), slope.reshape(shape)


def gathered_values(table: FloatArray, cell: IndexArray, y: Values) -> FloatArray:
    """Fetch the coefficients of cells and evaluate the cubics in y, without slopes."""
    value: FloatArray = table[3].take(cell, axis=1, mode="clip")
    value *= y
    low = table[2].take(cell, axis=1, mode="clip")
    value += low
    for power in (1, 0):
        value *= y
        value += table[power].take(cell, axis=1, mode="clip", out=low)
    return value.reshape(4, 2, *cell.shape)


def cubic(powers: FloatArray, x: Values) -> FloatArray:
    """Evaluate cubics from coefficients stacked along the first axis."""
    value: FloatArray = powers[3] * x
    value += powers[2]
    value *= x
    value += powers[1]
    value *= x
    value += powers[0]
    return value


def cubic_with_slope(powers: FloatArray, x: Values) -> tuple[FloatArray, FloatArray]:
    """Evaluate cubics and their slopes from coefficients stacked along the first axis."""
    slope: FloatArray = powers[3] * x
    value: FloatArray = slope + powers[2]
    slope += value
    slope *= x
    value *= x
    value += powers[1]
    slope += value
    value *= x
    value += powers[0]
    return value, slope
