"""A gas as arrays: bicubic cells through CoolProp's values and slopes, read with numpy alone.

Stored are rho/p [kg/J], which an ideal gas makes independent of pressure, and h [J/kg], both
with CoolProp's own derivatives at the nodes, so that value and slope are continuous everywhere;
and viscosity and conductivity, with the slopes of a cubic spline through the nodes.

Largest departures of air from CoolProp over its whole range: rho 1e-6, h 2e-7 of cp T, cp 3e-5, cv
4e-4 and speed of sound 2.5e-4 (these three near 140 K and 50 bar), viscosity 2e-6, conductivity
1.5e-3 between 253 K and its break at 265.26 K, 3e-4 below 160 K above 550 bar, where another
break lies, and 1e-4 elsewhere. For the other gases see `tests/gases/test_gas_accuracy.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from jacketcalc.arrays import Array, Number
from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.gas.cells import Grid, lay_cells, read_cells, splined
from jacketcalc.gas.samples import Samples, read_samples
from jacketcalc.gases import FLUIDS, Fluid, Span
from jacketcalc.inputs import GasName

NEWTON_STEPS = 60
"""Steps allowed for a temperature from an enthalpy; 3 to 6 are usual, bisection needs 37 [-]."""
NEWTON_CHANGE = 1e-8
"""Last change that ends that search [K]."""
ENTHALPY_SLACK = 1e-2
"""Overshoot of an enthalpy that is rounding rather than out of range [J/kg]."""
SETTLED = 1e-11
"""Last relative change that ends a search for a state [-]."""
START_TEMPERATURE = 300.0
"""Where a search for contents begins [K]."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Thermo:
    """Density and enthalpy with the exact derivatives of the interpolant."""

    rho: Array
    """Density [kg/m3]."""
    h: Array
    """Specific enthalpy, on CoolProp's datum [J/kg]."""
    rho_T: Array
    """Slope of density with temperature at constant pressure [kg/(m3 K)]."""
    rho_p: Array
    """Slope of density with pressure at constant temperature [kg/(m3 Pa)]."""
    h_T: Array
    """Slope of enthalpy with temperature at constant pressure, which is cp [J/(kg K)]."""
    h_p: Array
    """Slope of enthalpy with pressure at constant temperature [J/(kg Pa)]."""


@dataclass(frozen=True, kw_only=True)
class Properties:
    """Everything the table knows of a state."""

    density: Array
    """Density [kg/m3]."""
    compressibility: Array
    """Compressibility factor Z [-]."""
    enthalpy: Array
    """Specific enthalpy, on CoolProp's datum [J/kg]."""
    cp: Array
    """Specific heat at constant pressure [J/(kg K)]."""
    cv: Array
    """Specific heat at constant volume [J/(kg K)]."""
    sound_speed: Array
    """Speed of sound [m/s]."""
    viscosity: Array
    """Dynamic viscosity [Pa s]."""
    conductivity: Array
    """Thermal conductivity [W/(m K)]."""
    prandtl: Array
    """Prandtl number [-]."""


