"""A case names its gas and its source; what cannot be meant is refused with the cure."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from case_problems import find_problems
from command_line import run
from places import CASES

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.casefile.template import make_template
from jacketcalc.inputs import Gas, Source

HOT = (CASES / "hot.toml").read_text("utf-8")


def of(gas: str, pressure: str = "6.5 bar(g)", receiver: str = "", draws: str = "source") -> str:
    """The hot machine with another gas."""
    text = HOT.replace('draws_from = "supply"', f'draws_from = "{draws}"')
    tables = f'[gas]\nname = "{gas}"\nsource = "invented"\n\n'
    tables += f'[source]\npressure = "{pressure}"\ntemperature = "18 degC"\nsource = "invented"\n\n'
    text = text.replace("[valve]", tables + "[valve]", 1)
    if receiver:
        head, tail = text.split("[receiver]")
        quoted = tail.split('"', 2)
        text = f'{head}[receiver]{quoted[0]}"{receiver}"{quoted[2]}'
    return text


def problems(text: str) -> dict[str, str]:
    """Message and cure of every problem by its kind."""
    return {p.name: f"{p.message} | {p.label} | {p.why} | {p.fix}" for p in find_problems(text)}


def test_gas_and_source_reach_the_machine() -> None:
    machine = read_case_text(of("helium", "9 bar(a)")).machine
    assert machine.gas == Gas(name="helium")
    assert machine.source == Source(pressure=9e5, temperature=pytest.approx(291.15))
    assert machine.feed(machine.stages[1]) is machine.source
    plain = read_case_text(HOT).machine
    assert plain.gas == Gas() and plain.source is None
    assert plain.feed(plain.stages[0]) is plain.supply


def test_the_templates_own_lines_make_a_sound_case() -> None:
    lines = make_template().split("\n")
    start = lines.index("# [gas]")
    end = next(i for i in range(start, len(lines)) if not lines[i].startswith("# "))
    lines[start:end] = [line.removeprefix("# ") for line in lines[start:end]]
    text = "\n".join(lines).replace('draws_from = "supply"', 'draws_from = "source"')
    machine = read_case_text(text).machine
    assert machine.gas.name == "nitrogen" and machine.source is not None
    for name in ("air", "argon", "helium", "methane"):
        assert read_case_text(text.replace('"nitrogen"', f'"{name}"')).machine.gas.name == name


@pytest.mark.parametrize("word", ["oxygen", "O2", "Oxygen", "nitrox"])
def test_oxygen_is_refused_with_the_reason(word: str) -> None:
    told = problems(of(word))
    assert "ignite" in told["gas-oxygen"] and "no entry makes it safe" in told["gas-oxygen"]


@pytest.mark.parametrize(
    ("word", "meant"),
    [("natural gas", "methane"), ("N2", "nitrogen"), ("Argon", "argon"), ("CO2", "carbon dioxide"),
     ("nitrogne", "nitrogen")],
)  # fmt: skip
def test_another_word_for_a_gas_is_told_the_right_one(word: str, meant: str) -> None:
    assert f'name = "{meant}"' in problems(of(word))["word-unknown"]


def test_another_gas_does_not_come_from_the_supply() -> None:
    told = problems(of("nitrogen", draws="supply"))
    assert 'draws_from = "source"' in told["gas-supply"]
    assert "feeds nothing" in told["gas-source-unused"]


def test_a_source_must_be_stated_and_used() -> None:
    text = HOT.replace('draws_from = "supply"', 'draws_from = "source"')
    assert "[source] with pressure" in problems(text)["gas-source"]
    assert problems(of("air", draws="supply")).keys() == {"gas-source-unused"}


def test_the_receiver_stands_above_the_source_and_not_always_above_the_supply() -> None:
    assert (
        "a receiver above" in problems(of("argon", "9 bar(a)", "8 bar(a)"))["receiver-below-source"]
    )
    told = problems(of("argon", "2 bar(a)", "6 bar(a)"))
    assert "receiver-below-supply" not in told and "receiver-below-source" not in told


def test_carbon_dioxide_stays_gas() -> None:
    """It condenses at 57.3 bar at 20 degC and at 34.9 bar at 0 degC (Span and Wagner 1996; from
    memory)."""
    told = problems(of("carbon dioxide", "2.5 bar(a)", "40 bar(a)"))
    assert "30 bar(a) or less" in told["gas-liquid"]
    assert "two phases are not modelled" in told["gas-liquid"]
    cold = of("carbon dioxide", "2.5 bar(a)", "28 bar(a)").replace('"18 degC"', '"-10 degC"')
    assert "0 degC or more" in problems(cold)["gas-liquid"]
    assert problems(of("carbon dioxide", "2.5 bar(a)", "28 bar(a)")) == {}


@pytest.fixture(scope="module")
def methane(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("methane")
    (folder / "methane.toml").write_text(of("methane"), encoding="utf-8")
    return folder


def test_the_screen_names_gas_and_source_and_the_hazard(methane: Path) -> None:
    done = run("assess", "methane.toml", cwd=methane)
    said = " ".join(done.stdout.decode().split())
    assert done.returncode == 0
    assert "GAS Methane from a source at" in said and "the drive runs on air" in said
    assert "It burns: rules for hazardous areas apply." in said
    assert "stages not judged: gas of a source is taken dry" in said
    full = " ".join(run("assess", "methane.toml", "--full", cwd=methane).stdout.decode().split())
    assert "such a machine under licensed practice" in full
    assert "jet-stirred suction with a refrigerant" in full
    assert "A litre (ANR) of methane is its own" in full


def test_the_json_tells_the_gas_and_its_own_litres(methane: Path) -> None:
    told = json.loads(run("assess", "methane.toml", "--json", cwd=methane).stdout)
    found = told["detail"]["with_jackets"]
    assert found["stage_gas"]["name"] == "methane"
    assert found["water"]["stages"] == [None, None]
    machine = told["with_jackets"]
    litre = machine["delivered_mass_flow"] / machine["delivered_volume_flow"]
    # Methane at 20 degC and 1 bar: 16.043 / 22.414 x 273.15/293.15 x 1/1.01325, with 0.2 % for Z.
    assert litre == pytest.approx(16.043 / 22.414 * 273.15 / 293.15 / 1.01325 * 1.002, rel=1e-3)


def test_water_is_followed_in_the_drives_air_alone(methane: Path) -> None:
    done = run("water", "methane.toml", cwd=methane)
    said = " ".join(done.stdout.decode().split())
    assert done.returncode == 0
    assert "The stages draw methane from a source, which is taken dry" in said
    assert "of stage first" not in said.replace("jacket of stage first", "").replace(
        "outlet of stage first", ""
    )
    assert "receiver" not in said.partition("POINT")[2].partition("needed:")[0]


def test_a_study_varies_gas_and_source(methane: Path) -> None:
    over = ("--over", "gas.name=nitrogen,carbon dioxide", "--quick")
    said = run("vary", "methane.toml", *over, cwd=methane).stdout.decode()
    assert "nitrogen" in said and "impossible" in said
