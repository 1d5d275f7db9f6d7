"""`assess` from the command line: whole results or none, in the right place."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import time
from pathlib import Path
from typing import NamedTuple

import pytest
from command_line import CASE, command, environment, laboratory, run, whole_laboratory

from jacketcalc.cli import output
from jacketcalc.cli.main import main
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import make_json


class Assessed(NamedTuple):
    """One real run of `assess`."""

    file: Path
    done: subprocess.CompletedProcess[bytes]
    seconds: float


@pytest.fixture(scope="module")
def assessed(tmp_path_factory: pytest.TempPathFactory) -> Assessed:
    folder = tmp_path_factory.mktemp("assessed")
    begin = time.monotonic()
    done = run("assess", str(CASE), "-o", "result.json", cwd=folder)
    return Assessed(folder / "result.json", done, time.monotonic() - begin)


def test_assess_writes_what_the_api_computes(assessed: Assessed) -> None:
    assert assessed.done.returncode == 0 and not assessed.done.stdout
    assert assessed.done.stderr == b"wrote result.json\n"
    assert [p.name for p in assessed.file.parent.iterdir()] == ["result.json"]
    assert assessed.file.stat().st_mode & 0o777 == 0o666 & ~_umask()
    assert assessed.file.read_text() == make_json(whole_laboratory())


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def test_assess_reads_standard_input_and_prints_text(tmp_path: Path) -> None:
    done = run("assess", "-", cwd=tmp_path, stdin=CASE.read_bytes())
    assert done.returncode == 0 and not done.stderr
    shown, mine = done.stdout.decode().split("\n"), make_text(laboratory()).split("\n")
    same = [a == b for a, b in zip(shown, mine, strict=True)]
    assert len(shown) == len(mine) and (False not in same or same.index(False) > 20)
    assert "\x1b" not in done.stdout.decode()


def test_killed_at_any_moment_only_whole_files_stay(tmp_path: Path, assessed: Assessed) -> None:
    whole = assessed.file.read_bytes()
    draw = random.Random(7)
    for number in range(3):
        run_ = subprocess.Popen(
            command("assess", str(CASE), "-o", f"{number}.json"),
            cwd=tmp_path,
            stderr=subprocess.DEVNULL,
            env=environment(),
        )
        time.sleep(draw.uniform(0.1, 1.0) * assessed.seconds)
        run_.kill()
        run_.wait()
        for file in tmp_path.glob("*.json"):
            assert file.read_bytes() == whole


def test_interrupted_answers_at_once_and_writes_nothing(tmp_path: Path, assessed: Assessed) -> None:
    run_ = subprocess.Popen(
        command("assess", str(CASE), "-o", "r.json"),
        cwd=tmp_path,
        stderr=subprocess.PIPE,
        env=environment(),
        # Tests started in the background may inherit that interrupts are ignored.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    time.sleep(0.4 * assessed.seconds)
    run_.send_signal(signal.SIGINT)
    _, said = run_.communicate(timeout=10)
    assert (run_.returncode, said) == (130, b"interrupted\n")
    assert not list(tmp_path.iterdir())


def test_places_that_cannot_take_a_result_are_refused_before_computing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The case is wrong too, which nobody would hear of but by reading it."""
    monkeypatch.chdir(tmp_path)
    Path("there.json").write_text("old")
    Path("case.toml").write_text("no case")
    Path("link.toml").symlink_to("case.toml")
    for place in (".", "there.json", "no/such/r.json", "", "r" * 300, "/proc/r.json", "dir/"):
        assert main(["assess", "case.toml", "-o", place]) == 2, place
        shown = capsys.readouterr()
        assert shown.err.startswith("error: ") and shown.err.count("\n") == 1 and not shown.out
    for place in ("case.toml", "link.toml", "./case.toml"):
        assert main(["assess", "case.toml", "--force", "-o", place]) == 2
        assert "the case itself" in capsys.readouterr().err
    assert Path("there.json").read_text() == "old"
    assert Path("case.toml").read_text() == "no case"
    assert main(["assess", "case.toml", "-o", "new.json"]) == 2
    assert "nothing was computed" in capsys.readouterr().err


def test_force_replaces_and_keeps_permissions(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("r.txt").write_text("old")
    Path("r.txt").chmod(0o640)
    Path("link.txt").symlink_to("r.txt")
    assert main(["assess", str(CASE), "--force", "-o", "link.txt"]) == 0
    assert Path("link.txt").is_symlink()
    assert Path("r.txt").read_text() == make_text(whole_laboratory(), full=True)
    assert Path("r.txt").stat().st_mode & 0o777 == 0o640
    assert main(["assess", str(CASE), "-o", "/dev/null"]) == 0
    assert Path("/dev/null").is_char_device()


def test_json_is_all_there_is_on_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    for more in ([], ["-o", "-"]):
        assert main(["assess", str(CASE), "--json", *more]) == 0
        shown = capsys.readouterr()
        assert shown.out == make_json(whole_laboratory()) and not shown.err


def test_a_file_that_appears_meanwhile_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    target = output.check_target("r.txt")
    Path("r.txt").write_text("theirs")
    with pytest.raises(output.CommandError, match="exists"):
        target.write("mine")
    assert [p.read_text() for p in tmp_path.iterdir()] == ["theirs"]


def test_a_write_that_fails_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    target = output.check_target(str(tmp_path / "r.txt"))
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(output.CommandError, match="no space left"):
        target.write("mine")
    assert not list(tmp_path.iterdir())
