"""One flow element: numbers computed apart from the code, slopes, and its inverse."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from printed import near

from jacketcalc.flow import closed_forms
from jacketcalc.flow.iso6358 import (
    LINEAR_ZONE,
    REFERENCE_DENSITY,
    mass_flow,
    mass_flow_with_slopes,
    series,
    upstream_pressure,
)

DM3_S_BAR = 1e-8
BAR = 1e5


def standard_form(C: float, b: float, p1: float, p2: float, T1: float, dp: float) -> float:
    """ISO 6358-1:2013 with cracking pressure, m = 0.5, written as the standard prints it."""
    ratio = p2 / p1
    flow = C * p1 * 1.185 * (293.15 / T1) ** 0.5
    if ratio <= b:
        return flow
    return flow * (1.0 - ((ratio - b) / (1.0 - dp / p1 - b)) ** 2) ** 0.5


# ISO 6358-1:2013 evaluated by hand for this project (C 5 dm3/(s bar), b 0.3).
@pytest.mark.parametrize(
    ("p_up", "p_down", "temperature", "printed"),
    [
        (7.0, 1.0, 293.15, "0.041475"),
        (7.0, 6.0, 293.15, "0.025109"),
        (2.0, 1.2, 250.0, "0.011594"),
        (1.3, 1.2, 230.0, "0.003963"),
    ],
)
def test_flow_of_a_valve(p_up: float, p_down: float, temperature: float, printed: str) -> None:
    flow = mass_flow(5 * DM3_S_BAR, 0.3, p_up * BAR, p_down * BAR, temperature)
    assert flow == near(printed)


# The same flows as free air, dm3/min at 1.185 kg/m3 (computed for this project).
@pytest.mark.parametrize(("p_down", "printed"), [(1.0, "2100.0"), (6.0, "1271.3")])
def test_flow_as_free_air(p_down: float, printed: str) -> None:
    flow = mass_flow(5 * DM3_S_BAR, 0.3, 7 * BAR, p_down * BAR, 293.15)
    assert flow / REFERENCE_DENSITY * 60e3 == near(printed)


# ISO 6358-1:2013, cracking-pressure form (from memory), away from the linear zone.
@given(
    b=st.floats(0.0, 0.6),
    p_up=st.floats(2e5, 4e7),
    ratio=st.floats(0.0, 0.98),
    temperature=st.floats(150.0, 800.0),
    share=st.floats(0.0, 0.3),
)
def test_flow_follows_the_standard(
    b: float, p_up: float, ratio: float, temperature: float, share: float
) -> None:
    opening = share * (1.0 - b) * p_up
    p_down = ratio * (p_up - opening)
    flow = mass_flow(1e-8, b, p_up, p_down, temperature, opening)
    expected = standard_form(1e-8, b, p_up, p_down, temperature, opening)
    assert flow == pytest.approx(expected, rel=1e-9)


def test_flow_is_linear_and_finite_near_equal_pressures() -> None:
    drops = LINEAR_ZONE * 7e5 * np.array([0.25, 0.5, 1.0])
    flow, _, slope = mass_flow_with_slopes(5e-8, 0.3, 7e5, 7e5 - drops, 293.15)
    np.testing.assert_allclose(flow / drops, flow[0] / drops[0], rtol=1e-12)
    np.testing.assert_allclose(slope[:2], -flow[0] / drops[0], rtol=1e-12)


def test_linear_zone_meets_the_ellipse() -> None:
    edge = 7e5 * (1.0 - LINEAR_ZONE)
    flow = mass_flow(5e-8, 0.3, 7e5, edge, 293.15)
    assert flow == pytest.approx(standard_form(5e-8, 0.3, 7e5, edge, 293.15, 0.0), rel=1e-12)


@pytest.mark.parametrize("opening", [0.0, 2e4])
def test_flow_never_steps(opening: float) -> None:
    p_down = np.linspace(0.0, 7.2e5, 200001)
    flow = mass_flow(5e-8, 0.3, 7e5, p_down, 293.15, opening)
    assert np.all(flow[p_down >= 7e5 - opening] == 0.0)
    assert np.all(np.diff(flow) <= 0.0)
    steepest = flow[0] * 24.0 / 7e5
    assert np.abs(np.diff(flow)).max() < 1.1 * steepest * (p_down[1] - p_down[0])


def test_a_stiff_check_valve_opens_without_a_step() -> None:
    """A cracking pressure above (1 - b) p1 leaves no room for the standard's ellipse."""
    p_down = np.linspace(0.0, 1e5, 20001)
    flow = mass_flow(1e-8, 0.5, 1e5, p_down, 293.15, 0.8e5)
    assert np.all(flow >= 0.0)
    assert np.abs(np.diff(flow)).max() < 0.02 * flow[0]
    assert flow[0] == pytest.approx(1e-8 * 1e5 * 1.185)


