"""Rivals of the jackets: every row is the machine it names, against the machine as it stands.

Rows that are entries of the case are typed into its text and solved by themselves; coefficients are
held to other correlations than the program's: Hilpert's table, Dittus and Boelter, exact plates.
"""

from __future__ import annotations

import csv
import io
import json
import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from command_line import CASE, laboratory
from CoolProp.CoolProp import PropsSI

from jacketcalc import read_case
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.cli.main import main
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.run import run
from jacketcalc.designs import Design, without_jackets
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case, Machine
from jacketcalc.report.rival_figures import rivals
from jacketcalc.show.rival_json import make_rival_json
from jacketcalc.show.rival_sheet import make_rival_csv
from jacketcalc.show.rival_text import make_rival_text, rank_single
from jacketcalc.studies import rivals as study
from jacketcalc.studies.rival_entries import parse_row
from jacketcalc.studies.rival_physics import (
    WATER_CONDUCTIVITY,
    WATER_DENSITY,
    WATER_HEAT,
    WATER_VISCOSITY,
    blown_coefficient,
    line_conductance,
    water_coefficient,
)
from jacketcalc.studies.rival_table import RivalRow, RivalTable, RivalTerms
from jacketcalc.studies.rivals import solve_rivals

SINGLE = CASE.parent / "single_stage.toml"
OWN = ("larger valve, jacket.gap=4mm", "no jackets, valve.switching_time=20ms")


@cache
def case() -> Case:
    return read_case(str(CASE))


@cache
def table() -> RivalTable:
    return solve_rivals(case(), own=[parse_row(case(), text) for text in OWN])


def named(name: str, found: RivalTable | None = None) -> RivalRow:
    return next(row for row in (found or table()).rows if row.name == name)


def outcome(row: RivalRow) -> Outcome:
    assert row.outcome is not None
    return row.outcome


def solved(machine: Machine) -> Outcome:
    return run([Design(machine=machine)])[0].outcome


def with_valve(read: Case, factor: float) -> Case:
    for key in ("supply_path", "exhaust_path"):
        read = set_value(read, f"valve.{key}.C", f"{0.9 * factor:.4f} dm3/(s bar)")
    return read


def test_rows_stand_in_their_order() -> None:
    names = [row.name for row in table().rows if not row.paired]
    assert names == [
        "as it stands", "jackets as drawn", "jackets + wider tubes", "larger valve",
        "cooler between stages", "exhaust to the line's cooler", "fan on bare barrels",
        "water jacket", *OWN,
    ]  # fmt: skip
    assert table().left_out == ("no silencer: there is none",)
    pairs = [row for row in table().rows if row.paired]
    assert pairs and all(len(row.ways) >= 2 and row.delivers for row in pairs)
    flows = [outcome(row).delivered_mass_flow for row in pairs]
    assert flows == sorted(flows, reverse=True)


def test_both_machines_of_the_assessment_stand_in_it() -> None:
    """The same numbers and the same limits broken."""
    found = laboratory()
    for row, machine, kept in (
        (table().stands, found.bare, [c.kept_bare for c in found.limits]),
        (named("jackets as drawn"), found.jacketed, [c.kept for c in found.limits]),
    ):
        assert outcome(row).delivered_mass_flow == machine.delivered_mass_flow
        assert outcome(row).hottest_seal == max(s.seal_temperature for s in machine.stages)
        assert len(row.broken) == kept.count(False) and row.limits == len(kept)
    assert named("jackets as drawn").broken == ()


def test_rows_that_are_entries_are_those_of_the_text() -> None:
    judged = case().judgement.no_jackets
    for name, machine in (
        ("larger valve", bare_machine(with_valve(case(), 1.6).machine, judged)),
        ("jackets + wider tubes", set_value(case(), "tube.bore", "11 mm").machine),
        ("cooler between stages",
         bare_machine(set_value(case(), "stage.second.line.heat_loss", "28 W/K").machine, judged)),
        (OWN[0], with_valve(set_value(case(), "jacket.gap", "4 mm"), 1.6).machine),
        (OWN[1], bare_machine(set_value(case(), "valve.switching_time", "20 ms").machine, judged)),
    ):  # fmt: skip
        flow = solved(machine).delivered_mass_flow
        assert outcome(named(name)).delivered_mass_flow == pytest.approx(flow, rel=1e-9), name


def test_a_pair_is_both_of_its_ways() -> None:
    row = next(r for r in table().rows if r.paired and set(r.ways) == {"larger valve", "water"})
    more = outcome(row).delivered_mass_flow
    for name in ("larger valve", "water jacket"):
        assert more > outcome(named(name)).delivered_mass_flow
    assert ";" in row.assumed


