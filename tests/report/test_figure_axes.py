"""What is on the axes of figures: both machines, solved fields, an energy balance that closes."""

from __future__ import annotations

import numpy as np
import pytest
from figure_data import short_assessment

from jacketcalc.assessment.result import Assessment
from jacketcalc.report.figures.along import draw_along
from jacketcalc.report.figures.energy_balance import split_energy_balance
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.pv import draw_pv
from jacketcalc.report.figures.wall import draw_wall

SI = Shown()


@pytest.fixture(scope="module")
def found() -> Assessment:
    return short_assessment("hot")


@pytest.fixture(scope="module")
def single() -> Assessment:
    return short_assessment("single")


def test_pv_shows_both_machines(found: Assessment) -> None:
    for ax, bare, jacketed in zip(
        draw_pv(found).axes, found.bare_detail.stages, found.jacketed_detail.stages, strict=True
    ):
        for line, stage in zip(ax.lines, (bare, jacketed), strict=True):
            assert np.allclose(line.get_ydata()[:-1], stage.pressure / 1e5)
            assert np.allclose(line.get_xdata()[:-1], stage.volume * 1e6)
            assert line.get_ydata()[-1] == line.get_ydata()[0]
        assert ax.lines[1].get_linewidth() > ax.lines[0].get_linewidth()
        assert {t.get_text() for t in ax.texts} == {"no jackets", "with jackets"}


def test_along_and_wall_show_the_fields(found: Assessment) -> None:
    passage = found.jacketed_detail.passages[0]
    top, middle, low = draw_along(found, passage.stage).axes
    assert np.allclose(top.lines[0].get_ydata(), passage.temperature - 273.15)
    assert np.allclose(top.lines[1].get_ydata(), passage.wall_temperature - 273.15)
    assert np.allclose(middle.lines[0].get_ydata(), passage.pressure_peak / 1e5)
    assert np.allclose(low.lines[0].get_ydata(), passage.mach_peak)
    ax = draw_wall(found).axes[0]
    assert np.allclose(ax.lines[1].get_ydata(),
                       found.jacketed_detail.stages[0].wall_inside - 273.15)  # fmt: skip


def test_energy_balance_closes_as_printed(found: Assessment, single: Assessment) -> None:
    for outcome in (found.jacketed, found.bare, single.jacketed):
        into, out, total = split_energy_balance(outcome, SI)
        printed = float(total.split()[0])
        for side in (into, out):
            assert sum(float(s.printed) for s in side) == pytest.approx(printed, abs=1e-9)
            for stream in side:
                assert float(stream.printed) == pytest.approx(stream.watts, abs=0.11)
