"""What a whole stroke tells of its opening in other steps: a guess."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.designs import Array
from jacketcalc.components.record import Track
from jacketcalc.components.stroke_grid import GAMMA, Resolution, inner, travel_grid

OPENING_RELEASE = 2
"""Steps of release in the opening, over those of a whole stroke."""


def opening_guess(track: Track, resolution: Resolution, covered: Array, span: Array) -> Track:
    """Return a track of the opening of a stroke, in other steps.

    Parameters
    ----------
    track : whole stroke, in steps of `resolution`
    covered : share of the stroke covered after each step, from none on, (place, B) [-]
    span : time that all those steps take together, shape (B,) [s]
    """
    first, many = 2 * resolution.release, len(covered) - 1
    grid = np.linspace(0.0, 1.0, resolution.release + 1)
    finer = np.linspace(0.0, 1.0, OPENING_RELEASE * resolution.release + 1)
    release = _between(track, slice(0, first), inner(grid), inner(finer)[:, None])
    still = _read(track.w[:first], inner(grid), inner(finer)[:, None]) / OPENING_RELEASE
    # From rest, what happens goes with time, and place with the square of time.
    known = np.sqrt(inner(travel_grid(resolution)))
    part = slice(first, first + len(known))
    travel = _between(track, part, known, np.sqrt(inner(covered)))
    w = np.broadcast_to(span / many, (2 * many, span.size))
    p, T, flow = (np.concatenate(rows) for rows in zip(release, travel, strict=True))
    return _guess(p, T, flow, np.concatenate([still, w]), track)


def _between(track: Track, part: slice, known: Array, asked: Array) -> tuple[Array, Array, Array]:
    """Pressure, temperature and flow of a part of a track, read between its instants."""
    p, T, flow = (_read(value[part], known, asked) for value in (track.p, track.T, track.flow))
    return p, T, flow


def _read(value: Array, known: Array, asked: Array) -> Array:
    """Read in straight lines, and at the ends as there.

    Parameters
    ----------
    value : what is read, shape (known, ..., B) in the unit of the track's field
    known : where, rising, shape (known,) [-]
    asked : where it is wanted, shape (asked, B) or (asked, 1) [-]
    """
    before = np.clip(np.searchsorted(known, asked) - 1, 0, len(known) - 2)
    share = np.clip((asked - known[before]) / (known[before + 1] - known[before]), 0.0, 1.0)
    between = tuple(range(1, value.ndim - 1))
    before, share = np.expand_dims(before, between), np.expand_dims(share, between)
    low, high = (np.take_along_axis(value, before + k, 0) for k in (0, 1))
    return np.asarray((1.0 - share) * low + share * high)


def _guess(p: Array, T: Array, flow: Array, w: Array, track: Track) -> Track:
    weight = np.tile([1.0 - GAMMA, GAMMA], len(w) // 2)[:, None]
    return Track(
        p=p, T=T, w=w, flow=flow, weight=np.broadcast_to(weight, w.shape), sound=track.sound
    )
