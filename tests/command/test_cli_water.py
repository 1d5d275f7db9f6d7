"""`jacketcalc water`: the table of the path, the answers below it, files, and what it refuses."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from broken import FULL
from case_problems import find_problems
from command_line import ROOT
from CoolProp.CoolProp import HAPropsSI

from jacketcalc.cli.main import main

TIGHT = ROOT / "cases" / "tight_jacket.toml"
DEW_POINT = 'pressure_dew_point = "3 degC" # refrigeration dryer, ISO 8573-1 class 4\n'


def changed(folder: Path, line: str) -> str:
    """Write the tight case with another line for its dew point, and return the file's name."""
    text = TIGHT.read_text("utf-8")
    assert text.count(DEW_POINT) == 1
    file = folder / "case.toml"
    file.write_text(text.replace(DEW_POINT, line), "utf-8")
    return str(file)


def printed(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(["water", *arguments]) == 0
    return capsys.readouterr().out


def test_every_place_has_its_row_and_both_answers_stand_below(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = printed(capsys, str(TIGHT))
    assert max(map(len, text.split("\n"))) <= 80
    for word in ("drive chamber 1", "valve, port 2", "outlet of stage", "line to stage",
                 "receiver", "frost-free passage", "dry stages", "Water enters at"):  # fmt: skip
        assert word in re.sub(r"\s+", " ", text)
    assert "ASSUMED" not in text


def test_numbers_of_the_screen_are_those_of_the_json(capsys: pytest.CaptureFixture[str]) -> None:
    """1 h = 3600 s and 0 degC = 273.15 K by definition."""
    text, found = printed(capsys, str(TIGHT)), json.loads(printed(capsys, str(TIGHT), "--json"))
    assert found["format"] == "jacketcalc-water-1" and not found["supply"]["assumed"]
    assert f"{3.6e6 * found['with_jackets']['entering']:.3g} g/h" in text
    stages = next(n for n in found["with_jackets"]["needed"] if n["key"] == "stages")
    row = next(line for line in text.split("\n") if line.strip().startswith("dry stages"))
    shown = float(re.findall(r"-?\d+\.\d", row)[0])
    assert 0.0 <= stages["dew_point"] - 273.15 - shown < 0.1
    assert found["units"]["with_jackets.places[].most"] == "kg/s"
    assert found["units"]["with_jackets.needed[].dew_point"] == "K"


@pytest.mark.parametrize("line", ["", "humidity_class = 2\n", 'relative_humidity = "40 %"\n'])
def test_humidity_is_told_as_the_case_states_it(
    line: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without any of the three it is assumed, and said so; class 2 is -40 degC (ISO 8573-1)."""
    file = changed(tmp_path, line)
    found = json.loads(printed(capsys, file, "--json"))
    assert found["supply"]["assumed"] == (line == "")
    assert ("Dew point ASSUMED." in printed(capsys, file)) == (line == "")
    if "class" in line:
        assert found["supply"]["dew_point"] == pytest.approx(233.15)
    if "relative" in line:
        # Ambient air of the case: 21 degC and 1.01325 bar, compressed to 8 bar(g).
        water = HAPropsSI("W", "T", 294.15, "P", 101325.0, "R", 0.4)
        dew_point = HAPropsSI("D", "T", 400.0, "P", 901325.0, "W", water)
        assert found["supply"]["dew_point"] == pytest.approx(min(dew_point, 294.15), abs=0.05)


def test_a_dew_point_nobody_stated_is_told_on_the_line_of_water(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = changed(tmp_path, "")
    needed = {n["key"]: n for n in
              json.loads(printed(capsys, file, "--json"))["with_jackets"]["needed"]}  # fmt: skip
    assert main(["assess", file]) == 0
    screen = re.sub(r"\s+", " ", capsys.readouterr().out)
    assert "WATER Dew point ASSUMED: " in screen
    passage, stages = (needed[key]["dew_point"] - 273.15 for key in ("passage", "stages"))
    assert f"frost-free passage up to {passage // 1:.0f} °C" in screen
    assert f"dry stages up to {stages // 1:.0f} °C" in screen


def test_hours_grow_with_the_share_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    first, second = (
        next(p["time_to_block"] for p in
             json.loads(printed(capsys, str(TIGHT), "--json", "--blocked", share))
             ["with_jackets"]["places"] if p["part"] == "passage wall" and p["wet"])
        for share in ("10 %", "40 %")
    )  # fmt: skip
    assert second == pytest.approx(4.0 * first)


def test_a_folder_takes_text_json_and_pictures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "water"
    printed(capsys, str(TIGHT), "-o", str(folder))
    names = {f.name for f in folder.iterdir()}
    assert names == {"water.txt", "water.json", "water-margins.png", "water-margins.svg"}
    assert main(["water", str(TIGHT), "-o", str(folder)]) == 2
    assert "--force" in capsys.readouterr().err


@pytest.mark.parametrize("share", ["0 %", "120 %", "wide", "3 mm", ""])
def test_a_share_that_is_none_is_refused(share: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["water", str(TIGHT), "--blocked", share]) == 2
    shown = capsys.readouterr()
    assert "--blocked" in shown.err and not shown.out and "Traceback" not in shown.err


@pytest.mark.parametrize(
    ("lines", "names"),
    [
        ('humidity_class = 2', ["humidity-twice"]),
        ('relative_humidity = "60 %"\nhumidity_class = 2', ["humidity-twice"] * 2),
        ('intake_pressure = "1 bar(a)"\naftercooler_temperature = "35 degC"',
         ["humidity-idle"] * 2),
    ],
)  # fmt: skip
def test_humidity_told_twice_or_idly_is_refused_with_all_of_it(
    lines: str, names: list[str]
) -> None:
    text = FULL.replace("[supply]", f"[supply]\n{lines}", 1)
    assert [p.name for p in find_problems(text)] == names


@pytest.mark.parametrize(
    "line",
    ["humidity_class = 0", "humidity_class = 7", 'humidity_class = "two"',
     'relative_humidity = "140 %"'],
)  # fmt: skip
def test_a_humidity_out_of_range_is_refused(line: str) -> None:
    text = re.sub(r"(?m)^pressure_dew_point = .*$", line, FULL, count=1)
    assert find_problems(text)
