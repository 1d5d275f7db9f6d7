"""A study that was stopped goes on: killed, disk full, spoilt batches; same bytes in the end."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from asked_folder import NAMES, OVER, forms, use
from command_line import environment
from study_sample import CASES

from jacketcalc.casefile.reading import read_case
from jacketcalc.cli import folder
from jacketcalc.cli.main import main
from jacketcalc.cli.output import CommandError
from jacketcalc.studies import checkpoint, files
from jacketcalc.studies.sweep import sweep


@pytest.fixture(autouse=True)
def empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in an empty folder with one case."""
    monkeypatch.chdir(tmp_path)
    shutil.copy(CASES / "single.toml", "case.toml")
    return tmp_path


@pytest.mark.parametrize("lost", [".txt", ".csv", "written.json"])
def test_a_command_stopped_while_it_writes_goes_on(
    lost: str, empty: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The disk is full at one file or another; the same command then needs no --force."""
    whole = forms(".txt", ".csv")
    write = files.write_bytes

    def full(path: Path, data: bytes, **more: bool) -> None:
        if path.name.endswith(lost):
            raise OSError(errno.ENOSPC, "No space left on device")
        write(path, data, **more)

    with monkeypatch.context() as patch:
        patch.setattr(folder, "write_bytes", full)
        with pytest.raises(CommandError, match="no space left") as caught, use() as stopped:
            (Path(stopped.checkpoint) / f"{'0' * 32}.json").write_text("{}")
            stopped.write(whole)
    assert "give the same command again" in caught.value.format_message()
    with use() as again:
        assert Path(again.checkpoint).is_dir()
        again.write(whole)
    assert sorted(file.name for file in (empty / "out").iterdir()) == ["vary.csv", "vary.txt"]
    with pytest.raises(CommandError, match="were left as they are"), use():
        pass


def test_a_killed_command_goes_on_to_the_same_bytes(empty: Path) -> None:
    """Killed by the system while it writes, in a process of its own."""
    script = (
        "import os, signal, sys\n"
        "from jacketcalc.cli import folder\n"
        "from jacketcalc.cli.main import main\n"
        "write = folder.write_bytes\n"
        "def killed(path, data, **more):\n"
        "    write(path, data, **more)\n"
        "    if path.name == 'vary.csv': os.kill(os.getpid(), signal.SIGKILL)\n"
        "if 'kill' in sys.argv: folder.write_bytes = killed\n"
        f"sys.exit(main({[*OVER, '--threads', '1']!r}))\n"
    )
    for words, status in ((["kill"], -signal.SIGKILL), ([], 0)):
        done = subprocess.run(
            [sys.executable, "-c", script, *words],
            env=environment(), capture_output=True, timeout=300, check=False,
        )  # fmt: skip
        assert done.returncode == status, done.stderr
        if words:
            left = {f.name: f.read_bytes() for f in (empty / "out").iterdir() if f.is_file()}
            assert sorted(left) == ["vary.csv", "vary.txt"]
    assert not (empty / "out" / "unfinished").exists()
    for name, data in left.items():
        assert (empty / "out" / name).read_bytes() == data
    assert {f.name for f in (empty / "out").iterdir()} >= set(NAMES)


def test_unfinished_files_of_dead_runs_are_swept(empty: Path) -> None:
    dead = subprocess.Popen([sys.executable, "-c", ""])
    dead.wait()
    names = {
        f".jacketcalc-{files.host_mark()}-{dead.pid}-abcdefgh": False,
        f".jacketcalc-{files.host_mark()}-{os.getpid()}-abcdefgh": True,
        f".jacketcalc-00000000-{dead.pid}-abcdefgh": True,
        ".jacketcalc-notes": True,
    }
    for name in names:
        (empty / name).write_text("x")
    files.sweep_unfinished(empty)
    assert {name: (empty / name).exists() for name in names} == names


def test_a_full_disk_while_a_batch_is_kept(
    empty: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def full(path: Path, data: bytes, **more: bool) -> None:
        raise OSError(errno.ENOSPC, "No space left on device", str(path))

    with monkeypatch.context() as patch:
        patch.setattr(checkpoint, "write_bytes", full)
        assert main(OVER) == 2
    shown = capsys.readouterr().err
    assert "no space left on device" in shown and "give the same command again" in shown
    assert [file.name for file in empty.iterdir()] == ["case.toml"]


def test_unfinished_that_is_a_file(empty: Path, capsys: pytest.CaptureFixture[str]) -> None:
    os.mkdir("out")
    (empty / "out" / "unfinished").write_text("x")
    assert main(OVER) == 2
    assert "rename the file, or name another folder" in capsys.readouterr().err
    assert (empty / "out" / "unfinished").read_text() == "x"


def spoil_nothing(kept: dict) -> object:  # type: ignore[type-arg]
    return kept


BATCHES = {
    "whole": (spoil_nothing, True),
    "a list": (lambda kept: [kept], False),
    "no results": (lambda kept: {"format": kept["format"]}, False),
    "other numbers": (lambda kept: {**kept, "results": [{"outcome": None}]}, False),
    "text": (lambda _: "text", False),
}


def test_a_kept_batch_of_other_content_is_solved_again(empty: Path) -> None:
    case = read_case("case.toml")
    found = sweep([case])
    for kind, (spoil, used) in BATCHES.items():
        sweep([case], folder=kind)
        file = next((empty / kind).iterdir())
        file.write_text(json.dumps(spoil(json.loads(file.read_text()))))
        kept: list[float] = []
        assert sweep([case], folder=kind, progress=kept.append) == found
        assert kept[0] == (1.0 if used else 0.0), kind


def test_digests_name_what_was_written(empty: Path) -> None:
    with pytest.raises(KeyboardInterrupt), use() as stopped:
        stopped.write_file("vary.txt", b"one")
        raise KeyboardInterrupt
    note = json.loads((Path(stopped.checkpoint) / "written.json").read_text())
    assert note["files"] == {"vary.txt": hashlib.sha256(b"one").hexdigest()}
