"""Headline numbers read out of a plain run's last cycle."""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.integrate import trapezoid


def machine_numbers(run: Any) -> dict[str, float]:
    """The headline numbers, SI."""
    m, period, gas, plant = run.m, run.period, run.gas, run.plant
    last = len(m.stages) - 1
    delivered, drive = run.total(f"out {last}"), run.total("supply_path")
    out = {
        "cycle rate": 1 / period,
        "delivered mass flow": delivered / period,
        "specific air consumption": drive / delivered,
        "drive wall temperature": run.drive_wall,
    }
    for i, stage in enumerate(m.stages):
        out |= {
            f"{stage.name}: {key}": value for key, value in stage_numbers(run, i, stage).items()
        }
        for key, value in run.out.get(stage.name, {}).items():
            out[f"{stage.name}: {key}"] = value
    for i in range(2):
        mass = run.total(f"port {i}")
        node = plant.node[i]
        if run.passages[i] is None:
            h = run.total(f"H port {i}") / mass
            out[f"port {i + 1}: temperature"] = gas.temperature(h, m.ambient.pressure)
            continue
        flow = np.array([r["flows"][f"port {i}"] for r in run.log])
        out[f"port {i + 1}: temperature"] = float(trapezoid(flow * run.T[:, node], run.t)) / mass
        back = run.p[:, node] - m.ambient.pressure
        out[f"port {i + 1}: back mean"] = float(trapezoid(flow * back, run.t)) / mass
        out[f"port {i + 1}: back peak"] = float(back.max())
    return out


def stage_numbers(run: Any, i: int, stage: Any) -> dict[str, float]:
    m, gas, plant = run.m, run.gas, run.plant
    k, line, after = 2 + i, plant.line[i], plant.after[i]
    drawn, given = run.total(f"in {i}"), run.total(f"out {i}")
    flow_in = np.array([r["flows"][f"in {i}"] for r in run.log])
    flow_out = np.array([r["flows"][f"out {i}"] for r in run.log])
    source = np.full(len(run.t), m.supply.pressure) if line is None else run.p[:, line]
    rows = slice(0, run.cut) if stage.compresses_on == 1 else slice(run.cut, None)
    excess = (run.p[:, k] - source + stage.inlet.cracking_pressure)[rows]
    j = int(np.argmax(excess >= 0.0))
    part = 0.0 if j == 0 else -excess[j - 1] / (excess[j] - excess[j - 1])
    low = max(j - 1, 0)
    T, p = run.T[rows, k], run.p[rows, k]
    charge_T = T[low] + part * (T[j] - T[low])
    charge_p = p[low] + part * (p[j] - p[low])
    if line is None:
        suction_T, reference = m.supply.temperature, m.supply.pressure
    else:
        suction_p = float(trapezoid(flow_in * run.p[:, line], run.t)) / drawn
        suction_T = gas.temperature(run.total(f"H in {i}") / drawn, suction_p)
        reference = charge_p + stage.inlet.cracking_pressure
    delivery_p = (
        m.receiver_pressure
        if after is None
        else float(trapezoid(flow_out * run.p[:, after], run.t)) / given
    )
    sign = 1.0 if stage.compresses_on == 1 else -1.0
    push = run.p[:, k] * plant.area[i]
    b = run.barrels[i]
    # The end faces lie half a node beyond the nodes' middles.
    w = b.inside
    along = np.array([1.5 * w[0] - 0.5 * w[1], *w, 1.5 * w[-1] - 0.5 * w[-2]])
    heat = np.array([r["wall_heat"][k] for r in run.log])
    return {
        "temperature at start of compression": float(charge_T),
        "discharge temperature": gas.temperature(run.total(f"H out {i}") / given, delivery_p),
        "peak temperature": float(run.T[:, k].max()),
        "mass per stroke": given,
        "volumetric efficiency": given
        / (gas.at(suction_T, reference).rhomass() * plant.area[i] * plant.S),
        "indicated work": sign * run.work(push, -1.0),
        "gas heat": float(trapezoid(heat, run.t)) / run.period,
        "wall min": float(along.min()),
        "wall mean": float(b.inside.mean()),
        "wall max": float(along.max()),
    }
