"""The folder of a study: a user's files are kept, two commands do not meet."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from asked_folder import OVER, forms, use
from study_sample import CASES

from jacketcalc.cli.lock import take_lock
from jacketcalc.cli.main import main
from jacketcalc.cli.output import CommandError


@pytest.fixture(autouse=True)
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in an empty folder with one case."""
    monkeypatch.chdir(tmp_path)
    shutil.copy(CASES / "single.toml", "case.toml")
    return tmp_path


@pytest.mark.parametrize("command", [OVER[:-1], ["report"]])
def test_the_case_itself_is_never_replaced(
    command: list[str], empty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name = "vary.csv" if command[0] == "vary" else "x.html"
    os.mkdir("f")
    shutil.copy("case.toml", f"f/{name}")
    before = (empty / "f" / name).read_bytes()
    rest = ["-o", "f", "--force"]
    given = [f"f/{name}" if word == "case.toml" else word for word in command if word != "-o"]
    if command[0] == "report":
        given += [f"f/{name}", "--format", "html"]
    assert main([*given, *rest]) == 2
    assert "is the case itself" in capsys.readouterr().err
    assert (empty / "f" / name).read_bytes() == before
    os.link(f"f/{name}", "other.toml")
    given = ["other.toml" if word == f"f/{name}" else word for word in given]
    if command[0] == "vary":
        assert main([*given, *rest]) == 2
        assert (empty / "f" / name).read_bytes() == before


def test_what_others_keep_in_unfinished_stays(empty: Path) -> None:
    """A user's own files, and the batches that another command or another case has kept."""
    mine = empty / "out" / "unfinished" / "mine.json"
    mine.parent.mkdir(parents=True)
    mine.write_text('{"mine": 1}')
    batch = f"{'0' * 32}.json"
    with pytest.raises(KeyboardInterrupt), use(asked="another") as other:
        (Path(other.checkpoint) / batch).write_text("{}")
        raise KeyboardInterrupt
    with use() as ours:
        kept = Path(ours.checkpoint)
        (kept / batch).write_text("{}")
        (kept / "note.json").write_text("of the user's")
        ours.write(forms(".txt"))
    assert mine.read_text() == '{"mine": 1}'
    assert (Path(other.checkpoint) / batch).exists()
    assert [file.name for file in kept.iterdir()] == ["note.json"]


def test_only_its_own_unchanged_results_are_replaced(empty: Path) -> None:
    with pytest.raises(KeyboardInterrupt), use() as stopped:
        stopped.write_file("vary.txt", b"one")
        stopped.write_file("vary.csv", b"two")
        raise KeyboardInterrupt
    with pytest.raises(CommandError, match=r"holds vary\.txt, vary\.csv"), use(asked="another"):
        pass
    (empty / "out" / "vary.csv").write_bytes(b"changed by its owner")
    with pytest.raises(CommandError, match=r"holds vary\.csv;"), use():
        pass
    assert (empty / "out" / "vary.csv").read_bytes() == b"changed by its owner"
    with use(force=True) as forced:
        forced.write(forms(".txt", ".csv"))


def test_two_runs_into_one_folder(empty: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with use(asked="first") as first:
        assert main(OVER) == 0
        shown = capsys.readouterr()
        assert shown.err.startswith('another run is writing vary into "out"')
        assert "7 mm" in shown.out
        first.write(forms(".txt"))
    assert [file.name for file in (empty / "out").iterdir()] == ["vary.txt"]


def test_a_lock_is_free_again_after_its_run(empty: Path) -> None:
    file = empty / "lock"
    first = take_lock(file)
    assert first is not None and take_lock(file) is None
    first.release()
    second = take_lock(file)
    assert second is not None
    second.release()
    assert not file.exists()