def test_a_blown_barrel_agrees_with_hilpert() -> None:
    """Nu = C Re^m Pr^(1/3), 0.683 and 0.466 up to Re 4000, 0.193 and 0.618 above it (Incropera,
    table 7.2; from memory); the two differ by some 20 %."""
    machine = case().machine
    for speed in (1.0, 3.0, 10.0):
        for stage in machine.stages:
            D = stage.bore + 2 * stage.wall_thickness
            T = machine.ambient.temperature + 20.0
            k, mu, rho, cp = (PropsSI(q, "T", T, "P", 101300.0, "Air") for q in "LVDC")
            Re = rho * speed * D / mu
            C, m = (0.683, 0.466) if Re < 4000 else (0.193, 0.618)
            hilpert = C * Re**m * (mu * cp / k) ** (1 / 3) * k / D
            assert blown_coefficient(machine, stage, speed) == pytest.approx(hilpert, rel=0.2)


def test_water_in_the_annulus() -> None:
    """Laminar: plates, one heated evenly, 5.385 exact. Turbulent: Dittus and Boelter, 25 %."""
    stage = case().machine.stages[0]
    gap, inner = 3e-3, stage.bore + 2 * stage.wall_thickness
    Dh, k = 2 * gap, PropsSI("L", "T", 293.15, "P", 3e5, "Water")
    assert water_coefficient(stage, 2e-3 / 60, gap) == pytest.approx(5.385 * k / Dh, rel=0.01)
    area = math.pi / 4 * ((inner + 2 * gap) ** 2 - inner**2)
    Re, Pr = 3e4, 7.0
    flow = Re * area / Dh * WATER_VISCOSITY / WATER_DENSITY
    boelter = 0.023 * Re**0.8 * Pr**0.4 * k / Dh
    assert water_coefficient(stage, flow, gap) == pytest.approx(boelter, rel=0.25)


def test_water_is_that_of_the_reference_equation() -> None:
    found = (WATER_DENSITY, WATER_HEAT, WATER_VISCOSITY, WATER_CONDUCTIVITY)
    theirs = tuple(PropsSI(q, "T", 293.15, "P", 101325.0, "Water") for q in "DCVL")
    assert found == pytest.approx(theirs, rel=2e-3)


@pytest.mark.parametrize(("units", "ratio"), [(0.5, 0.1), (3.0, 0.4), (1.0, 0.9), (0.8, 0.0001)])
def test_a_mixed_line_loses_what_the_exchanger_carries(units: float, ratio: float) -> None:
    """Counterflow: e = (1 - x) / (1 - r x), x = exp(-N (1 - r)). The line is mixed: what it loses
    is K (T - Tc), with T from C (Tin - T) = K (T - Tc)."""
    line = 0.4
    K = line_conductance(units * line, line, line / ratio)
    hot, cold = 400.0, 250.0
    T = (line * hot + K * cold) / (line + K)
    x = math.exp(-units * (1 - ratio))
    effectiveness = (1 - x) / (1 - ratio * x)
    assert K * (T - cold) == pytest.approx(effectiveness * line * (hot - cold), rel=1e-9)


def test_the_exhaust_at_the_line_keeps_its_tubes_and_cools_it() -> None:
    found = outcome(named("exhaust to the line's cooler"))
    tubed = solved(without_jackets(case().machine))
    assert max(found.back_pressure_peak) > 2.0 * max(outcome(table().stands).back_pressure_peak)
    # Colder air drawn by the second stage lowers the pressure between them: rates differ a little.
    assert found.back_pressure_mean == pytest.approx(tubed.back_pressure_mean, rel=0.05)
    cold, room = found.stages[1].suction_temperature, case().machine.ambient.temperature
    exhaust = sum(found.port_temperature) / 2
    assert exhaust < cold < room


