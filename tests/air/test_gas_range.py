"""Gas that leaves the table of air is told by every command; what cannot be meant is refused.

A cold supply let out into thin air falls far below the table: 16 bar at 243 K to 0.6 bar without
heat would end at 94 K by CoolProp. The extremes are read again here from the solved arrays.
"""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest
from command_line import ROOT, run
from CoolProp.CoolProp import PropsSI

from jacketcalc import read_case
from jacketcalc.assessment.gas_range import beyond_table, say_beyond
from jacketcalc.casefile.fields import find_field
from jacketcalc.casefile.schema_machine import AMBIENT, RECEIVER
from jacketcalc.casefile.schema_stage import STAGE
from jacketcalc.core.run import run as run_machines
from jacketcalc.core.run import solve
from jacketcalc.designs import Design
from jacketcalc.gases import AIR

LOWEST_TEMPERATURE, HIGHEST_TEMPERATURE = AIR.span.lowest_temperature, AIR.span.highest_temperature
LOWEST_PRESSURE, HIGHEST_PRESSURE = AIR.span.lowest_pressure, AIR.span.highest_pressure

COLD = {
    'temperature = "22 degC"\npressure = "1.005 bar(a)"':
        'temperature = "-30 degC"\npressure = "0.6 bar(a)"',
    'pressure = "6 bar(g)"\ntemperature = "22 degC"\npressure_dew_point = "3 degC"':
        'pressure = "16 bar(a)"\ntemperature = "-30 degC"\npressure_dew_point = "-70 degC"',
}  # fmt: skip
"""The hot single stage, with a supply and surroundings as on a high mountain in winter."""
SAID = "leaves the property table's -133 °C to 1727 °C; beyond it air is taken as an ideal gas"


def cold_text() -> str:
    text = (ROOT / "tests" / "machines" / "single.toml").read_text(encoding="utf-8")
    for old, new in COLD.items():
        assert old in text
        text = text.replace(old, new)
    return text


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    where = tmp_path_factory.mktemp("cold")
    (where / "cold.toml").write_text(cold_text(), encoding="utf-8")
    return where


def out(folder: Path, *arguments: str) -> str:
    done = run(*arguments, cwd=folder)
    assert done.returncode == 0, done.stderr
    return " ".join(done.stdout.decode().split())


def test_the_extremes_are_those_of_every_instant_and_face(folder: Path) -> None:
    machine = read_case(str(folder / "cold.toml")).machine
    solution = solve(Design(machine=machine))
    outcome = run_machines([Design(machine=machine)])[0].outcome
    count = solution.numbering.count
    T, p = solution.whole["T"][:, :count], solution.whole["p"][:, :count]
    assert outcome.coldest_gas == pytest.approx(T.min())
    assert outcome.hottest_gas == pytest.approx(T.max())
    rows = solution.found["march"][0][: int(solution.found["pulses"][0]["phases"])]
    passed = rows["T"][rows["T"] > 0.0]
    assert outcome.coldest_passage == pytest.approx(passed.min())
    low = min(p.min(), rows["p"][rows["p"] > 0.0].min(), 0.6e5)
    assert outcome.lowest_pressure == pytest.approx(low)
    assert outcome.highest_pressure == pytest.approx(max(p.max(), machine.receiver_pressure))


def test_the_machine_is_as_cold_as_coolprop_lets_it_be(folder: Path) -> None:
    outcome = run_machines([Design(machine=read_case(str(folder / "cold.toml")).machine)])[0]
    s = PropsSI("S", "T", 243.15, "P", 16e5, "Air")
    least = PropsSI("T", "S", s, "P", 0.6e5, "Air")
    assert least < outcome.outcome.coldest_gas < LOWEST_TEMPERATURE


def test_assess_tells_of_either_machine(folder: Path) -> None:
    told = out(folder, "assess", "cold.toml", "--full")
    assert "gas of the machine without jackets, the machine with jackets and" in told
    assert SAID in told
    notes = json.loads(run("assess", "cold.toml", "--json", cwd=folder).stdout)["notes"]
    found = [n for n in notes if n["name"] == "range" and "property table" in n["text"]]
    assert [n["level"] for n in found] == ["warning"]


def test_studies_tell_it_in_text_json_and_files(folder: Path) -> None:
    words = ("pitch", "cold.toml", "--from", "24mm", "--to", "32mm", "--count", "2")
    told = out(folder, *words, "-o", "points")
    assert "GAS BEYOND THE PROPERTY TABLE" in told
    assert SAID in told
    study = json.loads(run(*words, "--json", cwd=folder).stdout)
    for row in (row for row in study["rows"] if row["state"] == "solved"):
        assert 80.0 < row["gas_beyond_table"]["coldest"]["value"] < LOWEST_TEMPERATURE
    assert study["drawn"]["gas_beyond_table"]["coldest"]["unit"] == "K"
    table = next((folder / "points").glob("*.csv")).read_text(encoding="utf-8")
    lines = (line for line in io.StringIO(table) if not line.startswith("#"))
    rows = list(csv.DictReader(lines))
    assert "solved" in [row["state"] for row in rows]
    assert all("property table" in row["reason"] for row in rows if row["state"] == "solved")


def test_optimise_tells_it(folder: Path) -> None:
    words = ("optimise", "cold.toml", "--pitch", "26mm:30mm", "--population", "5",
             "--generations", "1")  # fmt: skip
    told = out(folder, *words)
    for who in ("the best design", "the case as drawn", "the machine without jackets"):
        assert f"{who}: gas at" in told


def test_a_machine_inside_the_table_says_nothing() -> None:
    machine = read_case(str(ROOT / "tests" / "machines" / "single.toml")).machine
    assert beyond_table([run_machines([Design(machine=machine)])[0].outcome]) is None


def test_pressure_is_told_as_well() -> None:
    machine = read_case(str(ROOT / "tests" / "machines" / "single.toml")).machine
    outcome = run_machines([Design(machine=machine)])[0].outcome
    gas = beyond_table([replace(outcome, highest_pressure=712e5), outcome])
    assert gas is not None and gas.highest == 712e5
    said = say_beyond(gas, "SI")
    assert "712" in said and "700 bar(a)" in said and "°C" not in said


def test_what_a_case_can_ask_for_lies_inside_the_table() -> None:
    """A receiver above the table is refused: with the stiffest delivery spring it is inside."""
    receiver = find_field(RECEIVER, "pressure")
    delivery = next(t for t in STAGE.tables if t.key == "delivery")
    spring = find_field(delivery, "cracking_pressure")
    assert receiver.high + spring.high < HIGHEST_PRESSURE
    assert find_field(AMBIENT, "pressure").low > LOWEST_PRESSURE
    ambient = find_field(AMBIENT, "temperature")
    assert LOWEST_TEMPERATURE < ambient.low < ambient.high < HIGHEST_TEMPERATURE


def test_a_receiver_above_the_table_is_refused_with_the_limit(folder: Path) -> None:
    text = cold_text().replace('pressure = "40 bar(g)"', 'pressure = "705 bar(a)"')
    (folder / "high.toml").write_text(text, encoding="utf-8")
    done = run("assess", "high.toml", cwd=folder)
    assert done.returncode == 2
    assert b"is above 400 bar(a)" in done.stderr and b"fix: 400 bar(a) or less" in done.stderr