@dataclass(frozen=True, kw_only=True, eq=False)
class GasTable:
    """A gas over the range of its table; air from 140 to 2000 K and 0.1 to 700 bar.

    T is a temperature [K] and p an absolute pressure [Pa] everywhere; both may be numbers or
    arrays, and results have the shape they broadcast to. States outside the range are clipped
    to it without a word, for the solver's sake: call `check_range` on what it returns.
    """

    fluid: Fluid
    """The gas."""
    grid: Grid
    """Where the cells lie."""
    cells: Array
    """Coefficients of rho/p [kg/J], h [J/kg], viscosity [Pa s] and conductivity [W/(m K)], shape
    (cell, quantity, power of x, power of y)."""

    @classmethod
    def laid(cls, fluid: Fluid, grid: Grid, samples: Samples) -> GasTable:
        """Lay cells through samples at the nodes of a grid."""
        rows, columns = grid.cold_cells + grid.span.hot_cells, grid.span.pressure_cells
        cells = np.empty((rows * columns, 4, 4, 4))
        nodes, broken = _nodes(grid, samples), grid.cold_cells
        for first, last in ((0, broken), (broken, rows)):
            if first == last:
                continue
            side = slice(first, last + 1)
            nodes[:, 3, side] = splined(samples.k[side])
            lay_cells(nodes[:, :, side], cells[columns * first : columns * last])
        return cls(fluid=fluid, grid=grid, cells=cells)

    @property
    def span(self) -> Span:
        """The range of the table."""
        return self.fluid.span

    @property
    def gas_constant(self) -> float:
        """Specific gas constant [J/(kg K)]."""
        return self.fluid.gas_constant

    def rho(self, T: Number, p: Number) -> Array:
        """Evaluate density [kg/m3], clipping to the range."""
        return self.thermo(T, p).rho

    def h(self, T: Number, p: Number) -> Array:
        """Evaluate specific enthalpy on CoolProp's datum [J/kg], clipping to the range."""
        return self.thermo(T, p).h

    def cp(self, T: Number, p: Number) -> Array:
        """Evaluate the specific heat at constant pressure [J/(kg K)], clipping to the range."""
        return self.thermo(T, p).h_T

    def u(self, T: Number, p: Number) -> Array:
        """Evaluate specific internal energy on CoolProp's datum [J/kg], clipping to the range."""
        state = self.thermo(T, p)
        return state.h - self.grid.locate(T, p).p / state.rho

    def compressibility(self, T: Number, p: Number) -> Array:
        """Evaluate the compressibility factor Z [-], clipping to the range."""
        return self.grid.locate(T, p).p / (self.rho(T, p) * self.gas_constant * _clipped(T, self))

    def thermo(self, T: Number, p: Number) -> Thermo:
        """Evaluate density and enthalpy with their derivatives, clipping to the range."""
        place = self.grid.locate(T, p)
        (ratio, h), (ratio_x, h_x), (ratio_y, h_y) = read_cells(self.cells[:, :2], place)
        return Thermo(
            rho=ratio * place.p,
            h=h,
            rho_T=ratio_x * (place.x_T * place.p),
            rho_p=ratio + ratio_y * (place.y_p * place.p),
            h_T=h_x * place.x_T,
            h_p=h_y * place.y_p,
        )

    def thermo_beyond(self, T: Array, p: Array) -> Thermo:
        """Evaluate as `thermo`, continued smoothly beyond the range for a search that strays.

        Beyond the range density goes with p / T and enthalpy with T from the nearest edge. A
        result that ends out there must be refused or marked by the caller.
        """
        state = self.thermo(T, p)
        low_T, high_T = self.span.lowest_temperature, self.span.highest_temperature
        low_p, high_p = self.span.lowest_pressure, self.span.highest_pressure
        if T.min() >= low_T and T.max() <= high_T and p.min() >= low_p and p.max() <= high_p:
            return state
        near_T = np.minimum(np.maximum(T, low_T), high_T)
        near_p = np.minimum(np.maximum(p, low_p), high_p)
        out_T, out_p = near_T != T, near_p != p
        thin, dense = near_T / T, p / near_p
        rho = state.rho * thin * dense
        return Thermo(
            rho=rho,
            h=state.h + state.h_T * (T - near_T),
            rho_T=np.where(out_T, -rho / T, state.rho_T * dense),
            rho_p=np.where(out_p, rho / p, state.rho_p * thin),
            h_T=state.h_T,
            h_p=np.where(out_p, 0.0, state.h_p),
        )

    def transport(self, T: Number, p: Number) -> tuple[Array, Array]:
        """Evaluate viscosity [Pa s] and conductivity [W/(m K)], clipping to the range."""
        place = self.grid.locate(T, p)
        (mu, k), _, _ = read_cells(self.cells[:, 2:], place)
        return mu, k

    def sound_speed(self, T: Number, p: Number) -> Array:
        """Evaluate the speed of sound [m/s], clipping to the range."""
        return _sound_speed(_clipped(T, self), self.thermo(T, p))

    def cv(self, T: Number, p: Number) -> Array:
        """Evaluate the specific heat at constant volume [J/(kg K)], clipping to the range."""
        return _cv(_clipped(T, self), self.thermo(T, p))

    def temperature_from_enthalpy(self, h: Number, p: Number) -> Array:
        """Find the temperature [K] at which the interpolant has the enthalpy h at pressure p.

        Newton steps, each kept within a bracket that closes in from both ends of the range.

        Parameters
        ----------
        h
            Specific enthalpy, on CoolProp's datum [J/kg].
        p
            Absolute pressure, clipped to the range [Pa].

        Raises
        ------
        RangeError
            When h belongs to no temperature of the table.
        ConvergenceError
            When Newton's steps do not settle.
        """
        h, p = np.broadcast_arrays(np.asarray(h, dtype=float), np.asarray(p, dtype=float))
        low = np.full(h.shape, self.span.lowest_temperature)
        high = np.full(h.shape, self.span.highest_temperature)
        coldest, hottest = self.thermo(low, p).h, self.thermo(high, p).h
        _check_enthalpy(self.fluid, h, p, coldest, hottest)
        T: Array = low + (high - low) * np.clip((h - coldest) / (hottest - coldest), 0.0, 1.0)
        for _ in range(NEWTON_STEPS):
            state = self.thermo(T, p)
            excess = state.h - h
            low, high = np.where(excess <= 0.0, T, low), np.where(excess >= 0.0, T, high)
            aimed = T - excess / state.h_T
            aimed = np.where((aimed >= low) & (aimed <= high), aimed, 0.5 * (low + high))
            change, T = np.abs(aimed - T), aimed
            if not np.any(change > NEWTON_CHANGE):
                return T
        raise ConvergenceError(
            f"temperature from enthalpy still moves by {np.max(change):.2g} K "
            f"after {NEWTON_STEPS} steps"
        )

    def temperature_beyond(self, h: Number, p: Number) -> Array:
        """Find temperature [K] from enthalpy as `thermo_beyond` continues it beyond the range.

        Parameters are those of `temperature_from_enthalpy`. A result out there must be refused
        or marked by the caller.
        """
        h, p = np.broadcast_arrays(np.asarray(h, dtype=float), np.asarray(p, dtype=float))
        cold = self.thermo(np.full(h.shape, self.span.lowest_temperature), p)
        hot = self.thermo(np.full(h.shape, self.span.highest_temperature), p)
        inside = np.minimum(np.maximum(h, cold.h), hot.h)
        T = self.temperature_from_enthalpy(inside, p)
        return T + np.where(h > hot.h, (h - hot.h) / hot.h_T, (h - inside) / cold.h_T)

    def state_from_energy(self, rho: Number, u: Number) -> tuple[Array, Array]:
        """Find temperature [K] and pressure [Pa] of contents of given density and energy.

        Newton's steps on both at once, each cut so that a search that strays comes back.

        Parameters
        ----------
        rho
            Density [kg/m3].
        u
            Specific internal energy, on CoolProp's datum [J/kg].

        Raises
        ------
        RangeError
            When the state lies outside the table.
        ConvergenceError
            When Newton's steps do not settle.
        """
        rho, u = np.broadcast_arrays(np.asarray(rho, dtype=float), np.asarray(u, dtype=float))
        T = np.full(rho.shape, START_TEMPERATURE)
        p = rho * self.gas_constant * T
        for _ in range(NEWTON_STEPS):
            gas = self.thermo_beyond(T, p)
            short_rho, short_u = rho - gas.rho, u - (gas.h - p / rho)
            u_p, u_T = gas.h_p - 1.0 / rho, gas.h_T
            bottom = gas.rho_p * u_T - gas.rho_T * u_p
            dp = np.clip((u_T * short_rho - gas.rho_T * short_u) / bottom, -0.3 * p, 0.3 * p)
            dT = np.clip((gas.rho_p * short_u - u_p * short_rho) / bottom, -0.2 * T, 0.2 * T)
            T, p = T + dT, p + dp
            if not np.any((np.abs(dT) > SETTLED * T) | (np.abs(dp) > SETTLED * p)):
                self.check_range(T, p, "contents")
                return T, p
        raise ConvergenceError(f"a state of {self.fluid.name} from density and energy not found")

    def pressure_from_density(self, T: Number, rho: Number) -> Array:
        """Find the pressure [Pa] at which the gas has a density [kg/m3] at a temperature [K].

        Raises
        ------
        RangeError
            When the state lies outside the table.
        ConvergenceError
            When Newton's steps do not settle.
        """
        T, rho = np.broadcast_arrays(np.asarray(T, dtype=float), np.asarray(rho, dtype=float))
        p = rho * self.gas_constant * T
        for _ in range(NEWTON_STEPS):
            gas = self.thermo_beyond(T, p)
            dp = np.clip((rho - gas.rho) / gas.rho_p, -0.5 * p, p)
            p = p + dp
            if not np.any(np.abs(dp) > SETTLED * p):
                self.check_range(T, p, "contents")
                return p
        raise ConvergenceError(f"a pressure of {self.fluid.name} from density not found")

    def check_range(self, T: Number, p: Number, what: str = "") -> None:
        """Refuse states outside the table.

        Parameters
        ----------
        T
            Temperature [K].
        p
            Absolute pressure [Pa].
        what
            The place that the state belongs to, put before the message.

        Raises
        ------
        RangeError
            Naming the value furthest outside, how many are, and the limits.
        """
        place = f"{what}: " if what else ""
        name, span = self.fluid.name, self.span
        _refuse(
            name,
            place + f"{name} temperature",
            "K",
            T,
            (span.lowest_temperature, span.highest_temperature),
        )
        _refuse(
            name,
            place + f"absolute {name} pressure",
            "bar",
            np.asarray(p) / 1e5,
            (span.lowest_pressure / 1e5, span.highest_pressure / 1e5),
        )


