"""What a pulse of exhaust, and the rest after it, do to the walls over a cycle."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import trapezoid

from .plain_passage import POINTS, Passage, Profile
from .plain_walls import NODES, outer_wall

Array = NDArray[np.float64]

PULSES = 24
"""Instants of a pulse at which the passage is marched."""
LEAST = 2e-3
"""Least flow marched, over the valve's choked flow [-]."""
FINE = 720
"""Pieces of the channel that are laid on the wall's nodes."""


def average_exhaust(run: Any, i: int, passage: Passage) -> None:
    """March the pulse of a port and average what it does to the walls over the cycle."""
    node = run.plant.node[i]
    order = np.arange(len(run.t))
    if i == 0:  # its pulse is on stroke 2
        order = np.concatenate([order[run.cut :], order[: run.cut]])
    t = np.concatenate([[0.0], np.cumsum(instants(run, order))])
    flow = np.maximum([run.log[k]["flows"][f"port {i}"] for k in order], 0.0)
    T = run.T[order, node]
    flowing = flow / (flow + 0.005 * flow.max() + 1e-12)
    measure = np.concatenate(
        [[0.0], np.cumsum(np.diff(t) * 0.5 * (flow[1:] ** 0.8 + flow[:-1] ** 0.8))]
    )
    measure /= measure[-1]
    when = np.interp((np.arange(PULSES) + 0.5) / PULSES, measure, t)
    least = LEAST * run.m.valve.exhaust_path.sonic * 1.185 * run.m.supply.pressure
    at = [(max(float(np.interp(w, t, flow)), least), float(np.interp(w, t, T))) for w in when]
    marches = [passage.march(f, max(T0, 165.0)) for f, T0 in at]
    _average(run, i, passage, t, flow, T, flowing, measure, marches)


def instants(run: Any, order: Array) -> Array:
    """Return the steps of time between the instants of a cycle, in the order asked for."""
    steps = np.diff(run.t)
    if order[0] == 0:
        return steps
    c = run.cut
    return np.concatenate([steps[c:], [0.0], steps[: c - 1]])


def _average(
    run: Any,
    i: int,
    passage: Passage,
    t: Array,
    flow: Array,
    T: Array,
    flowing: Array,
    measure: Array,
    marches: list[Profile],
) -> None:
    period = t[-1]
    weight = np.zeros(len(marches))
    mass = np.zeros(len(marches))
    steps = 0.5 * (np.diff(t, prepend=t[0]) + np.diff(t, append=t[-1]))
    place = np.clip(measure * PULSES - 0.5, 0.0, PULSES - 1 - 1e-9)
    k = place.astype(int)
    part = place - k
    for w, b in ((flowing, weight), (flow, mass)):
        np.add.at(b, k, (1 - part) * w * steps)
        np.add.at(b, k + 1, part * w * steps)
    # Between marched instants h goes with flow^0.8, which the measure already follows.
    share = weight / period
    rest = max(period - weight.sum(), 0.0)
    still = fill_still(run, passage, t, flow, T, measure, rest)
    carry_out(still, passage, marches[0], mass[0] / weight[0])
    G = sum(w * r.inner for w, r in zip(share, marches, strict=True))
    pull = sum(w * r.inner * r.seen["channel"] for w, r in zip(share, marches, strict=True))
    G = G + still["inner"] * rest / period
    pull = pull + still["inner"] * still["channel"] * rest / period
    stage = run.feeds[i]
    run.jacket[stage] = lay_on_nodes(run, stage, passage, G, pull)
    barrel = passage.walls["barrel"]
    x = np.linspace(0.0, passage.length, POINTS)
    heat = float(trapezoid(G * barrel - pull, x))
    rest_heat = float(trapezoid(still["inner"] * (barrel - still["channel"]), x)) * rest / period
    rest_outer = sum(
        float(trapezoid(still["outer " + part] * (passage.walls[wall] - still[part]), along))
        for part, wall, along in (
            ("tube", "tube", np.linspace(0.0, passage.tube.length, POINTS)),
            ("channel", "shell", x),
        )
    )
    rest_outer *= rest / period
    total = mass.sum()
    gas, m = run.gas, run.m
    cp = 1005.0
    inlet = (
        sum(
            w * gas.temperature(r.h0_joint, r.p["channel"][0])
            for w, r in zip(mass, marches, strict=True)
        )
        / total
    )
    outlet = (
        sum(
            w * gas.temperature(r.h0_outlet, r.p["channel"][-1])
            for w, r in zip(mass, marches, strict=True)
        )
        / total
    )
    tube, shell = passage.tube.material.emissivity, passage.jacket.shell.emissivity
    share_of_path = passage.jacket.length / passage.length
    for name, wall, res, dia, em, per in (
        ("tube", "tube", passage.tube_wall, passage.tube_outside, tube, 1.0),
        ("channel", "shell", passage.shell_wall, passage.shell_outside, shell, share_of_path),
    ):
        g = (
            sum(w * r.outer[name] for w, r in zip(share, marches, strict=True))
            + still["outer " + name] * rest / period
        )
        q = sum(w * r.outer[name] * r.seen[name] for w, r in zip(share, marches, strict=True))
        q = q + still["outer " + name] * still[name] * rest / period
        run.outer[i][wall] = outer_wall(gas, run.outer[i][wall], g, q, dia, em, res, per, m.ambient)
    run.port_T[i] = float(trapezoid(flow * T, t) / trapezoid(flow, t))
    back = run.p[:, run.plant.node[i]] - m.ambient.pressure
    run.out[m.stages[stage].name] = {
        "heat": heat,
        "rest heat": rest_heat,
        "inlet": inlet,
        "outlet": outlet + (rest_heat + rest_outer) / (total / period * cp),
        "back peak": float(back.max()),
    }


