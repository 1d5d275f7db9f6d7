"""The data sheet of the jackets: sizes worked out here again, results where the JSON has them."""

from __future__ import annotations

import math

import pytest
from report_sample import found, report_of

from jacketcalc.report.model import Table, plain


def _sheet(name: str) -> Table:
    return next(t for t in report_of(found(name)).tables() if t.name == "jacket data sheet")


def _column(table: Table, column: int) -> dict[str, float]:
    return {
        plain(row.cells[0].text): row.cells[column].full or 0.0
        for row in table.rows
        if not row.group and row.cells[column].number is not None
    }


@pytest.mark.parametrize("name", ["hot", "single", "tight"])
def test_sizes_follow_from_the_case(name: str) -> None:
    """Plane geometry of a helix laid flat: a straight channel over the mean circumference."""
    machine = found(name).case.machine
    table = _sheet(name)
    stages = [s for s in machine.stages if s.jacket is not None]
    assert len(table.columns) == 2 + len(stages)
    for column, stage in enumerate(stages, 2):
        jacket = stage.jacket
        assert jacket is not None
        seen = _column(table, column)
        outside = stage.bore + 2 * stage.wall_thickness
        round_ = math.pi * (outside + jacket.gap)
        lead = jacket.pitch * jacket.starts
        angle = math.atan2(lead, round_)
        width = (jacket.pitch - jacket.rib) * math.cos(angle)
        path = jacket.length / math.sin(angle)
        wetted = 2 * (width + jacket.gap)
        assert seen["clear width of the channel"] == pytest.approx(1e3 * width)
        assert seen["length of the path at mid-depth"] == pytest.approx(1e3 * path)
        area = jacket.starts * width * jacket.gap
        assert seen["flow area, all starts"] == pytest.approx(1e6 * area)
        diameter = 4 * width * jacket.gap / wetted
        assert seen["hydraulic diameter, D_h"] == pytest.approx(1e3 * diameter)
        # Axial share of the barrel between ribs, times its surface over the jacket length.
        barrel = math.pi * outside * jacket.length * (1 - jacket.rib / jacket.pitch)
        assert seen["barrel area that the air touches"] == pytest.approx(1e6 * barrel, rel=0.03)
        curvature = (outside + jacket.gap) * (1 + (lead / round_) ** 2)
        dean = seen["Reynolds number, mean, Re"] * math.sqrt(diameter / curvature)
        assert seen["Dean number, mean, De"] == pytest.approx(dean)


def test_results_are_there() -> None:
    seen = _column(_sheet("hot"), 2)
    jacket = found("hot").jacketed.stages[0].jacket
    assert jacket is not None
    assert seen["velocity, peak"] == jacket.velocity_peak
    assert seen["heat transfer coefficient, α"] == jacket.coefficient
    assert seen["leak over the rib tips, share of the flow"] == 100 * jacket.leak_share
    assert seen["transit time over pulse length"] == 100 * jacket.transit_share


def test_stall_pressure_and_force_margin_stand_in_the_report() -> None:
    """Both as the assessment has them: bar from pascal, per cent from a share."""
    outcome = found("hot").jacketed
    table = next(t for t in report_of(found("hot")).tables() if t.name == "stall")
    pressure, margin = (row.cells[2] for row in table.rows)
    assert pressure.number == pytest.approx(outcome.stall_pressure / 1e5, abs=0.051)
    assert margin.number == pytest.approx(100 * outcome.force_margin, abs=0.051)