@cache
def gas_table(name: GasName = "air") -> GasTable:
    """Give the table of a gas, laid through the shipped samples at the first call."""
    fluid = FLUIDS[name]
    return GasTable.laid(fluid, *read_samples(fluid))


def air() -> GasTable:
    """Give the table of air."""
    return gas_table("air")


def properties(T: Number, p: Number, name: GasName = "air") -> Properties:
    """Evaluate all properties of a gas, refusing states outside the range of its table.

    Parameters
    ----------
    T
        Temperature [K].
    p
        Absolute pressure [Pa]; T and p broadcast.
    name
        The gas.

    Raises
    ------
    RangeError
        When a state lies outside the range; for air 140 to 2000 K and 0.1 to 700 bar.
    """
    table = gas_table(name)
    table.check_range(T, p)
    state = table.thermo(T, p)
    mu, k = table.transport(T, p)
    return Properties(
        density=state.rho,
        compressibility=p / (state.rho * table.gas_constant * T),
        enthalpy=state.h,
        cp=state.h_T,
        cv=_cv(T, state),
        sound_speed=_sound_speed(T, state),
        viscosity=mu,
        conductivity=k,
        prandtl=state.h_T * mu / k,
    )


def _nodes(grid: Grid, samples: Samples) -> Array:
    """Node data of all quantities but conductivity, which has a break, for `lay_cells`."""
    p = grid.pressures
    T_x = 1.0 / grid.x_T(grid.temperatures)[:, np.newaxis]
    p_y = 1.0 / grid.y_p(p)
    ratio, ratio_T = samples.rho / p, samples.rho_T / p
    ratio_p, ratio_Tp = (samples.rho_p - ratio) / p, (samples.rho_Tp - ratio_T) / p
    nodes = np.empty((4, 4, *samples.rho.shape))
    nodes[:, 0] = ratio, ratio_p * p_y, ratio_T * T_x, ratio_Tp * (T_x * p_y)
    nodes[:, 1] = samples.h, samples.h_p * p_y, samples.h_T * T_x, samples.h_Tp * (T_x * p_y)
    nodes[:, 2] = splined(samples.mu)
    return nodes


