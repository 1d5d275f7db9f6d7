"""The implicit rule of a fill's steps: its order, its damping, what it keeps."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest

from jacketcalc.fill.rule import BEFORE, ERROR, GAMMA, NODES


def step(
    solve: Callable[[float, float, float], float], y: float, t: float, dt: float
) -> tuple[float, float]:
    """One step; `solve(base, part, time)` gives the end of Euler's implicit step."""
    flows: list[float] = []
    now = y
    for weights, node in zip(BEFORE, NODES, strict=True):
        base = y + dt * sum(w * f for w, f in zip(weights, flows, strict=False))
        now = solve(base, GAMMA * dt, t + node * dt)
        flows.append((now - base) / (GAMMA * dt))
    return now, dt * sum(w * f for w, f in zip(ERROR, flows, strict=True))


def test_the_error_falls_with_the_third_power_of_the_step() -> None:
    """y' = -y + cos t - sin t + 1: its solution is cos t + 1 - exp(-t)."""

    def solve(base: float, part: float, time: float) -> float:
        return (base + part * (math.cos(time) - math.sin(time) + 1.0)) / (1.0 + part)

    found = []
    for count in (10, 20, 40):
        y = 1.0
        for k in range(count):
            y, estimate = step(solve, y, 2.0 * k / count, 2.0 / count)
        found.append((abs(y - (math.cos(2.0) + 1.0 - math.exp(-2.0))), abs(estimate)))
    for kind, order in ((0, 3.0), (1, 3.0)):
        orders = [math.log2(a[kind] / b[kind]) for a, b in pairwise(found)]
        assert orders == pytest.approx([order, order], abs=0.35)


def test_what_settles_within_a_step_is_damped_at_once() -> None:
    y, _ = step(lambda base, part, _t: base / (1.0 + 1e9 * part), 1.0, 0.0, 1.0)
    assert abs(y) < 1e-8


def test_a_sum_of_two_that_exchange_stays() -> None:
    """Two volumes, what one loses the other gains: no digit goes astray."""
    y = np.array([3.0, 1.0])
    matrix = np.array([[-2.0, 5.0], [2.0, -5.0]])
    flows: list[np.ndarray] = []
    now = y
    for weights in BEFORE:
        base = y + 0.7 * sum((w * f for w, f in zip(weights, flows, strict=False)), np.zeros(2))
        now = np.linalg.solve(np.eye(2) - GAMMA * 0.7 * matrix, base)
        flows.append((now - base) / (GAMMA * 0.7))
    assert now.sum() == pytest.approx(4.0, abs=1e-14)
