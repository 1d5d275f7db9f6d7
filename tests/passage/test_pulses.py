"""The cut of an exhaust pulse into phases, and the rest after it, against closed forms."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample import MACHINE
from scipy.integrate import trapezoid

from jacketcalc.arrays import Array
from jacketcalc.core.gas import core_air
from jacketcalc.core.layout import blank
from jacketcalc.core.parts import PassageParts, cut_pulses
from jacketcalc.core.resolution import Resolution

PHASES = Resolution().phases
FLOW, NTU = 1e-3, 0.8
"""Of the invented marches [kg/s], [-]."""


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

    Of that exp(-NTU) reaches the outlet, NTU that of the way there: an excess over a constant wall.
    """
    parts, wall, flow = PassageParts(MACHINE), 300.0, 2e-3
    g, n, m = parts.record["passage"][node], Resolution().tube_cells, Resolution().channel_cells
    walls = parts.walls(wall, wall)
    found = parts.march(flow, 240.0, walls, node, sweeps=8)
    # A long pulse, of which the passage holds little; what it does itself is taken off again.
    pulses = blank("Pulses")
    pulses["phases"], pulses["rest"] = 1, rest
    for name, value in (("time", 10.0), ("mass", flow * 10.0), ("T0", 240.0)):
        pulses[name][0] = value
    heat = parts.heat(pulses, found[None], walls, rest, node)
    got = (heat["outer"] * wall - heat["outer_pull"]).sum()
    got = (got + (heat["barrel"] * wall - heat["barrel_pull"]).sum()) * rest
    got -= 10.0 * (found["outer"] * (wall - found["seen"])).sum()
    got -= 10.0 * (found["barrel"][:m] * (wall - found["seen"][n : n + m])).sum()

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


def _rested(held: float, rest: float, T0: Array, cells: int = 60) -> tuple[float, Any]:
    """Return heat taken at rest in a cycle [J], and the pulse, where a passage at 300 K
    throughout holds `held` pulses of so many equal phases at `T0`.

    Every phase warms exponentially on its way; the march is written here, not solved.
    """
    wall, phases = 300.0, len(T0)
    resolution = Resolution(channel_cells=cells)
    parts = PassageParts(MACHINE, resolution)
    g, n = parts.record["passage"][0], resolution.tube_cells
    volume = float(g["tube_area"] * g["tube_length"] + g["area"] * g["length"])
    rho = core_air().state(wall, 101325.0)[0]
    mass = rho * volume / held / phases
    pulses = blank("Pulses")
    pulses["phases"], pulses["rest"] = phases, rest
    rows = np.concatenate([blank("March").reshape(1) for _ in range(phases)])
    units = NTU * (np.arange(cells + 1) / cells)
    for k in range(phases):
        pulses["mass"][k], pulses["time"][k], pulses["T0"][k] = mass, mass / FLOW, T0[k]
        rows["T"][k][: n + 1] = T0[k]
        rows["T"][k][n + 1 : n + cells + 2] = wall - (wall - T0[k]) * np.exp(-units)
        rows["p"][k] = 101325.0
        rows["barrel"][k][:cells] = NTU / cells * FLOW * 1005.0
    heat = parts.heat(pulses, rows, parts.walls(wall, wall), 1.0, 0)
    return float(heat["rest_barrel"] + heat["rest_outer"]), pulses


@pytest.mark.parametrize("held", [1.0, 1.3, 2.0, 3.7])
def test_air_that_rests_for_ever_leaves_as_warm_as_the_wall(held: float) -> None:
    """A passage that holds a pulse or more warms all of it at rest: what its march leaves to the
    wall's temperature, no more, however often it rests. First law, by hand."""
    gained, pulses = _rested(held, 1e6, np.full(4, 299.0))
    short = (300.0 - 299.0) * np.exp(-NTU)
    mass = float(pulses["mass"].sum())
    assert gained == pytest.approx(mass * 1006.0 * short, rel=0.01)


@pytest.mark.parametrize("rest", [1e-2, 0.3, 3.0, 1e6])
@pytest.mark.parametrize("held", [0.05, 0.3, 0.7, 0.97, 1.0, 1.5, 2.5])
def test_resting_air_is_followed_plug_by_plug(held: float, rest: float) -> None:
    """Plugs of one mass pushed through cell by cell, resting after each pulse, written here.

    Air within a kelvin of its walls, so that its properties are theirs within 0.3 %.
    """
    T0 = np.array([299.7, 299.5, 299.2, 299.0])
    gained, pulses = _rested(held, rest, T0)
    g = PassageParts(MACHINE).record["passage"][0]
    tube = float(g["tube_area"] * g["tube_length"])
    channel = float(g["area"] * g["length"])
    whole, steps = float(pulses["mass"].sum()), 4 * round(60 / min(held, 1.0))
    plug = whole / steps
    state = core_air().state(300.0, 101325.0)
    rho, k = state[0], state[7]
    in_tube, in_all = rho * tube / plug, rho * (tube + channel) / plug
    width = g["barrel_perimeter"] + g["fin_perimeter"] + g["shell_perimeter"]
    still = {
        True: 3.66 * np.pi * k / (g["tube_area"] * rho * state[4]),
        False: 4.861 / g["hydraulic_diameter"] * width * k / (g["area"] * rho * state[4]),
    }
    count = int(np.ceil(in_all))
    short, plain, place = np.zeros(count), np.zeros(count), np.arange(count) + 0.5
    out_with = out_without = 0.0
    for _ in range(int(held) + 3):
        out_with = out_without = 0.0
        for step in range(steps):
            out_with, out_without = out_with + short[-1], out_without + plain[-1]
            reached = np.clip((place - in_tube) / (in_all - in_tube), 0.0, 1.0)
            before = np.clip((place - 1.0 - in_tube) / (in_all - in_tube), 0.0, 1.0)
            fall = np.exp(-NTU * (reached - before))
            fresh = 300.0 - T0[len(T0) * step // steps]
            short = np.concatenate([[fresh], short[:-1]]) * fall
            plain = np.concatenate([[fresh], plain[:-1]]) * fall
        short = short * np.exp(-np.where(place < in_tube, still[True], still[False]) * rest)
    expected = (out_without - out_with) * plug * state[4]
    assert gained == pytest.approx(expected, rel=0.015)
