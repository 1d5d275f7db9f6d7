"""Pictures of a cycle: temperature over entropy, pressures over time."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp import CoolProp
from figure_data import clashes, short_assessment

from jacketcalc.core.profiles import instant_times
from jacketcalc.report.figures.pressures import describe_pressures, draw_pressures
from jacketcalc.report.figures.ts import describe_ts, draw_ts


@pytest.mark.parametrize("name", ["hot", "single"])
def test_no_words_overlap(name: str) -> None:
    found = short_assessment(name)
    assert not clashes(draw_ts(found))
    assert not clashes(draw_pressures(found))


def test_curves_over_entropy_are_those_of_coolprop() -> None:
    """Each instant of the gas, its entropy from CoolProp, in kJ/(kg K) above the air outside."""
    found = short_assessment("hot")
    ambient = found.case.machine.ambient
    zero = CoolProp.PropsSI("S", "T", ambient.temperature, "P", ambient.pressure, "Air")
    for ax, gas in zip(draw_ts(found).axes, found.jacketed_detail.stages, strict=True):
        x, y = next(line for line in ax.lines if line.get_linewidth() == 1.5).get_data()
        s = CoolProp.PropsSI("S", "T", gas.temperature, "P", gas.pressure, "Air")
        assert np.asarray(x)[:-1] == pytest.approx((s - zero) / 1e3, abs=5e-6)
        assert np.asarray(y)[:-1] == pytest.approx(gas.temperature - 273.15)
    assert "kJ/(kg K)" in describe_ts(found)


def test_instants_stand_where_the_method_puts_them() -> None:
    """Alexander (1977), two stages: nodes at 1 - sqrt(1/2) and 1 of a step, weights sqrt(1/2) and
    the rest. Two steps, of 2 s and 1 s, worked by hand."""
    weights = np.array([2 * 0.70711, 2 * 0.29289, 0.70711, 0.29289])
    assert instant_times(weights) == pytest.approx([2 * 0.29289, 2.0, 2.29289, 3.0], abs=1e-4)


def test_a_steady_stroke_is_straight() -> None:
    """Speed between any two instants is near that between their neighbours: no steps within."""
    detail = short_assessment("hot").jacketed_detail
    moving = (detail.position > 0.02 * detail.position.max()) & (
        detail.position < 0.98 * detail.position.max()
    )
    first = np.flatnonzero(moving & (np.arange(len(moving)) < np.argmax(detail.position)))
    t, x = detail.time[first], detail.position[first]
    speed = np.diff(x) / np.diff(t)
    assert np.all(speed > 0.0)
    assert np.median(np.abs(np.diff(np.log(speed)))) < 0.1


def test_pressures_go_as_far_as_the_solution() -> None:
    found = short_assessment("single")
    fig = draw_pressures(found)
    assert len(fig.axes) == 3
    top = max(float(np.max(line.get_ydata())) for line in fig.axes[2].lines)
    gases = (found.bare_detail.stages[0].pressure, found.jacketed_detail.stages[0].pressure)
    assert top == pytest.approx(max(float(p.max()) for p in gases) / 1e5)
    assert f"{1e3 * found.jacketed_detail.time[-1]:.0f} ms" in describe_pressures(found)
