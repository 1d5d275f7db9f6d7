"""The opening of a stroke once more, in steps of time, for the peak of back-pressure.

The exhaust peaks while the piston picks up speed, where steps of place are long in time.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from jacketcalc.components.designs import Array
from jacketcalc.components.record import GasState, Record
from jacketcalc.components.stroke import Setting, Stroke
from jacketcalc.components.stroke_grid import Course, Resolution, instants, travel_grid

OPENING = 0.1
"""Share of the stroke in which the piston picks up speed [-]."""
STEPS = 0.75
"""Steps of that, over those of the travel: within 0.15 % of ten times as many [-]."""
LOOSER = 100.0
"""Last change allowed in a step, over that of a whole stroke: 2e-5 of the peak, for a third less
iterations [-]."""


def opening_peak(
    side: Stroke,
    setting: Setting,
    state: GasState,
    resolution: Resolution,
    seconds: Array,
) -> Array:
    """Highest pressure of each node while the piston picks up speed, shape (node, B) [Pa].

    Parameters
    ----------
    side : stroke
    setting : what it goes on between
    state : contents at the reversal of the valve
    resolution : steps of the whole stroke
    seconds : time at each place of the travel grid, shape (place, B) [s]
    """
    steps = round(STEPS * resolution.travel)
    covered = even_times(travel_grid(resolution), seconds, steps)
    course = Course(
        release=resolution.release,
        covered=covered,
        rest=np.zeros((0, covered.shape[1])),
    )
    known = instants(resolution)
    nearest = np.minimum(np.searchsorted(known, course.places), len(known) - 1)
    seen = np.take_along_axis(setting.walls.stage, nearest[:, None], 0)
    walls = replace(setting.walls, stage=seen)
    setting = replace(setting, walls=walls, settled=LOOSER * setting.settled)
    record = side.run(setting, replace(state), course)
    ends = slice(1, None, 2)
    time = np.cumsum(record.dt, axis=0)[ends]
    return summit(record.p[ends, list(side.network.layout.nodes)], time)


def travel_seconds(record: Record, resolution: Resolution) -> Array:
    """Time at each place of the travel grid since the piston's start, shape (place, B) [s]."""
    first = 2 * resolution.release
    part = record.dt[first : first + 2 * resolution.travel]
    passed = np.cumsum(part, axis=0)[1::2]
    return np.concatenate([np.zeros_like(passed[:1]), passed])


def even_times(place: Array, seconds: Array, steps: int) -> Array:
    """Places of the opening passed at even intervals of time, shape (steps + 1, B) [-].

    Parameters
    ----------
    place : share of the stroke covered, shape (place,) [-]
    seconds : time then, shape (place, B) [s]
    steps : number of intervals
    """
    root = np.sqrt(place)  # from rest, place goes with the square of time
    share = np.linspace(0.0, 1.0, steps + 1)
    span = np.array([np.interp(OPENING, place, time) for time in seconds.T])
    places = [
        np.interp(share * whole, time, root) ** 2
        for whole, time in zip(span, seconds.T, strict=True)
    ]
    return np.stack(places, axis=1)


def summit(p: Array, time: Array) -> Array:
    """Highest pressure, on the parabola through the highest instant and its neighbours [Pa].

    Parameters
    ----------
    p : pressure, shape (instant, node, B) [Pa]
    time : time, shape (instant, B) [s]
    """
    top = np.clip(p.argmax(axis=0), 1, len(p) - 2)
    y = [np.take_along_axis(p, top[None] + k, 0)[0] for k in (-1, 0, 1)]
    t = [np.take_along_axis(time, top + k, 0) for k in (-1, 0, 1)]
    with np.errstate(all="ignore"):
        rise, then = (y[1] - y[0]) / (t[1] - t[0]), (y[2] - y[1]) / (t[2] - t[1])
        bend = (then - rise) / (t[2] - t[0])
        slope = rise + bend * (t[1] - t[0])
        over = y[1] - slope**2 / (4 * bend)
    # At even intervals no parabola rises more above its highest point; at uneven ones some do.
    most = y[1] + (y[1] - np.minimum(y[0], y[2])) / 8
    inside = (rise > 0.0) & (then < 0.0)
    return np.asarray(np.where(inside, np.minimum(over, most), p.max(axis=0)))
