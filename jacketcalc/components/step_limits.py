"""How far one Newton iteration may go: seats of valves, and nodes near the room's pressure."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.designs import Array
from jacketcalc.components.step_equations import StrokeEquations
from jacketcalc.components.step_records import Change, Point
from jacketcalc.flow.iso6358 import LINEAR_ZONE

LARGEST_CHANGE = 0.3
"""Largest relative change of a pressure or temperature in one Newton iteration [-]."""
NODE_WARMS = 0.1
"""Largest relative change of a node's temperature in one Newton iteration [-]."""
NEAR = 0.01
"""Excess over the room, over its pressure, below which a node's pressure is held to it [-]."""
EXACT = 0.1
"""Change of such a pressure, over the room's, that counts as much as 1 of others: 1 Pa in the
last iteration; closer, Newton swings between outflow and inflow [-]."""
SEAT_MATTERS = 1e-4
"""Relative change below which a step is not held at a valve's seat [-]."""
NODE_ZONE = 2.0
"""Excess over the room within which a node's outflow may close in one iteration [Pa]."""


def limited(equations: StrokeEquations, point: Point, change: Change) -> tuple[Array, Array]:
    """Return the share of a Newton step to take and the largest relative change in it [-].

    Both of shape (..., B). Changes of the nodes' temperatures are limited in place: air drawn
    back in is the room's, what leaves a node its own, and a step across that switch throws a
    small node's temperature far out and would hold all the rest back.
    """
    n, nodes = equations.count, equations.nodes
    p, T = point.p[..., :n, :], point.T[..., :n, :]
    most = NODE_WARMS * T[..., nodes, :]
    change.T[..., nodes, :] = np.minimum(np.maximum(change.T[..., nodes, :], -most), most)
    top = np.abs(change.p / p).max(axis=-2)
    top = np.maximum(top, np.abs(change.T / T).max(axis=-2))
    share = LARGEST_CHANGE / np.maximum(top, 1e-300)
    seated = top > SEAT_MATTERS
    if seated.any():
        share = np.where(seated, np.minimum(share, _to_seat(equations, point, change)), share)
    top = np.where(share < 1.0, 1.0, top)
    return np.minimum(1.0, share), np.maximum(top, _near_room(equations, point, change))


def _near_room(equations: StrokeEquations, point: Point, change: Change) -> Array:
    """Return the change of nodes at the room's pressure over `EXACT`, shape (..., B) [-].

    Flow is a root of a node's excess over the room: near it, the pressure must be exact.
    """
    nodes, room = equations.nodes, equations.room
    near = np.abs(point.p[..., nodes, :] - room) < NEAR * room
    exact = np.where(near, np.abs(change.p[..., nodes, :]), 0.0).max(axis=-2)
    return np.asarray(exact / (EXACT * room))


def _to_seat(equations: StrokeEquations, point: Point, change: Change) -> Array:
    """Share of a Newton step after which some valve stands just off its seat, (..., B) [-].

    Flow is nearly a root of the pressure difference: a full step across the seat makes
    Newton's method swing between open and shut.
    """
    eq, p = equations, point.p
    nodes = eq.nodes
    ends = np.concatenate([change.p, np.zeros_like(p[..., :2, :])], axis=-2)
    upstream = p.take(eq.up, -2)
    room = p[..., nodes, :] - eq.room
    before = np.concatenate([upstream - p.take(eq.down, -2) - eq.network.opening, room], axis=-2)
    moves = ends.take(eq.up, -2) - ends.take(eq.down, -2)
    after = before + np.concatenate([moves, ends[..., nodes, :]], axis=-2)
    zone = np.concatenate([0.5 * LINEAR_ZONE * upstream, np.full_like(room, NODE_ZONE)], axis=-2)
    crossing = ((before <= 0.0) & (after > zone)) | ((before > zone) & (after < 0.0))
    moved = np.where(crossing, after - before, 1.0)
    share = np.where(crossing, (0.5 * zone - before) / moved, 1.0)
    return np.asarray(share.min(axis=-2))