def test_slopes_match_differences() -> None:
    rng = np.random.default_rng(7)
    n = 4000
    C, b = rng.uniform(0.1, 20.0, n) * DM3_S_BAR, rng.uniform(0.0, 0.6, n)
    p_up = rng.uniform(0.5e5, 400e5, n)
    p_down = p_up * rng.uniform(0.01, 1.05, n)
    T = rng.uniform(150.0, 700.0, n)
    opening = rng.uniform(0.0, 1e5, n) * rng.integers(0, 2, n)
    flow, up, down = mass_flow_with_slopes(C, b, p_up, p_down, T, opening)
    np.testing.assert_allclose(flow, mass_flow(C, b, p_up, p_down, T, opening), rtol=1e-13)
    h = 1e-6
    by_up = mass_flow(C, b, p_up * (1 + h), p_down, T, opening)
    by_up = (by_up - mass_flow(C, b, p_up * (1 - h), p_down, T, opening)) / (2 * h * p_up)
    by_down = mass_flow(C, b, p_up, p_down * (1 + h), T, opening)
    by_down = (by_down - mass_flow(C, b, p_up, p_down * (1 - h), T, opening)) / (2 * h * p_down)
    scale = C * REFERENCE_DENSITY * np.sqrt(293.15 / T)
    assert np.abs((by_up - up) / scale).max() < 1e-5
    assert np.abs((by_down - down) / scale).max() < 1e-5


@given(
    b=st.floats(0.0, 0.7),
    p_down=st.floats(5e4, 3e7),
    over=st.floats(1e-4, 5.0),
)
def test_upstream_pressure_inverts_the_flow(b: float, p_down: float, over: float) -> None:
    p_up = p_down * (1.0 + over)
    flow = mass_flow(2e-8, b, p_up, p_down, 250.0)
    assert upstream_pressure(2e-8, b, flow, p_down, 250.0) == pytest.approx(p_up, rel=1e-9)


def test_no_flow_needs_no_more_than_the_pressure_behind() -> None:
    assert upstream_pressure(1e-8, 0.3, 0.0, 1e5, 293.15) == pytest.approx(1e5)


def test_ellipse_is_close_to_an_ideal_nozzle() -> None:
    """With b = 0.528 the ellipse and the isentropic nozzle differ by under 1 % of choked flow."""
    b = float(closed_forms.critical_back_pressure_ratio())
    ratio = np.linspace(b, 0.99, 47)
    nozzle = ratio ** (5.0 / 7.0) * np.sqrt(1.0 - ratio ** (2.0 / 7.0))
    flow = mass_flow(1e-8, b, 1e5, ratio * 1e5, 293.15) / mass_flow(1e-8, b, 1e5, 0.0, 293.15)
    assert np.abs(flow - nozzle / nozzle[0]).max() < 0.01


def test_shapes_follow_the_arguments() -> None:
    flow = mass_flow(np.full((3, 1), 1e-8), 0.3, 7e5, np.linspace(1e5, 6e5, 4), 293.15)
    assert flow.shape == (3, 4)
    for part in mass_flow_with_slopes(np.full((3, 1), 1e-8), 0.3, 7e5, 1e5, np.full(4, 250.0)):
        assert part.shape == (3, 4)
    C, b = series(np.full((3, 1), 1e-8), 0.3, np.full(4, 2e-8), 0.2)
    assert C.shape == b.shape == (3, 4)
