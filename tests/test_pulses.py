"""The cut of an exhaust pulse into phases, and the rest after it, against closed forms."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample import MACHINE
from scipy.integrate import trapezoid

from jacketcalc.core.air import core_air
from jacketcalc.core.layout import blank
from jacketcalc.core.parts import PassageParts, cut_pulses
from jacketcalc.core.resolution import Resolution

PHASES = Resolution().phases


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10_000), count=st.integers(12, 150), pulses=st.sampled_from([1, 2]))
def test_cut_keeps_mass_enthalpy_and_time(seed: int, count: int, pulses: int) -> None:
    """Phases carry the pulse's mass, mass x temperature, and with the rest its time."""
    random, phases = np.random.default_rng(seed), PHASES * pulses
    when = np.linspace(0.0, 1.0, count)
    flow = 0.04 * np.maximum(random.random() - when, 0.0) ** 0.5 + 1e-5
    T = 220.0 + 60.0 * random.random(count)
    dt = 0.1 * random.random(count)
    dt *= 0.9 / dt.sum()
    cut = cut_pulses(flow, T, dt, phases, 0.9)
    mass, T0, time = (cut[name][:phases] for name in ("mass", "T0", "time"))
    assert cut["phases"] == phases
    assert mass.sum() == pytest.approx((flow * dt).sum(), rel=1e-12)
    assert (mass * T0).sum() == pytest.approx((flow * T * dt).sum(), rel=1e-12)
    assert time.sum() + cut["rest"] == pytest.approx(0.9, rel=1e-12)
    assert T.min() - 1e-9 <= T0.min() and T0.max() <= T.max() + 1e-9


def test_phases_follow_a_known_pulse() -> None:
    """A pulse at constant flow cuts into equal phases, and the rest is the time without flow."""
    dt = np.full(1000, 1e-3)
    flow = np.where(np.arange(1000) < 400, 0.02, 0.0)
    cut = cut_pulses(flow, np.full_like(dt, 250.0), dt, PHASES, 1.0)
    # An instant at full flow counts 1/1.005 as flow: 2 ms of the 400 pass for rest.
    assert cut["time"][:PHASES] == pytest.approx(0.4 / 1.005 / PHASES, rel=1e-9)
    assert cut["rest"] == pytest.approx(0.6 + 0.4 * 0.005 / 1.005, rel=1e-9)
    assert cut["mass"].sum() == pytest.approx(8e-3, rel=1e-12)


def test_phases_of_a_falling_pulse() -> None:
    """Flow falls evenly to nothing, temperature by 60 K: phases keep the heat of the pulse.

    Turbulent heat goes with flow^0.8: its integral is 1/1.8 of what the first flow would give,
    0.574 for a mean flow (exact). The first phase is 60 K warmer than the last, less what
    lies within them.
    """
    count = 1280
    when = (np.arange(count) + 0.5) / count
    dt = np.full_like(when, 1.0 / count)
    cut = cut_pulses(0.03 * (1.0 - when), 260.0 - 60.0 * when, dt, PHASES, 1.0)
    mass, T0, time = (cut[name][:PHASES] for name in ("mass", "T0", "time"))
    kept = (time * (mass / time / 0.03) ** 0.8).sum()
    assert kept == pytest.approx(1 / 1.8, rel=5e-3)
    assert T0[0] - T0[-1] == pytest.approx(60.0, rel=0.35)
    edges = np.cumsum(mass) / mass.sum()
    ends = np.concatenate([[0.0], 1.0 - np.sqrt(1.0 - np.minimum(edges, 1.0))])
    middle = [
        260.0 - 60.0 * trapezoid(t * (1 - t), t) / trapezoid(1 - t, t)
        for t in (np.linspace(a, b, 200) for a, b in pairwise(ends))
    ]
    assert pytest.approx(middle, abs=0.05) == T0


@pytest.mark.parametrize("node", [0, 1])
@pytest.mark.parametrize("rest", [1e-3, 0.05, 0.5, 50.0])
def test_air_at_rest_warms_exponentially(node: int, rest: float) -> None:
    """Still air of heat capacity C behind conductance UA gains C (Tw - T)(1 - exp(-UA t / C)).

    Of that exp(-NTU) reaches the vent, NTU that of the way there: an excess over a constant wall.
    """
    parts, wall, flow = PassageParts(MACHINE), 300.0, 2e-3
    g, n, m = parts.record["passage"][node], Resolution().tube_cells, Resolution().channel_cells
    walls = parts.walls(wall, wall)
    found = parts.march(flow, 240.0, walls, node, sweeps=8)
    pulses = blank("Pulses")
    pulses["phases"], pulses["rest"] = 1, rest
    for name, value in (("time", 1e-12), ("mass", flow * 1e-12), ("T0", 240.0)):
        pulses[name][0] = value
    heat = parts.heat(pulses, found[None], walls, rest, node)
    got = (heat["outer"] * wall - heat["outer_pull"]).sum()
    got = (got + (heat["barrel"] * wall - heat["barrel_pull"]).sum()) * rest

    units = found["outer"][: n + m].copy()
    units[n:] += found["barrel"][:m]
    units /= flow * 1005.0
    outlasts = np.exp(-np.array([units[c + 1 :].sum() + units[c] / 2 for c in range(n + m)]))
    T, p = found["T"][: n + m + 2], found["p"][: n + m + 2]
    middle = np.concatenate([(T[:n] + T[1 : n + 1]) / 2, (T[n + 1 : -1] + T[n + 2 :]) / 2])
    low = min(p[0], p[-1])
    state = np.array([core_air().state(here, low) for here in middle])
    rho, cp, k = state[:, 0], state[:, 4], state[:, 7]
    tube, channel = g["tube_length"] / n, g["length"] / m
    volume = np.repeat([g["tube_area"] * tube, g["area"] * channel], [n, m])
    # Nusselt 3.66 in a round tube, 4.861 one side of a flat gap (exact).
    width = g["barrel_perimeter"] + g["fin_perimeter"] + g["shell_perimeter"]
    flat = 4.861 / g["hydraulic_diameter"] * width * channel
    conductance = k * np.repeat([3.66 * np.pi * tube, flat], [n, m])
    capacity = rho * cp * volume
    gained = capacity * (wall - middle) * -np.expm1(-conductance * rest / capacity)
    assert got == pytest.approx((gained * outlasts).sum(), rel=1e-6)
