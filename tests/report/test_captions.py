"""What captions say of a figure is what the figure shows."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from figure_data import short_assessment

from jacketcalc.assessment.result import Assessment
from jacketcalc.report.figures.energy_balance import split_energy_balance
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.sections.energy import caption_energy_balance


@cache
def found() -> Assessment:
    return short_assessment("single")


@pytest.mark.parametrize(("supply", "exhaust"), [(-20.0, 150.0), (15.0, -40.0), (15.0, 150.0)])
def test_caption_and_energy_balance_figure_agree_on_sides(supply: float, exhaust: float) -> None:
    """The figure's own streams say on which side each stands."""
    energy_balance = {
        "drive supply": supply,
        "stage supply": supply / 9,
        "exhaust at outlets": exhaust,
    }
    energy_balance["receiver"] = -sum(energy_balance.values())
    outcome = replace(found().jacketed, energy_balance=energy_balance)
    into, out, _ = split_energy_balance(outcome, Shown())
    caption = caption_energy_balance(outcome)
    assert ("what it brings is drawn as leaving" in caption) == any(
        "supply" in stream.name for stream in out
    )
    assert ("Supply air enters" in caption) == any("supply" in stream.name for stream in into)
    assert ("its leaving is drawn as an inflow" in caption) == any(
        "exhaust" in stream.name for stream in into
    )


def test_real_supply_air_leaves_in_the_figure() -> None:
    """Air of 7 to 8 bar at ambient temperature holds 1 to 2 kJ/kg less than at 1 bar (its Joule and
    Thomson effect, 0.23 K/bar near 20 °C and 1.005 kJ/(kg K): handbook values, from memory)."""
    outcome = found().jacketed
    flow = outcome.drive_air_mass_flow
    pressure = found().case.machine.supply.pressure - found().case.machine.ambient.pressure
    assert -outcome.energy_balance["drive supply"] == pytest.approx(
        flow * 1005 * 0.23e-5 * pressure, rel=0.1
    )
    assert "enters at little" not in caption_energy_balance(outcome)
    assert "drawn as leaving" in caption_energy_balance(outcome)
