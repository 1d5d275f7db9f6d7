"""Flow through a passage as a function of the pressure at its port.

A long passage is not well fitted by the ISO 6358 ellipse, so the stroke cycle reads the
passage's own curve: ln(flow) over s = ln((p / p_room)^2 - 1), nearly straight, through the
levels that were marched, by a monotone cubic.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.designs import Array
from jacketcalc.flow.iso6358 import REFERENCE_DENSITY, REFERENCE_TEMPERATURE

LOWEST_S = -14.0
STEEPEST = 3.0
"""Largest slope of ln(flow) over s between levels; 1/2 to 1 are usual [-]."""

LARGEST_B, B_STEPS = 0.6, 60
"""Largest critical ratio tried for an equivalent element [-], and steps up to it; the least
misfit is read from the parabola through the best one."""


@dataclass(frozen=True, kw_only=True)
class Curve:
    """Flow curve of each passage, levels on the first axis."""

    s: Array
    """ln((p / p_room)^2 - 1) at the levels, rising, shape (level, node, B) [-]."""
    y: Array
    """ln of mass flow [kg/s] at the levels, shape (level, node, B) [-]."""
    slope: Array
    """dy/ds at the levels, shape (level, node, B) [-]."""
    T0: Array
    """Port temperature the curve was made at, shape (node, B) [K]."""
    room_pressure: Array
    """Pressure of the room, shape (B,) [Pa]."""
    exponent: Array
    """Power of port temperature that flow falls with, shape (node, B); 1/2 without heat [-]."""
    packed: Array
    """Start, and cubic in s - start, of each span, shape (5, span x node x B): one gather
    [-].

    The first span stands for laminar flow below the lowest level, in proportion to
    p^2 - p_room^2, the last for what lies above the highest.
    """
    column: NDArray[np.intp]
    """Place of each node and design in a span, shape (node, B)."""


def fit_curve(flow: Array, pressure: Array, T0: Array, room_pressure: Array) -> Curve:
    """Make a curve from marched levels.

    Parameters
    ----------
    flow : rising levels of mass flow, shape (level, node, B) [kg/s]
    pressure : stagnation pressure at the port they need, shape (level, node, B) [Pa]
    T0 : port temperature, shape (node, B) [K]
    room_pressure : shape (B,) [Pa]
    """
    excess = np.maximum((pressure / room_pressure) ** 2 - 1.0, np.exp(LOWEST_S))
    s, y = np.log(excess), np.log(flow)
    # Where friction drops at transition, more flow needs less pressure: no step is left there.
    lean = y / STEEPEST
    s = np.maximum.accumulate(s - lean, axis=0) + lean
    slope = _monotone_slopes(s, y)
    return _packed(s, y, slope, T0, room_pressure, np.full(s[0].shape, 0.5))


def curve_of(curve: Curve, index: NDArray[np.intp]) -> Curve:
    """Return the curves of some designs."""
    c, i = curve, index
    return _packed(
        c.s[..., i], c.y[..., i], c.slope[..., i], c.T0[:, i], c.room_pressure[i], c.exponent[:, i]
    )


def _packed(
    s: Array, y: Array, slope: Array, T0: Array, room_pressure: Array, exponent: Array
) -> Curve:
    return Curve(
        s=s,
        y=y,
        slope=slope,
        T0=T0,
        room_pressure=room_pressure,
        exponent=exponent,
        packed=_spans(s, y, slope),
        column=np.arange(s[0].size).reshape(s[0].shape),
    )


def _spans(s: Array, y: Array, slope: Array) -> Array:
    """Cubic of every span, with a straight one at either end, packed for one gather."""
    width, rise = np.diff(s, axis=0), np.diff(y, axis=0)
    d0, d1 = slope[:-1], slope[1:]
    third = (d0 + d1 - 2 * rise / width) / width**2
    second = (3 * rise / width - 2 * d0 - d1) / width
    none = np.zeros_like(s[:1])
    rows = (
        (s[:1], s[:-1], s[-1:]),
        (y[:1], y[:-1], y[-1:]),
        (none + 1.0, d0, slope[-1:]),
        (none, second, none),
        (none, third, none),
    )
    return np.stack([np.concatenate(row).ravel() for row in rows])


def _monotone_slopes(s: Array, y: Array) -> Array:
    """Slopes of the parabolas through three levels, held where a cubic stays monotone.

    Three times the smaller secant bounds a monotone cubic (Fritsch and Carlson 1980).
    """
    step = np.maximum(np.diff(s, axis=0), 1e-9)
    secant = np.diff(y, axis=0) / step
    before, after = secant[:-1], secant[1:]
    inner = (step[1:] * before + step[:-1] * after) / (step[1:] + step[:-1])
    inner = np.minimum(inner, 3.0 * np.minimum(before, after))
    return np.concatenate([secant[:1], inner, secant[-1:]])


def curve_flow(curve: Curve, p: Array, T0: Array) -> tuple[Array, Array]:
    """Return mass flow [kg/s] and its slope in pressure [kg/(s Pa)].

    Parameters
    ----------
    curve : fitted curve
    p : pressure at the port, shape (..., node, B) [Pa]
    T0 : temperature at the port, shape (..., node, B) [K]
    """
    room = curve.room_pressure
    square = (p / room) ** 2 - 1.0
    positive = np.maximum(np.abs(square), 1e-12)
    s = np.log(positive)
    k = (s[..., None, :, :] > curve.s).sum(axis=-3)
    start, c0, c1, c2, c3 = curve.packed[:, k * curve.column.size + curve.column]
    u = s - start
    y = c0 + u * (c1 + u * (c2 + u * c3))
    rise = c1 + u * (2 * c2 + 3 * u * c3)
    flow = np.exp(y) * (curve.T0 / T0) ** curve.exponent
    slope = flow * rise * 2 * p / (room**2 * positive)
    # Below the room's pressure air is drawn back in by the same law.
    return np.sign(square) * flow, slope


def with_exponent(curve: Curve, flow: Array, pressure: Array, T0: Array) -> Curve:
    """Return a curve that falls with port temperature as marches at another one show.

    Walls warm cold air on its way, so flow depends less on port temperature than a nozzle's.

    Parameters
    ----------
    curve : fitted curve
    flow : flows marched again, shape (row, node, B) [kg/s]
    pressure : port pressure they need at `T0`, shape (row, node, B) [Pa]
    T0 : the other port temperature, shape (node, B) [K]
    """
    here = np.stack([curve_flow(curve, p, curve.T0)[0] for p in pressure])
    power = np.log(flow / here) / np.log(curve.T0 / T0)
    exponent = np.clip(np.mean(power, axis=0), 0.0, 0.7)
    return replace(curve, exponent=exponent)


def equivalent_conductance(curve: Curve, highest: Array) -> tuple[Array, Array]:
    """Fit ISO 6358's C [m3/(s Pa)] and b [-] to a curve, up to a port pressure.

    C is the flow at the highest pressure, as the standard takes it from choked flow; b is
    the least-squares fit of the ellipse below. A long passage fits to 1 to 4 per cent.

    Parameters
    ----------
    curve : fitted curve
    highest : port pressure at which C is read, shape (B,) [Pa]
    """
    share = np.linspace(0.05, 1.0, 24)[:, None]
    p = curve.room_pressure * (1.0 - share) + highest * share
    nodes = curve.s.shape[1]
    scale = REFERENCE_DENSITY * np.sqrt(REFERENCE_TEMPERATURE / curve.T0)
    each = np.stack(
        [curve_flow(curve, np.broadcast_to(row, (nodes, row.size)), curve.T0)[0] for row in p]
    ) / (p[:, None] * scale)
    C = each[-1]
    ratio = curve.room_pressure / p[:, None]
    grid = np.linspace(0.0, LARGEST_B, B_STEPS + 1)[:, None, None, None]
    inside = np.clip((ratio - grid) / (1.0 - grid), 0.0, 1.0)
    misfit = ((np.sqrt(1.0 - inside**2) - each / C) ** 2).sum(axis=1)
    near = np.clip(np.argmin(misfit, axis=0), 1, B_STEPS - 1)
    before, here, after = (np.take_along_axis(misfit, near[None] + k, 0)[0] for k in (-1, 0, 1))
    bend = np.maximum(before - 2.0 * here + after, 1e-30)
    place = near + np.clip(0.5 * (before - after) / bend, -1.0, 1.0)
    return C, np.asarray(place * (LARGEST_B / B_STEPS))
