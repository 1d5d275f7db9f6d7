"""What a stroke tells of the same one in other steps: a guess."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from jacketcalc.components.designs import Array
from jacketcalc.components.record import Track
from jacketcalc.components.stroke_grid import GAMMA, Course, inner

EARLY = 0.2
"""Power of time at which the rest is read: pressures settle in its first milliseconds [-]."""
TINY = 1e-300
"""Keeps the phases of a stroke without rest finite [-]."""


def refined(track: Track, old: Course, new: Course) -> Track:
    """Return a track in other steps.

    Parameters
    ----------
    track : way of a stroke in the steps `old`
    old, new : steps of the same stroke
    """
    known, asked = _instants(old), _instants(new)
    ends = np.cumsum([0, *(len(phase) for phase in known)])
    parts = [slice(first, last) for first, last in pairwise(ends)]

    def read(value: Array) -> Array:
        rows = zip(parts, known, asked, strict=True)
        return np.concatenate([_read(value[part], here, there) for part, here, there in rows])

    weight = np.tile([1.0 - GAMMA, GAMMA], sum(map(len, asked)) // 2)[:, None]
    pace = read(track.w / np.maximum(_sizes(old), TINY))
    return Track(
        p=read(track.p), T=read(track.T), flow=read(track.flow), w=pace * _sizes(new),
        weight=np.broadcast_to(weight, pace.shape), sound=track.sound.copy(),
    )  # fmt: skip


def _sizes(course: Course) -> Array:
    """Size of the step of each instant, in force, place and time, shape (instant, B)."""
    release = np.full((course.release, course.covered.shape[1]), 1.0 / course.release)
    steps = np.concatenate([release, np.diff(course.covered, axis=0), course.rest])
    return np.repeat(steps, 2, axis=0)


def _instants(course: Course) -> tuple[Array, Array, Array]:
    """Where the instants of the three phases stand, each of shape (instant, B).

    From rest, what happens goes with time, and place with the square of time.
    """
    force = np.linspace(0.0, 1.0, course.release + 1)[:, None]
    time = np.cumsum(course.rest, axis=0)
    time = np.concatenate([np.zeros_like(time[:1]), time]) / np.maximum(time[-1], TINY)
    return inner(force), np.sqrt(inner(course.covered)), inner(time) ** EARLY


def _read(value: Array, known: Array, asked: Array) -> Array:
    """Read in straight lines, and at the ends as there.

    Parameters
    ----------
    value : what is read, shape (known, ..., B) in the unit of the track's field
    known : where, rising, shape (known, B) or (known, 1) [-]
    asked : where it is wanted, shape (asked, B) or (asked, 1) [-]
    """
    before = (known[:, None] <= asked).sum(axis=0) - 1
    before = np.clip(before, 0, len(known) - 2)
    low, high = (np.take_along_axis(known, before + k, 0) for k in (0, 1))
    share = np.clip((asked - low) / np.maximum(high - low, TINY), 0.0, 1.0)
    between = tuple(range(1, value.ndim - 1))
    before, share = np.expand_dims(before, between), np.expand_dims(share, between)
    low, high = (np.take_along_axis(value, before + k, 0) for k in (0, 1))
    return np.asarray((1.0 - share) * low + share * high)
