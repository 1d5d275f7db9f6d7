"""The core's valve law: the standard's own form, the package's Python form, and slopes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from printed import near

from jacketcalc.core.parts import valve_flow
from jacketcalc.flow.iso6358 import mass_flow, mass_flow_with_slopes

BAR = 1e5
C = 5e-8
"""5 dm3/(s bar) [m3/(s Pa)]."""
pressures = st.floats(0.9 * BAR, 40 * BAR)
ratios = st.floats(0.1, 0.6)
openings = st.sampled_from([0.0, 5e3, 5e4])


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
    assert valve_flow(C, 0.3, p_up * BAR, p_down * BAR, temperature)[0] == near(printed)


@given(b=ratios, p_up=pressures, share=st.floats(0.0, 0.99), opening=openings)
def test_flow_follows_the_standard(b: float, p_up: float, share: float, opening: float) -> None:
    """ISO 6358-1:2013 with cracking pressure, written as the standard prints it."""
    p_down = share * p_up
    assume(p_up - opening - p_down > 0.01 * p_up and b * p_up < 0.85 * (p_up - opening))
    want, ratio = C * p_up * 1.185 * (293.15 / 260.0) ** 0.5, p_down / p_up
    if ratio > b:
        want *= (1.0 - ((ratio - b) / (1.0 - opening / p_up - b)) ** 2) ** 0.5
    assert valve_flow(C, b, p_up, p_down, 260.0, opening)[0] == pytest.approx(want, rel=1e-9)


@given(b=ratios, p_up=pressures, share=st.floats(0.0, 1.1), opening=openings)
def test_flow_and_slopes_are_pythons(b: float, p_up: float, share: float, opening: float) -> None:
    """Value and both slopes, shut and linear zone included, as `iso6358` works them out."""
    at = (C, b, p_up, share * p_up, 260.0, opening)
    want = [float(value) for value in mass_flow_with_slopes(*at)]
    got = valve_flow(*at)
    assert got[0] == pytest.approx(float(mass_flow(*at)), rel=1e-12, abs=1e-18)
    assert got == pytest.approx(want, rel=1e-9, abs=1e-20)


@given(b=ratios, p_up=pressures, share=st.floats(0.0, 1.1), opening=openings)
def test_slopes_match_differences(b: float, p_up: float, share: float, opening: float) -> None:
    """Central differences of the core's own flow, away from the kinks of the law.

    They lie where it chokes, where the linear zone begins, where the valve shuts, and where the
    critical ratio is held at 0.9.
    """
    p_down, step = share * p_up, 1e-6 * p_up

    def flow(up: float, down: float) -> float:
        return valve_flow(C, b, p_up + up, p_down + down, 260.0, opening)[0]

    _, by_up, by_down = valve_flow(C, b, p_up, p_down, 260.0, opening)
    loaded = max(p_up - opening, 1.0)
    critical = min(b * p_up, 0.9 * loaded)
    kinks = (critical - p_down, 0.995 * loaded - p_down, loaded - p_down, b * p_up - 0.9 * loaded)
    assume(min(abs(apart) for apart in kinks) > 10 * step)
    forward = np.array([flow(step, 0.0), flow(0.0, step)])
    central = (forward - np.array([flow(-step, 0.0), flow(0.0, -step)])) / (2 * step)
    scale = np.abs(central).max()
    want = pytest.approx(central, rel=1e-4, abs=1e-5 * scale + 1e-18)
    assert np.array([by_up, by_down]) == want