def fill_still(
    run: Any, passage: Passage, t: Array, flow: Array, T: Array, measure: Array, rest: float
) -> dict[str, Array]:
    """Air at rest: it warms from where the last tenth of the pulse left it."""

    def tail(values: Array) -> float:
        sums = np.concatenate([[0.0], np.cumsum(0.5 * (values[1:] + values[:-1]) * np.diff(t))])
        return float(sums[-1] - np.interp(0.9, measure, sums))

    seconds, carried = tail(flow / (flow + 0.005 * flow.max())), tail(flow)
    T_last = tail(flow * T) / carried
    r = passage.march(carried / seconds, T_last)
    p = min(r.p["tube"][0], r.p["channel"][-1])
    out: dict[str, Array] = {"inner": np.zeros(POINTS)}
    for part in ("tube", "channel"):
        seen = np.empty(POINTS)
        outer = np.empty(POINTS)
        for j in range(POINTS):
            s = run.gas.at(r.T[part][j], p)
            k, rho, cp = s.conductivity(), s.rhomass(), s.cpmass()
            if part == "tube":
                inner, outer[j], held = 0.0, 3.66 * k * math.pi, passage.tube_area
                wall_in, wall_out = 0.0, passage.walls["tube"][j]
            else:
                h = 4.861 * k / passage.Dh
                inner, outer[j], held = (
                    h * (passage.floor + passage.sides),
                    h * passage.roof,
                    passage.area,
                )
                wall_in, wall_out = passage.walls["barrel"][j], passage.walls["shell"][j]
                out["inner"][j] = inner
            both = inner + outer[j]
            equal = (inner * wall_in + outer[j] * wall_out) / both
            units = both * rest / (rho * cp * held)
            seen[j] = equal - (equal - r.T[part][j]) * (1 - math.exp(-units)) / units
        out[part], out["outer " + part] = seen, outer
    return out


def carry_out(still: dict[str, Array], passage: Passage, first: Profile, flow: float) -> None:
    """Lessen the gains at rest by what the walls downstream take back as the next pulse begins."""
    beyond = 0.0
    for part, length in (("channel", passage.length), ("tube", passage.tube.length)):
        rate = first.outer[part] + (first.inner if part == "channel" else 0.0)
        x = np.linspace(0.0, length, POINTS)
        passed = np.concatenate([[0.0], np.cumsum(0.5 * (rate[1:] + rate[:-1]) * np.diff(x))])
        kept = np.exp(-(beyond + passed[-1] - passed) / (flow * 1005.0))
        beyond += passed[-1]
        still["outer " + part] = still["outer " + part] * kept
        if part == "channel":
            still["inner"] = still["inner"] * kept


def lay_on_nodes(run: Any, stage: int, passage: Passage, G: Array, pull: Array) -> Array:
    """Lay conductance and pull per length of path on the nodes of the barrel."""
    x = (np.arange(FINE) + 0.5) / FINE
    z = passage.z0 + x * (passage.z1 - passage.z0)
    b = run.barrels[stage]
    k = np.minimum((z / b.dz).astype(int), NODES - 1)
    out = np.zeros((2, NODES))
    even = np.linspace(0.0, 1.0, POINTS)
    for row, value in zip(out, (G, pull), strict=True):
        np.add.at(row, k, np.interp(x, even, value) * passage.length / FINE)
    return out