def _clipped(T: Number, table: GasTable) -> Array:
    """Clip temperatures to the range, as `thermo` does."""
    return np.minimum(np.maximum(T, table.span.lowest_temperature), table.span.highest_temperature)


def _cv(T: Number, state: Thermo) -> Array:
    """Subtract the work of expansion from cp: cp - cv = T rho_T^2 / (rho^2 rho_p)."""
    return state.h_T - T * (state.rho_T / state.rho) ** 2 / state.rho_p


def _sound_speed(T: Number, state: Thermo) -> Array:
    """Take the isentropic slope: 1 / c^2 = rho_p - T rho_T^2 / (rho^2 cp)."""
    return 1.0 / np.sqrt(state.rho_p - T * (state.rho_T / state.rho) ** 2 / state.h_T)


def _refuse(name: str, what: str, unit: str, values: Number, limits: tuple[float, float]) -> None:
    """Raise when a value lies outside the limits or is not a number."""
    low, high = limits
    given = np.atleast_1d(np.asarray(values, dtype=float))
    outside = given[~((given >= low) & (given <= high))]
    if outside.size == 0:
        return
    worst = outside[np.argmax(np.maximum(low - outside, outside - high))]
    share = f" ({outside.size} of {given.size} values are outside)" if given.size > 1 else ""
    raise RangeError(
        f"{what} of {worst:.6g} {unit}{share}: the table of {name} covers {low:g} to {high:g} "
        f"{unit}"
    )


def _check_enthalpy(fluid: Fluid, h: Array, p: Array, low: Array, high: Array) -> None:
    """Raise when an enthalpy belongs to no temperature of the table."""
    outside = ~((h >= low - ENTHALPY_SLACK) & (h <= high + ENTHALPY_SLACK))
    if not np.any(outside):
        return
    first = np.flatnonzero(outside)[0]
    value, pressure = h.flat[first], p.flat[first] / 1e5
    limits = f"{np.asarray(low).flat[first]:.6g} to {np.asarray(high).flat[first]:.6g} J/kg"
    raise RangeError(
        f"{fluid.name} enthalpy of {value:.6g} J/kg at {pressure:.6g} bar: the table of "
        f"{fluid.name} covers {limits} there, {fluid.span.lowest_temperature:g} to "
        f"{fluid.span.highest_temperature:g} K"
    )
