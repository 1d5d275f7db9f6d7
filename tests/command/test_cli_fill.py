"""`jacketcalc fill` as a user meets it: text, JSON, a folder, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from command_line import CASE

from jacketcalc.cli.main import main

PRESSURE = 'pressure = "190 bar(g)"'


@pytest.fixture
def case(tmp_path: Path) -> Path:
    """The shipped case with a receiver of 0.2 L."""
    text = CASE.read_text()
    assert PRESSURE in text
    path = tmp_path / "own.toml"
    path.write_text(text.replace(PRESSURE, PRESSURE + '\nvolume = "0.2 L"'))
    return path


def test_both_machines_stand_side_by_side(
    case: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "out"
    assert main(["fill", str(case), "--to", "60 bar(g)", "--json", "-o", str(folder)]) == 0
    found = json.loads(capsys.readouterr().out)
    assert json.loads((folder / "fill.json").read_text()) == found
    shown = (folder / "fill.txt").read_text()
    assert max(map(len, shown.splitlines())) <= 80
    for word in ("FILL", "strokes", "drive air (ANR)", "settles to", "hottest seal", "can kill"):
        assert word in shown
    assert found["target"] == pytest.approx(60e5 + 101300.0)
    for name in ("no_jackets", "with_jackets"):
        fill = found[name]
        assert fill["ended"] == "target"
        assert fill["pressure"] == pytest.approx(found["target"], rel=2e-6)
        assert abs(fill["mass_closure"]) < 1e-6 and abs(fill["energy_closure"]) < 1e-6
        assert fill["strokes"] == pytest.approx(2 * fill["cycles"])
        assert len(fill["course"]["time"]) == len(fill["course"]["seal"]) == fill["steps"] + 1
        # ANR, ISO 8778: 1.185 kg/m3.
        assert fill["drive_air_volume"] == pytest.approx(fill["drive_air"] / 1.185)
    assert 0.0 <= found["helped"] <= 1.0
    assert found["units"]["with_jackets.rest_pressure"] == "Pa"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--to", "60 bar"], "(g)"),
        (["--to", "-1 bar(g)"], "--to"),
        (["--to", "0 bar(g)"], "higher pressure"),
        (["--to", "500 bar(g)"], "--to"),
    ],
)
def test_a_wrong_target_is_refused(
    case: Path, arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["fill", str(case), *arguments]) == 2
    assert words in capsys.readouterr().err


def test_a_case_without_a_volume_is_refused_with_its_cure(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["fill", str(CASE)]) == 2
    shown = capsys.readouterr().err
    assert "[receiver-volume-missing]" in shown and 'volume = "50 L"' in shown


def test_a_receiver_that_is_full_is_refused(case: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = case.read_text().replace(PRESSURE, PRESSURE + '\nfrom = "200 bar(g)"')
    case.write_text(text)
    assert main(["fill", str(case)]) == 2
    assert "[receiver-full]" in capsys.readouterr().err
