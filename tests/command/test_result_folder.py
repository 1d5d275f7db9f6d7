"""`uncertainty`, `rank` and `reconcile` write a file, or a folder of text, JSON and pictures."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from uncertain_sample import BARE, READINGS

from jacketcalc.cli.main import main

FORMS = ("json", "txt")


@pytest.fixture(autouse=True)
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in an empty folder with one case."""
    monkeypatch.chdir(tmp_path)
    Path("case.toml").write_text(BARE + READINGS, "utf-8")
    return tmp_path


def _files(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir()}


def _names(stem: str, *pictures: str) -> set[str]:
    drawn = {f"{stem}-{name}.{form}" for name in pictures for form in ("png", "svg")}
    return {f"{stem}.{form}" for form in FORMS} | drawn


@pytest.mark.parametrize(
    ("asked", "pictures", "form"),
    [
        (["uncertainty", "case.toml", "--samples", "128"], ("intervals",), "uncertainty-1"),
        (["rank", "case.toml"], ("tornado",), "rank-1"),
        (
            ["rank", "case.toml", "--indices", "--samples", "128", "--totals", "2"],
            ("tornado", "indices"),
            "rank-1",
        ),
        (["reconcile", "case.toml"], ("unknowns", "residuals"), "bench-1"),
    ],
)
def test_a_folder_takes_text_json_and_pictures(
    asked: list[str],
    pictures: tuple[str, ...],
    form: str,
    empty: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    stem = asked[0]
    assert main([*asked, "-o", "out"]) == 0
    said = capsys.readouterr()
    assert _files(empty / "out") == _names(stem, *pictures)
    assert (empty / "out" / f"{stem}.txt").read_text("utf-8") == said.out
    found = json.loads((empty / "out" / f"{stem}.json").read_text("utf-8"))
    assert found["format"] == f"jacketcalc-{form}" and "air can kill" in found["caution"]
    assert (empty / "out" / f"{stem}-{pictures[0]}.png").read_bytes().startswith(b"\x89PNG")
    assert f"wrote {stem}.txt" in said.err
    # A picture that stands alone is in the way too, and what is refused is refused unsolved.
    before = (empty / "out" / f"{stem}.json").read_bytes()
    (empty / "out" / f"{stem}.txt").unlink()
    assert main([*asked, "-o", "out"]) == 2
    assert "were left as they are" in capsys.readouterr().err
    assert (empty / "out" / f"{stem}.json").read_bytes() == before


def test_force_replaces_and_bytes_repeat(empty: Path) -> None:
    assert main(["rank", "case.toml", "-o", "out"]) == 0
    first = {name: (empty / "out" / name).read_bytes() for name in _files(empty / "out")}
    assert main(["rank", "case.toml", "-o", "out", "--force", "--threads", "1"]) == 0
    assert {name: (empty / "out" / name).read_bytes() for name in first} == first


def test_a_name_with_a_known_ending_is_one_file(
    empty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["rank", "case.toml", "-o", "found.JSON"]) == 0
    assert capsys.readouterr().out == ""
    assert json.loads((empty / "found.JSON").read_text("utf-8"))["effects"]
    assert _files(empty) == {"case.toml", "found.JSON"}
    assert main(["rank", "case.toml", "-o", "found.JSON"]) == 2
    assert "exists" in capsys.readouterr().err


def test_a_file_is_no_folder_and_the_case_is_kept(
    empty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = (empty / "case.toml").read_bytes()
    assert main(["rank", "case.toml", "-o", "case.toml", "--force"]) == 2
    assert "is a file, not a folder" in capsys.readouterr().err
    (empty / "out").mkdir()
    (empty / "out" / "rank.txt").write_bytes(before)
    assert main(["rank", "out/rank.txt", "-o", "out", "--force"]) == 2
    assert "is the case itself" in capsys.readouterr().err
    assert (empty / "case.toml").read_bytes() == before
    assert (empty / "out" / "rank.txt").read_bytes() == before


def test_an_empty_name_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rank", "case.toml", "-o", ""]) == 2
    assert "the name of the output folder is empty" in capsys.readouterr().err


@pytest.mark.parametrize("command", [["uncertainty"], ["rank", "--indices"]])
@pytest.mark.parametrize(
    ("count", "near"), [("64", "128 or 256"), ("200", "128 or 256"), ("3000", "2048 or 4096")]
)
def test_samples_that_cannot_be_drawn_evenly_are_an_error_of_usage(
    command: list[str], count: str, near: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*command, "case.toml", "--samples", count]) == 2
    said = capsys.readouterr().err
    assert f"{count} pairs cannot be drawn evenly" in said and f"such as {near}" in said
    assert "No solution was reached" not in said and "Usage:" in said
