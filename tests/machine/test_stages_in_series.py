"""Three and four stages in series, from the case to the page.

Independent relations: what one stage delivers the next draws; and the first law for each stage,
with enthalpies of air from CoolProp at the temperatures and pressures that are printed.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI
from figure_data import clashes
from machine_invariants import list_faults
from series_case import series_case, series_text

from jacketcalc import assess
from jacketcalc.assessment.result import Assessment
from jacketcalc.cli.main import main
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.report.figures.layout import draw_layout
from jacketcalc.report.figures.pressures import draw_pressures
from jacketcalc.report.figures.pv import draw_pv
from jacketcalc.report.figures.schematic import describe_schematic, draw_schematic
from jacketcalc.report.figures.ts import draw_ts
from jacketcalc.report.figures.wall import draw_wall


@cache
def found(count: int) -> Assessment:
    return assess(series_case(count))


def enthalpy(T: float, p: float) -> float:
    return float(PropsSI("H", "T", T, "P", p, "Air"))


@pytest.mark.parametrize("count", [2, 3, 4])
def test_what_a_stage_delivers_the_next_draws(count: int) -> None:
    for outcome in (found(count).bare, found(count).jacketed):
        masses = [stage.mass_per_stroke for stage in outcome.stages]
        assert len(masses) == count
        assert masses == pytest.approx([outcome.mass_per_cycle] * count, rel=1e-6)
        pressures = [stage.delivery_pressure for stage in outcome.stages]
        starts = [stage.compression_start_pressure for stage in outcome.stages]
        assert pressures == sorted(pressures)
        assert pressures[-1] == series_case(count).machine.receiver_pressure
        # A line's pressure swings by what a stage takes of it: a tenth or so in these.
        assert starts[1:] == pytest.approx(pressures[:-1], rel=0.1)


@pytest.mark.parametrize("count", [3, 4])
def test_first_law_of_each_stage(count: int) -> None:
    """m (h out - h in) = work - heat, in a cycle. What is drawn has the enthalpy of the line's mean
    state; its pressure swings by 2 %, which moves the enthalpy of air by 0.1 kJ/kg at most."""
    machine = series_case(count).machine
    for outcome in (found(count).bare, found(count).jacketed):
        sources = [machine.supply.pressure, *(s.delivery_pressure for s in outcome.stages[:-1])]
        for stage, source in zip(outcome.stages, sources, strict=True):
            rise = enthalpy(stage.discharge_temperature, stage.delivery_pressure) - enthalpy(
                stage.suction_temperature, source
            )
            gained = stage.indicated_work - stage.gas_heat / outcome.cycle_rate
            slack = 200.0 * stage.mass_per_stroke
            assert stage.mass_per_stroke * rise == pytest.approx(gained, abs=slack)
            assert gained > 40 * slack


@pytest.mark.parametrize("count", [3, 4])
def test_what_holds_for_any_machine_holds(count: int) -> None:
    machine = series_case(count).machine
    result = run([Design(machine=machine)], details=True)[0]
    assert list_faults(machine, result) == []


def test_it_stalls_where_the_static_balance_says() -> None:
    """The core's strokes know nothing of that balance: below it they end, above it not. It takes
    lines as ideal gas at one temperature would fill them; real air moves it by 5 % here."""
    machine = series_case(3).machine
    limit = found(3).jacketed.stall_pressure
    for share, stalls in ((0.95, False), (1.1, True)):
        at = replace(machine, receiver_pressure=share * limit)
        outcome = run([Design(machine=at)])[0].outcome
        assert outcome.stalled is stalls
        assert outcome.stalls_in == ("third" if stalls else "")


@pytest.mark.parametrize("count", [3, 4])
def test_pictures_of_them(count: int) -> None:
    one = found(count)
    for draw in (draw_schematic, draw_pv, draw_ts, draw_pressures, draw_wall):
        assert not clashes(draw(one)), draw.__name__
    assert not clashes(draw_layout(one.case))
    assert "Stage third: starts compression" in describe_schematic(one)


def test_from_the_case_to_the_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("three.toml").write_text(series_text(3), "utf-8")
    assert main(["check", "three.toml"]) == 0
    assert "third" in capsys.readouterr().out
    assert main(["assess", "three.toml", "--full"]) == 0
    shown = capsys.readouterr().out
    assert "stage third" in shown and max(map(len, shown.split("\n"))) <= 80
    assert main(["assess", "three.toml", "--json"]) == 0
    stages = json.loads(capsys.readouterr().out)["with_jackets"]["stages"]
    assert [stage["name"] for stage in stages] == ["first", "second", "third"]
    assert main(["report", "three.toml", "--format", "html,xlsx", "-o", "r"]) == 0
    page = Path("r/three.html").read_text("utf-8")
    assert "Section through stage third" in page
