"""What the exhaust does to the walls over a cycle, every instant marched by itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import simpson
from scipy.interpolate import CubicSpline

from .instant_passage import QUIET, STEPS, InstantPassage, Trace
from .plain_exhaust import carry_out, fill_still, lay_on_nodes
from .plain_passage import POINTS, Passage, Profile
from .plain_walls import outer_wall
from .split_side import weights

Array = NDArray[np.float64]

IDLE = 0.005
"""Flow, as a share of the peak, at which an instant counts half as rest [-]."""
THIRDS = 3
"""A cycle is kept at thirds of the integrator's steps; more than the steps moves heat by 1e-4."""
SURFACES = ("barrel", "tube", "shell")
ON = {"barrel": "channel", "tube": "tube", "shell": "channel"}


@dataclass
class Means:
    """Cycle means of a passage, on even points from port to outlet of each part."""

    G: dict[str, Array]
    """h x perimeter towards each surface [W/(m K)]."""
    pull: dict[str, Array]
    """h x perimeter x air temperature [W/m]."""
    heat: dict[str, float]
    """Heat from each surface into the air [W]."""
    rest_heat: float
    """The part of the barrel's that air at rest takes [W]."""
    inlet: float
    """Mean temperature at the joint [K]."""
    outlet: float
    """Mean temperature at the outlet, rest heat included [K]."""


def average_instants(run: Any, i: int, ask: InstantPassage) -> Means:
    """March every step that the integrator took in a cycle, and average over its time."""
    whole = run.exhaust(i)
    ends = len(whole[0]) - 1
    t, flow, p, T = (a[np.unique(np.r_[0:ends:THIRDS, ends])] for a in whole)
    w, (dt, flows) = ask.passage, weights(t, flow)
    period, mass = t[-1], float((dt * flow).sum())
    G = {name: np.zeros(STEPS[ON[name]] + 1) for name in SURFACES}
    pull = {name: np.zeros(STEPS[ON[name]] + 1) for name in SURFACES}
    inlet = outlet = 0.0
    for weight, f, pressure, temperature in zip(flows, flow, p, T, strict=True):
        if weight == 0.0:
            continue
        at = max(pressure, w.ambient_p + QUIET)
        through = f if at == pressure else ask.flow(at, temperature)
        trace = ask.trace(through, at, temperature)
        for name, (g, seen) in _films(w, trace, through).items():
            G[name] += weight / period * g
            pull[name] += weight / period * g * seen
        inlet += weight * f / mass * run.gas.temperature(trace.h0_joint, trace.p["channel"][0])
        outlet += weight * f / mass * run.gas.temperature(trace.h0_outlet, trace.p["channel"][-1])
    G, pull = ({name: _finer(v) for name, v in kind.items()} for kind in (G, pull))
    rest_heat, rest_outer = _add_rest(run, w, (t, flow, T), G, pull)
    heat = {name: _heat(w, name, G[name], pull[name]) for name in SURFACES}
    outlet += (rest_heat + rest_outer) / (mass / period * 1005.0)
    return Means(G=G, pull=pull, heat=heat, rest_heat=rest_heat, inlet=inlet, outlet=outlet)


def lay_on_walls(run: Any, i: int, passage: Passage, means: Means) -> None:
    """Give a cycle's means to the barrel's nodes, and balance tube and shell."""
    stage, m = run.feeds[i], run.m
    run.jacket[stage] = lay_on_nodes(run, stage, passage, means.G["barrel"], means.pull["barrel"])
    share = passage.jacket.length / passage.length
    for name, solid, wall, outside, per in (
        ("tube", passage.tube.material, passage.tube_wall, passage.tube_outside, 1.0),
        ("shell", passage.jacket.shell, passage.shell_wall, passage.shell_outside, share),
    ):
        run.outer[i][name] = outer_wall(
            run.gas, run.outer[i][name], means.G[name], means.pull[name], outside,
            solid.emissivity, wall, per, m.ambient,
        )  # fmt: skip


def _films(w: Passage, trace: Trace, flow: float) -> dict[str, tuple[Array, Array]]:
    """Conductance per length [W/(m K)] and temperature seen [K] along each surface."""
    out = {}
    for part, steps in STEPS.items():
        x = np.linspace(0.0, w.lengths[part], steps + 1)
        states = zip(x, trace.T[part], trace.p[part], strict=True)
        rows = np.array([w.local(part, flow, *state) for state in states])
        seen = rows[:, 4]
        if part == "tube":
            out["tube"] = (rows[:, 3], seen)
        else:
            out["barrel"], out["shell"] = (rows[:, 2], seen), (rows[:, 3], seen)
    return out


def _finer(values: Array) -> Array:
    """Lay time means on the points that walls are kept at."""
    spline = CubicSpline(np.linspace(0.0, 1.0, len(values)), values)
    return np.asarray(spline(np.linspace(0.0, 1.0, POINTS)))


def _heat(w: Passage, name: str, G: Array, pull: Array) -> float:
    x = np.linspace(0.0, w.lengths[ON[name]], POINTS)
    return float(simpson(G * w.walls[name] - pull, x=x))


def _add_rest(
    run: Any, w: Passage, exhaust: tuple[Array, ...], G: dict[str, Array], pull: dict[str, Array]
) -> tuple[float, float]:
    """Add what air left in the passage does between pulses.

    Returns
    -------
    Heat from the barrel, and from tube and shell [W].
    """
    t, flow, T = exhaust
    flowing = flow / (flow + IDLE * flow.max() + 1e-12)
    dt, _ = weights(t, flow)
    rest = float((dt * (1.0 - flowing)).sum())
    pieces = np.diff(t) * 0.5 * (flow[1:] ** 0.8 + flow[:-1] ** 0.8)
    measure = np.concatenate([[0.0], np.cumsum(pieces)])
    still = fill_still(run, w, t, flow, T, measure / measure[-1], rest)
    carry_out(still, w, *_beginning(w, t, flow, T, flowing, measure / measure[-1]))
    share = rest / t[-1]
    films = {
        "barrel": (still["inner"], still["channel"]),
        "tube": (still["outer tube"], still["tube"]),
        "shell": (still["outer channel"], still["channel"]),
    }
    for name, (g, seen) in films.items():
        G[name] += share * g
        pull[name] += share * g * seen
    heat = {name: share * _heat(w, name, g, g * seen) for name, (g, seen) in films.items()}
    return heat["barrel"], heat["tube"] + heat["shell"]


def _beginning(
    w: Passage, t: Array, flow: Array, T: Array, flowing: Array, measure: Array
) -> tuple[Profile, float]:
    """March the first tenth of the pulse; return its profile and its flow [kg/s]."""

    def head(values: Array) -> float:
        sums = np.concatenate([[0.0], np.cumsum(0.5 * (values[1:] + values[:-1]) * np.diff(t))])
        return float(np.interp(0.1, measure, sums))

    through = head(flow) / head(flowing)
    return w.march(through, head(flow * T) / head(flow)), through
