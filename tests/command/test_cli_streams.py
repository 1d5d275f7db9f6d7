"""Streams of the command line: pipes that close, full disks, colour, letters a terminal lacks."""

from __future__ import annotations

import io
import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import QUICK, command, environment, run

from jacketcalc.casefile.template import make_template
from jacketcalc.cli.main import main
from jacketcalc.cli.settings import Settings
from jacketcalc.cli.terminal import prepare_streams, shows_ascii_only, shows_color


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


def test_standard_input_and_letters_a_terminal_lacks(tmp_path: Path) -> None:
    text = re.sub(r"^title = .*$", 'title = "Stoßlabor 雷"', make_template(), flags=re.M)
    done = run("check", "-", cwd=tmp_path, stdin=text.encode(), PYTHONIOENCODING="ascii")
    assert done.returncode == 0 and not done.stderr
    assert done.stdout.decode("ascii").startswith("Sto?labor ?\n")


@pytest.mark.parametrize("arguments", QUICK, ids=" ".join)
def test_a_reader_that_has_gone_is_no_fault(arguments: list[str], tmp_path: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        command(*arguments),
        cwd=tmp_path,
        input=make_template().encode(),
        stdout=write,
        stderr=subprocess.PIPE,
        env=environment(),
        check=False,
    )
    os.close(write)
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_full_disk_is_said(tmp_path: Path) -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            command("schema"), stdout=full, stderr=subprocess.PIPE, env=environment(), check=False
        )
    assert done.returncode == 2
    assert done.stderr == b"error: standard output cannot be written: no space left on device\n"


def test_streams_that_are_closed_are_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("stdin", "stdout", "stderr"):
        monkeypatch.setattr(sys, name, None)
    prepare_streams()
    assert sys.stdin.read() == ""
    assert main(["schema"]) == 2


@pytest.mark.parametrize(
    "arguments", [("check", "-"), ("--help",), ("check", "--help")], ids=" ".join
)
def test_a_result_that_nobody_can_get_is_no_success(
    arguments: tuple[str, ...], tmp_path: Path
) -> None:
    """Standard output closed by the caller, as `>&-` does in a shell."""
    done = subprocess.run(
        ["sh", "-c", 'exec "$@" >&-', "sh", *command(*arguments)],
        cwd=tmp_path, input=make_template().encode(), stderr=subprocess.PIPE, env=environment(),
        check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr == b"error: standard output cannot be written: it is closed\n"


def on_terminal(*arguments: str, cwd: Path, **changes: str) -> str:
    """Return what a command says on standard error when that is a terminal."""
    ours, theirs = pty.openpty()
    subprocess.run(
        command(*arguments),
        cwd=cwd,
        stdout=subprocess.DEVNULL,
        stderr=theirs,
        env=environment(**changes),
        check=False,
    )
    os.close(theirs)
    parts = []
    try:
        while part := os.read(ours, 4096):
            parts.append(part)
    except OSError as ended:
        assert ended.errno == 5
    os.close(ours)
    return b"".join(parts).decode().replace("\r\n", "\n")


def test_colour_only_where_it_is_wanted(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text("x = 1\n")
    coloured = on_terminal("check", "bad.toml", cwd=tmp_path)
    assert "\x1b[" in coloured
    plain = run("check", "bad.toml", cwd=tmp_path).stderr.decode()
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain
    assert on_terminal("check", "bad.toml", cwd=tmp_path, NO_COLOR="1") == plain
    assert on_terminal("check", "bad.toml", cwd=tmp_path, TERM="dumb") == plain
    assert on_terminal("check", "--no-color", "bad.toml", cwd=tmp_path) == plain
    assert on_terminal("--no-color", "check", "bad.toml", cwd=tmp_path) == plain


def test_what_a_stream_can_show() -> None:
    terminal, settings = Terminal(), Settings()
    assert shows_color(terminal, settings, {"TERM": "xterm", "NO_COLOR": ""})
    assert not shows_color(terminal, settings, {"NO_COLOR": "1"})
    assert not shows_color(io.StringIO(), settings, {})
    assert not shows_ascii_only(terminal)
    assert shows_ascii_only(io.TextIOWrapper(io.BytesIO(), encoding="ascii"))
    assert shows_ascii_only(io.TextIOWrapper(io.BytesIO(), encoding="cp1252"))
