"""The report's water: told only where asked for, with the numbers that `jacketcalc water` has.

Printed units are converted by their definitions: 0 degC = 273.15 K, 1 h = 3600 s.
"""

from __future__ import annotations

import json
from functools import cache

import numpy as np
import pytest
from figure_data import clashes
from places import ROOT

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.water_finding import water_of
from jacketcalc.casefile.reading import read_case
from jacketcalc.report.figures.water import describe_water, draw_water, list_ports
from jacketcalc.report.gather import gather
from jacketcalc.report.model import Report, Table, plain
from jacketcalc.show.water_json import make_water_json
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.studies.solve_water import solve_water
from jacketcalc.verification.published import Verification

NAMES = ("tight_jacket", "single_stage")


@cache
def assessed(name: str) -> Assessment:
    return assess(read_case(str(ROOT / "cases" / f"{name}.toml")))


@cache
def report(name: str, *, water: bool) -> Report:
    return gather(make_dossier(assessed(name)), Verification(findings=()), water=water)


def table(name: str, sheet: str) -> Table:
    return next(t for t in report(name, water=True).tables() if t.name == sheet)


def json_of(name: str) -> dict[str, object]:
    """Return what the command tells, from machines of its own."""
    found: dict[str, object] = json.loads(make_water_json(solve_water(assessed(name).case), 0.25))
    return found


def test_it_is_told_where_asked_for_and_else_said_to_be_left_out() -> None:
    names = {t.name for t in report("single_stage", water=False).tables()}
    assert not names & {"water path", "dew points"}
    left_out = dict(report("single_stage", water=False).cover.notes)["Not run"]
    assert "--with water" in " ".join(left_out)
    assert "--with water" not in " ".join(
        dict(report("single_stage", water=True).cover.notes)["Not run"]
    )


@pytest.mark.parametrize("name", NAMES)
def test_rows_are_those_of_the_command(name: str) -> None:
    places = json_of(name)["with_jackets"]["places"]  # type: ignore[index]
    rows = table(name, "water path").rows
    assert len(rows) == len(places)
    for row, place in zip(rows, places, strict=True):
        near = place["nearest"]
        assert plain(row.cells[0].text) == place["name"]
        numbers = [row.cells[i].number for i in (2, 3, 4, 5)]
        wanted = [near["temperature"] - 273.15, near["pressure"] / 1e5, near["point"] - 273.15,
                  near["margin"]]  # fmt: skip
        for shown, exact, step in zip(numbers, wanted, (1.0, 0.1, 1.0, 0.1), strict=True):
            assert shown is not None and abs(shown - exact) <= 0.51 * step
        most = 3.6e6 * place["most"] if place["wet"] else 0.0
        assert row.cells[8].number == pytest.approx(most, rel=0.06)


@pytest.mark.parametrize("name", NAMES)
def test_the_figure_draws_the_margins_and_its_words_stand_clear(name: str) -> None:
    found = water_of(assessed(name))
    assert found.jacketed is not None
    fig = draw_water(found)
    assert clashes(fig) == []
    ports = list_ports(found.jacketed)
    stages = len(found.case.machine.stages)
    assert len(fig.axes) == len(ports) + stages
    lows = [min(float(np.min(line.get_ydata())) for line in ax.lines) for ax in fig.axes]
    wall = min(p.nearest.margin for p in found.jacketed.places if p.part == "exhaust air")
    assert min(lows[: len(ports)]) == pytest.approx(wall)
    inside = min(p.nearest.margin for p in found.jacketed.places if p.part == "stage")
    assert min(lows[len(ports) :]) == pytest.approx(min(inside, 0.0))
    assert f"{inside:.1f}".replace("-", "−") in describe_water(found)
