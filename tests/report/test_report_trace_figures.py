"""Figures of the report draw the JSON result: curves, energy balance, split and band."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from figure_data import clashes, level_words
from matplotlib.figure import Figure
from report_sample import found, result_of

from jacketcalc.inputs import Currency
from jacketcalc.report.figures.along import draw_along
from jacketcalc.report.figures.energy_balance import draw_energy_balance
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.pulse import draw_pulse
from jacketcalc.report.figures.pv import draw_pv
from jacketcalc.report.figures.wall import draw_wall
from jacketcalc.report.figures.why import draw_why, judged_parts

NAMES = ("hot", "single", "tight")


def _holds(figure: Figure, values: Any, dimension: str) -> bool:
    """Return whether one of the curves of a figure is a row of the result."""
    wanted = Shown().values(np.asarray(values), dimension)
    for ax in figure.axes:
        for line in ax.lines:
            for data in (line.get_ydata(), line.get_xdata()):
                drawn = np.asarray(data, dtype=float)
                if 1 < len(drawn) <= len(wanted) and np.allclose(drawn, wanted[: len(drawn)]):
                    return True
    return False


@pytest.mark.parametrize("name", NAMES)
def test_curves_are_the_rows_of_the_result(name: str) -> None:
    assessment = found(name)
    profiles = result_of(assessment)["detail"]["profiles"]
    pulse, pv, wall = draw_pulse(assessment), draw_pv(assessment), draw_wall(assessment)
    for machine in ("no_jackets", "with_jackets"):
        for passage in profiles[machine]["passages"]:
            assert _holds(pulse, passage["port_pressure"], "pressure")
            assert _holds(pulse, passage["flow"], "mass flow")
            assert _holds(pulse, passage["port_temperature"], "temperature")
        for stage in profiles[machine]["stages"]:
            assert _holds(pv, [*stage["pressure"], stage["pressure"][0]], "pressure")
            assert _holds(pv, [*stage["volume"], stage["volume"][0]], "volume")
            assert _holds(wall, stage["wall_inside"], "temperature")
    for passage in profiles["with_jackets"]["passages"]:
        along = draw_along(assessment, passage["stage"])
        assert _holds(along, passage["temperature"], "temperature")
        assert _holds(along, passage["wall_temperature"], "temperature")
        assert _holds(along, passage["shell_temperature"], "temperature")
        assert _holds(along, passage["pressure_peak"], "pressure")
        assert _holds(along, passage["mach_peak"], "number")


@pytest.mark.parametrize("name", NAMES)
def test_energy_balance_figure_is_the_energy_balance(name: str) -> None:
    """Each named flow stands beside its name, within the last digit that closing the sum moves."""
    assessment = found(name)
    energy_balance = result_of(assessment)["with_jackets"]["energy_balance"]
    words = level_words(draw_energy_balance(assessment.jacketed, Shown()))
    shown = [flow for flow in energy_balance if flow in words]
    assert len(shown) >= 3
    for flow in shown:
        printed = re.search(rf"([\d.]+) W  {flow}$|^{flow}  ([\d.]+) W", words, re.M)
        assert printed is not None, flow
        number = float(printed[1] or printed[2])
        assert number == pytest.approx(abs(energy_balance[flow]), abs=0.11)


@pytest.mark.parametrize("name", NAMES)
def test_first_picture_shows_the_split_and_the_band(name: str) -> None:
    """The bars are the fields of the split, whatever the verdict; the rest closes the sum."""
    assessment = found(name)
    result = result_of(assessment)
    change, band = result["change"], result["model_range"]["delivered_mass_flow"]
    fields = (change["cooling_alone"], change["resistance_alone"], change)
    cooling, resistance, whole = (100 * f["delivered_mass_flow"] for f in fields)
    bars = [p.get_width() for p in draw_why(assessment).axes[0].patches]
    assert bars[0] == pytest.approx(cooling, abs=0.051)
    assert bars[1] == pytest.approx(resistance, abs=0.051)
    assert bars[3] == pytest.approx(whole, abs=0.051)
    assert sum(bars[:3]) == pytest.approx(bars[3], abs=1e-9)
    assert not clashes(draw_why(assessment))
    assert judged_parts(assessment).band == pytest.approx((100 * band["low"], 100 * band["high"]))


@pytest.mark.parametrize("by", ["specific air consumption", "discharge temperature"])
def test_first_picture_follows_what_is_judged(by: Currency) -> None:
    """Judged by drive air or by temperature, bars and band are those fields, less is better."""
    assessment = found("hot")
    judged = replace(assessment, verdict=replace(assessment.verdict, judged_by=by))
    parts, result = judged_parts(judged), result_of(judged)
    if by == "specific air consumption":
        whole, size = result["change"]["specific_air_consumption"], 100.0
        band = result["model_range"]["specific_air_consumption"]
    else:
        stages = result["with_jackets"]["stages"]
        at = max(range(len(stages)), key=lambda i: stages[i]["discharge_temperature"])
        whole, size = result["change"]["stages"][at]["discharge_temperature"], 1.0
        band = result["model_range"]["discharge_temperature"]
    assert parts.values[3] == pytest.approx(size * whole, abs=0.051)
    assert sum(parts.values[:3]) == pytest.approx(parts.values[3], abs=1e-9)
    assert parts.band == pytest.approx((size * band["low"], size * band["high"]))
    assert parts.gain < 0
    assert not clashes(draw_why(judged))