def test_temperatures_that_follow_have_settled(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(study, "ROUNDS", 6)
    longer = solve_rivals(case())
    for name in ("exhaust to the line's cooler", "water jacket"):
        one, two = outcome(named(name)), outcome(named(name, longer))
        assert one.hottest_gas == pytest.approx(two.hottest_gas, abs=0.1)
        assert one.delivered_mass_flow == pytest.approx(two.delivered_mass_flow, rel=2e-4)


def test_the_water_is_warmed_by_what_it_takes() -> None:
    """A trickle: its mean is half its rise above what comes in."""
    terms = RivalTerms(water_flow=0.1e-3 / 60)
    trickle = outcome(named("water jacket", solve_rivals(case(), terms=terms)))
    assert trickle.hottest_seal > outcome(named("water jacket")).hottest_seal + 1.0


def test_no_jackets_through_the_tube_gets_a_wider_tube_by_itself() -> None:
    other = set_value(case(), "judge.no_jackets", "exhaust through tube")
    found = solve_rivals(other)
    row = named("wider tubes", found)
    assert row.ways == ("wider tubes",) and row.delivers
    wide = set_value(other, "tube.bore", "11 mm").machine
    flow = solved(without_jackets(wide)).delivered_mass_flow
    assert outcome(row).delivered_mass_flow == pytest.approx(flow, rel=1e-9)
    assert "through its tube" in found.reference


def test_a_machine_without_a_line_leaves_its_coolers_out() -> None:
    found = solve_rivals(read_case(str(SINGLE)))
    assert any(words.startswith("cooler: ") for words in found.left_out)
    assert any(words.startswith("exhaust cooler: ") for words in found.left_out)


def test_a_case_without_jackets_has_rivals_all_the_same() -> None:
    text = CASE.read_text("utf-8")
    for stage in ("second", "first"):
        text = text.replace(f'to = "{stage}"', 'to = "atmosphere"')
    found = solve_rivals(read_case_text(text))
    assert not any("jackets" in row.ways for row in found.rows)
    assert any(words.startswith("jackets as drawn") for words in found.left_out)


def test_a_machine_that_stalls_says_so() -> None:
    found = solve_rivals(set_value(case(), "receiver.pressure", "380 bar(g)"))
    text = make_rival_text(found)
    assert "stalls" in text and "nothing can be compared" in " ".join(text.split())
    assert max(map(len, text.split("\n"))) <= 80


@pytest.mark.parametrize("units", ["SI", "inch-pound"])
@pytest.mark.parametrize("ascii_only", [False, True])
def test_the_page_is_80_columns_and_says_what_was_assumed(units: str, ascii_only: bool) -> None:
    document = replace(case().document, units=units)  # type: ignore[arg-type]
    told = replace(table(), case=replace(case(), document=document))
    text = make_rival_text(told, ascii_only=ascii_only)
    assert max(map(len, text.split("\n"))) <= 80
    if ascii_only:
        text.encode("ascii")
    for row in table().rows:
        if row.single and row.ways not in ((), ("jackets",)):
            assert f"{row.name}: " in " ".join(text.partition("ASSUMED")[2].split())
    best = rank_single(told)[0]
    assert f"best {best.name}" in " ".join(text.split())


def test_json_and_csv_hold_the_rows() -> None:
    result = json.loads(make_rival_json(table()))
    assert result["format"] == "jacketcalc-rivals-1"
    rows = {row["name"]: row for row in result["rows"]}
    row = rows["larger valve"]
    assert row["results"]["hottest_gas"] == outcome(named("larger valve")).hottest_gas
    old = rows["as it stands"]["results"]["delivered_mass_flow"]
    new = row["results"]["delivered_mass_flow"]
    assert row["change"]["delivery"] == pytest.approx(new / old - 1, rel=1e-12)
    assert result["units"]["rows[].change.gas"] == "K"
    lines = [li for li in make_rival_csv(table()).splitlines() if not li.startswith("#")]
    names, units, *sheet = list(csv.reader(io.StringIO("\n".join(lines))))
    at = names.index("change.delivery")
    assert units[at] == "%" and len(sheet) == len(table().rows)
    for line, one in zip(sheet, table().rows, strict=True):
        change = table().changes(one)
        assert change is not None and float(line[at]) == pytest.approx(100 * change.delivery)


def test_the_figure_has_a_bar_for_each_row() -> None:
    data = rivals(table())
    assert [bar.name for bar in data.bars] == [row.name for row in table().rows]
    assert data.bars[1].jackets and not data.bars[0].jackets
    assert data.bars[0].gas == pytest.approx(outcome(table().stands).hottest_gas - 273.15)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("foo", "no entry and no way"),
        ("jacket.gap=3mm:4mm:2", "2 values"),
        ("jacket.gp=3mm", "not an entry"),
        ("jackets, fan", "one another's place"),
        ("jacket.pitch=1mm", ""),
        ("", "no entry and no way"),
    ],
)
def test_rows_that_cannot_be_are_refused(text: str, said: str) -> None:
    with pytest.raises(CaseError) as error:
        parse_row(case(), text)
    (problem, *_) = error.value.problems
    assert said in problem.message and problem.file == f"--row {text}"


def test_the_command_writes_a_folder_and_refuses_all_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    goal = tmp_path / "out"
    asked = ["rivals", str(SINGLE), "-o", str(goal), "--fan-speed", "5 m/s"]
    assert main(asked) == 0
    shown = capsys.readouterr().out
    assert "at 5 m/s" in shown
    made = {file.name for file in goal.iterdir()}
    assert made == {f"rivals.{form}" for form in ("txt", "json", "csv", "png", "svg")}
    assert main(["rivals", str(SINGLE), "--cooler", "3 m", "--fan-speed", "-3 m/s",
                 "--water-temperature", "300 degC"]) == 2  # fmt: skip
    told = capsys.readouterr().err
    assert "--cooler 3 m" in told and "--fan-speed -3 m/s" in told and "300 degC" in told
    assert main(["rivals", str(SINGLE), "--row", "foo", "--row", "jacket.gp=1mm"]) == 2
    told = capsys.readouterr().err
    assert "foo" in told and "jacket.gp" in told
