"""`draw`: files of pictures, of the case alone without anything solved, never over other files."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from command_line import CASE

from jacketcalc.cli.main import main

HOT = (Path(__file__).parents[1] / "machines" / "hot.toml").read_text("utf-8")
STALLED = re.sub(r'pressure = "300 bar\(g\)"', 'pressure = "390 bar(g)"', HOT)


@pytest.fixture
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def unsolvable(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let whatever solves a machine fail."""

    def fail(*_: object, **__: object) -> None:
        raise AssertionError("a machine was solved")

    monkeypatch.setattr("jacketcalc.core.run.solve", fail)
    monkeypatch.setattr("jacketcalc.assessment.solve_pair.run", fail)


def names(folder: Path) -> list[str]:
    return sorted(file.name for file in folder.iterdir())


def test_layout_and_sections_come_without_solving(empty: Path, unsolvable: None) -> None:
    Path("stalled.toml").write_text(STALLED, "utf-8")
    assert main(["draw", "stalled.toml", "-o", "p"]) == 0
    parts = ["layout", "section-first", "section-second"]
    assert names(empty / "p") == [f"stalled-{part}.svg" for part in parts]
    for file in (empty / "p").iterdir():
        text = file.read_text("utf-8")
        assert text.startswith("<?xml") and "air can kill" in text


def test_every_picture_in_every_format(empty: Path) -> None:
    every = "layout,p-V,T-s,pressure,exhaust,profile,section"
    assert main(["draw", str(CASE), "--what", every, "--format", "png,pdf,svg", "-o", "p"]) == 0
    wanted = ["T-s", "exhaust", "layout", "p-V", "pressure", "profile", "profile-first",
              "profile-second", "section-first", "section-second"]  # fmt: skip
    assert names(empty / "p") == sorted(
        f"{CASE.stem}-{name}.{form}" for name in wanted for form in ("pdf", "png", "svg")
    )
    begins = {".png": b"\x89PNG", ".pdf": b"%PDF", ".svg": b"<?xml"}
    for file in (empty / "p").iterdir():
        assert file.read_bytes().startswith(begins[file.suffix])


def test_files_are_not_replaced_unless_told(
    empty: Path, unsolvable: None, capsys: pytest.CaptureFixture[str]
) -> None:
    kept = empty / f"{CASE.stem}-section-first.svg"
    kept.write_text("mine", "utf-8")
    assert main(["draw", str(CASE)]) == 2
    assert "exists; it was left as it is" in capsys.readouterr().err
    assert names(empty) == [kept.name] and kept.read_text("utf-8") == "mine"
    assert main(["draw", str(CASE), "--force"]) == 0
    assert kept.read_text("utf-8").startswith("<?xml") and len(names(empty)) == 3


def test_what_cannot_be_drawn_is_said_and_nothing_written(
    empty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("stalled.toml").write_text(STALLED, "utf-8")
    for words, said in (
        (["stalled.toml", "--what", "layout,p-V"], "stalls and has no cycle to draw as p-V"),
        ([str(CASE), "--what", "layuot"], 'does not know "layuot"; it takes layout, section'),
        ([str(CASE), "--what", ","], "--what names nothing"),
        ([str(CASE), "--format", "gif"], '--format does not know "gif"'),
        (["missing.toml"], "missing.toml"),
    ):
        assert main(["draw", *words, "-o", "p"]) == 2
        assert said in " ".join(capsys.readouterr().err.split())
    assert names(empty) == ["stalled.toml"]


def test_a_machine_without_jackets_is_drawn_as_it_is(empty: Path) -> None:
    text = re.sub(r"(?s)\[stage\.jacket\].*?(?=\n\[)", "", HOT)
    text = re.sub(r"(?m)^to = .*", 'to = "atmosphere"', text)
    Path("bare.toml").write_text(text, "utf-8")
    assert main(["draw", "bare.toml", "--what", "p-V,T-s,pressure,exhaust,profile"]) == 0
    assert len(names(empty)) == 6
    for file in empty.glob("*.svg"):
        words = file.read_text("utf-8")
        assert "machine as it is" in words and "with jackets" not in words
