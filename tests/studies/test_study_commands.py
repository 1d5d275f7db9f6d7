"""`pitch`, `vary` and `optimise` from the command line, in an empty folder."""

from __future__ import annotations

import hashlib
import json
import shutil
import signal
import subprocess
import time
import zipfile
from pathlib import Path

import pytest
from command_line import command, environment
from study_sample import CASES

from jacketcalc.cli.main import main

PATIENCE = 60.0
"""Time after which a process is taken to hang [s]."""
ENDINGS = ["csv", "json", "nc", "txt", "xlsx"]


@pytest.fixture(autouse=True)
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in an empty folder with one case."""
    monkeypatch.chdir(tmp_path)
    shutil.copy(CASES / "single.toml", "case.toml")
    return tmp_path


def test_pitch_prints_and_writes(empty: Path, capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["pitch", "case.toml", "--from", "2mm", "--to", "26mm", "--count", "3", "-o", "out"]
    assert main(asked) == 0
    out = capsys.readouterr().out
    assert "most mass per hour" in out and "impossible" in out
    assert max(map(len, out.splitlines())) <= 80
    names = [f"pitch.{ending}" for ending in ENDINGS]
    assert [n for n in sorted(f.name for f in (empty / "out").iterdir()) if n in names] == names
    assert (empty / "out" / "pitch.txt").read_text(encoding="utf-8").split() == out.split()
    before = (empty / "out" / "pitch.csv").read_bytes()
    assert main(asked) == 2
    assert "were left as they are" in capsys.readouterr().err
    assert (empty / "out" / "pitch.csv").read_bytes() == before


def test_vary_makes_a_map_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    over = ["--over", "stage.main.jacket.pitch=20mm,30mm", "--over", "jacket.starts=1:2"]
    assert main(["vary", "case.toml", *over, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [axis["path"] for axis in found["axes"]] == ["stage.main.jacket.pitch", "jacket.starts"]
    assert [row["state"] for row in found["rows"]] == ["solved"] * 4
    assert found["members"] == ["nominal"]


def test_optimise_keeps_its_limits_and_quotes_one_case(
    empty: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = ["optimise", "case.toml", "--pitch", "16mm:32mm:2mm", "--gap", "8mm", "--starts", "1",
             "--population", "5", "--generations", "1", "--back-pressure-limit", "1.5 bar",
             "--ignore-limit", "condensation", "-o", "found"]  # fmt: skip
    assert main(asked) == 0
    out = capsys.readouterr().out
    said = " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 80
    assert "within 1 % of the best, with jacket.gap 8 mm, jacket.starts 1" in said
    assert "Every design solved breaks this limit: discharge above 150 °C (the nearest by" in said
    assert "Ignored, as asked: condensation." in said
    found = json.loads((empty / "found" / "optimise.json").read_text(encoding="utf-8"))
    assert found["format"] == "jacketcalc-optimum-2"
    assert found["limits_set_aside"] == ["discharge"] == found["best"]["breaks"]
    flows = [m["delivered_mass_flow"] for m in (found["best"]["numbers"], found["no_jackets"])]
    gain = 100 * (flows[0] / flows[1] - 1)
    blocks = out.split("\n\n")
    assert f"It delivers {gain:.1f} % more than the machine without jackets" in " ".join(
        blocks[1].split()
    )
    assert found["best"]["numbers"]["back_pressure_peak.main"] <= 1.5e5
    assert found["best"]["texts"][0] in [f"{pitch} mm" for pitch in range(16, 33, 2)]
    flows = [t["numbers"]["delivered_mass_flow"] for t in found["front"]]
    heats = [t["numbers"]["hottest_discharge"] for t in found["front"]]
    assert flows == sorted(flows, reverse=True) and heats == sorted(heats, reverse=True)
    assert not (empty / "found" / "unfinished").exists()
    best = (empty / "found" / "optimise-best.toml").read_bytes()
    digest = hashlib.sha256(best).hexdigest()
    assert "optimise-best.toml" in said and digest in said
    for file in (empty / "found").iterdir():
        if file.suffix in (".json", ".nc") or file.name == "optimise.txt":
            assert digest.encode() in file.read_bytes(), file.name
        elif file.suffix == ".xlsx":
            with zipfile.ZipFile(file) as book:
                assert digest.encode() in book.read("xl/sharedStrings.xml"), file.name
    assert main(["check", "found/optimise-best.toml"]) == 0


def test_limits_are_counted_and_figures_are_never_replaced(
    empty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    over = ["--over", "jacket.pitch=2mm,20mm,30mm", "--over", "jacket.gap=4mm,8mm"]
    asked = ["vary", "case.toml", *over, "--back-pressure-limit", "1 bar", "-o", "out"]
    assert main(asked) == 0
    out = " ".join(capsys.readouterr().out.split())
    found = json.loads((empty / "out" / "vary.json").read_text(encoding="utf-8"))
    peaks = [r["members"][0]["back_pressure_peak.main"] if r["members"] else None
             for r in found["rows"]]  # fmt: skip
    limit = next(limit for limit in found["limits"] if limit["name"] == "back-pressure")
    broken = [i for i, peak in enumerate(peaks) if peak is not None and peak > 1e5]
    assert limit["broken_by_rows"] == broken
    assert f"{len(broken)} of 4 back-pressure peak above 1 bar" in out
    for file in (empty / "out").iterdir():
        if file.name != "vary-map.svg":
            file.unlink()
    assert main(asked) == 2
    assert "holds vary-map.svg" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["pitch", "case.toml", "--stage", "nowhere"], 'there is no stage "nowhere"'),
        (["pitch", "case.toml", "--from", "8mm", "--to", "8 mm"], "begins and ends"),
        (["pitch", "case.toml", "--count", "1"], "not in the range"),
        (["pitch", "case.toml", "--frost-margin", "5 degC"], "--frost-margin 5 degC"),
        (["pitch", "case.toml", "--from", "8"], "unit-missing"),
        (["vary", "case.toml", "--over", "jacket.pitch"], "study-range"),
        (["vary", "case.toml", *["--over", "jacket.pitch=1mm"] * 3], "two at most"),
        (["optimise", "case.toml", "--discharge-limit", "150"], "unit-missing"),
        (["optimise", "case.toml", "--gap", "a:b"], "--gap a:b"),
        (["optimise", "case.toml", "--gap", "2mm:9mm:1:1"], "two ends, and a step"),
        (["optimise", "case.toml", "--ignore-limit", "heat"], 'does not know "heat"'),
    ],
)
def test_wrong_arguments_are_named(
    empty: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], words: str
) -> None:
    assert main(arguments) == 2
    said = capsys.readouterr()
    assert words in said.err and said.out == ""
    assert [file.name for file in empty.iterdir()] == ["case.toml"]


def test_an_interrupt_keeps_what_is_done(empty: Path) -> None:
    """Interrupted as by Ctrl-C once a batch is kept, of seven."""
    asked = ["vary", "case.toml", "--over", "jacket.gap=5mm:8mm:100", "--no-range", "-o", "out"]
    kept, end = empty / "out" / "unfinished", time.monotonic() + PATIENCE
    with subprocess.Popen(
        command(*asked, "--threads", "1"), cwd=empty, env=environment(),
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        # A shell that starts the tests in the background lets them ignore interrupts.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    ) as child:  # fmt: skip
        while not list(kept.rglob("*.json")) and child.poll() is None:
            assert time.monotonic() < end
            time.sleep(0.01)
        child.send_signal(signal.SIGINT)
        out, said = child.communicate(timeout=PATIENCE)
    assert (child.returncode, out) == (130, "")
    assert "goes on from them" in said
    assert 1 <= len(list(kept.rglob("*.json"))) < 7
    assert main(asked) == 0
    assert not kept.exists()


def test_tubes_starts_and_ribs_stand_beside_pitches(
    empty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    common = ["--from", "20mm", "--to", "28mm", "--count", "2", "--quick", "--json"]
    for option, listed, path in (("--tube", "8mm,12mm", "tube.bore"), ("--starts", "1,2",
                                 "jacket.starts"), ("--rib", "2mm,3mm", "jacket.rib")):  # fmt: skip
        assert main(["pitch", "case.toml", *common, option, listed]) == 0
        told = json.loads(capsys.readouterr().out)
        assert [axis["path"] for axis in told["axes"]] == ["jacket.pitch", path]
        assert len(told["rows"]) == 4
    assert main(["vary", "case.toml", "--tube", "8mm,12mm", "--quick", "--json"]) == 0
    (axis,) = json.loads(capsys.readouterr().out)["axes"]
    assert axis["path"] == "tube.bore"


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (
            ["pitch", "case.toml", "--tube", "8mm", "--rib", "2mm"],
            "--tube and --rib are both",
        ),
        (["vary", "case.toml"], "nothing is varied"),
        (["vary", "case.toml", "--tube", "8mm", "--quick", "--range"], "--quick and --range"),
        (["optimise", "case.toml", "--tube", "8mm,9qx"], "--tube 8mm,9qx"),
    ],
)
def test_what_cannot_stand_together_is_refused(
    empty: Path, capsys: pytest.CaptureFixture[str], asked: list[str], said: str
) -> None:
    assert main(asked) == 2
    assert said in capsys.readouterr().err
