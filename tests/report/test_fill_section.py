"""The report's fill: told only where asked for, with the numbers of the command; its figure."""

from __future__ import annotations

import json
from functools import cache

import pytest
from figure_data import clashes
from fill_sample import COARSE, fill_case
from places import ROOT

from jacketcalc.assessment.assess import assess
from jacketcalc.casefile.reading import read_case
from jacketcalc.fill.compare import compare_fills
from jacketcalc.fill.result import FillComparison
from jacketcalc.report.figures.fill import describe_fill, draw_fill
from jacketcalc.report.gather import gather
from jacketcalc.report.model import Report
from jacketcalc.show.fill_json import make_fill_json
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.verification.published import Verification


@cache
def filled() -> FillComparison:
    return compare_fills(fill_case(), 100e5, resolution=COARSE)


@cache
def report(*, fill: bool) -> Report:
    found = assess(read_case(str(ROOT / "cases" / "impact_laboratory.toml")))
    checked = Verification(findings=())
    return gather(make_dossier(found), checked, fill=filled() if fill else None)


def test_it_is_told_where_asked_for_and_else_said_to_be_left_out() -> None:
    assert "fill" not in {t.name for t in report(fill=False).tables()}
    assert "--with fill" in " ".join(dict(report(fill=False).cover.notes)["Not run"])
    assert "--with fill" not in " ".join(dict(report(fill=True).cover.notes)["Not run"])


def test_rows_are_those_of_the_command() -> None:
    """Printed units by their definitions: 1 bar = 1e5 Pa, 0 degC = 273.15 K, 1 min = 60 s."""
    told = json.loads(make_fill_json(filled()))
    rows = next(t for t in report(fill=True).tables() if t.name == "fill").rows
    for column, name in ((2, "no_jackets"), (3, "with_jackets")):
        numbers = [row.cells[column].number for row in rows]
        fill = told[name]
        wanted = [
            fill["time"] / 60, fill["strokes"], fill["drive_air"], fill["drive_air_volume"] * 1e3,
            fill["delivered"], fill["specific_air"], fill["pressure"] / 1e5,
            fill["temperature"] - 273.15, fill["rest_pressure"] / 1e5,
            fill["hottest_discharge"]["temperature"] - 273.15,
            fill["hottest_discharge"]["time"] / 60,
            fill["hottest_seal"]["temperature"] - 273.15, fill["hottest_seal"]["time"] / 60,
        ]  # fmt: skip
        assert numbers == pytest.approx(wanted, rel=6e-4, abs=0.06)


def test_the_figure_draws_both_machines_and_its_words_stand_clear() -> None:
    found = filled()
    fig = draw_fill(found)
    assert clashes(fig) == [] and len(fig.axes) == 4
    pressure, gas, discharge, seal = ([line.get_ydata() for line in ax.lines] for ax in fig.axes)
    assert pressure[0][0] == pytest.approx(1.013) and pressure[1][-1] == pytest.approx(100.0)
    jacketed = found.with_jackets
    assert jacketed is not None
    assert gas[1][-1] == pytest.approx(jacketed.temperature - 273.15)
    assert max(discharge[1]) == pytest.approx(jacketed.hottest_discharge.temperature - 273.15)
    assert max(seal[1]) == pytest.approx(jacketed.hottest_seal.temperature - 273.15)
    assert "With jackets: after" in describe_fill(found)
