"""The command line as a new user meets it."""

from __future__ import annotations

import io
import json
import os
import pty
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from command_line import CASE, command, environment, failing, laboratory, run

import jacketcalc
from jacketcalc.casefile.template import make_template
from jacketcalc.cli.group import COMMANDS
from jacketcalc.cli.main import main
from jacketcalc.cli.settings import Settings
from jacketcalc.cli.terminal import prepare_streams, shows_ascii_only, shows_color
from jacketcalc.errors import ConvergenceError, RangeError

HEAVY = ("numpy", "scipy", "CoolProp", "matplotlib", "ht", "fluids")
QUICK = (["--help"], ["new", "-"], ["check", "-"], ["explain"], ["schema"], ["completion", "zsh"])
"""Commands that compute nothing."""


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


def loaded_by(*arguments: str, cwd: Path) -> set[str]:
    """Return the modules that a command had imported when it ended."""
    code = (
        "import sys; from jacketcalc.cli.main import main; status = main(sys.argv[1:]);"
        "sys.stderr.write(' '.join(sys.modules)); sys.exit(status)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        cwd=cwd,
        input=make_template().encode(),
        capture_output=True,
        env=environment(),
        check=True,
    )
    return set(done.stderr.decode().split())


def test_help_imports_nothing_heavy_and_little_at_all(tmp_path: Path) -> None:
    modules = loaded_by("--help", cwd=tmp_path)
    assert modules.isdisjoint(HEAVY)
    bare = subprocess.run(
        [sys.executable, "-c", "import sys, click; print(len(sys.modules))"],
        capture_output=True,
        check=True,
    )
    foreign = [name for name in modules if not name.startswith("jacketcalc")]
    assert len(foreign) <= int(bare.stdout) + 30


@pytest.mark.parametrize("arguments", QUICK, ids=" ".join)
def test_what_computes_nothing_imports_nothing_heavy(arguments: list[str], tmp_path: Path) -> None:
    assert loaded_by(*arguments, cwd=tmp_path).isdisjoint(HEAVY)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    for flag in ("-h", "--help"):
        assert main([name, flag]) == 0
        shown = capsys.readouterr()
        assert shown.out.startswith(f"Usage: jacketcalc {name} ") and not shown.err
        assert "..." not in shown.out.replace("CASE...", "")
        assert max(len(line) for line in shown.out.split("\n")) <= 80


def test_help_lists_every_command_with_a_whole_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["-h"]) == 0
    shown = capsys.readouterr().out
    for name in COMMANDS:
        assert re.search(rf"^  {name} +\S.*\.$", shown, re.M), name
    assert max(len(line) for line in shown.split("\n")) <= 80


WRONG_COMMANDS: list[list[str]] = [
    [],
    ["asess", "x.toml"],
    ["assess"],
    ["assess", "a.toml", "b.toml"],
    ["assess", "--jsn", "x.toml"],
    ["assess", "x.toml", "-o"],
    ["check"],
    ["new"],
    ["explain", "no-such-name"],
    ["explain", "unit-missing", "more"],
    ["completion", "tcl"],
    ["--no-such-option"],
]


@pytest.mark.parametrize("arguments", WRONG_COMMANDS, ids=lambda words: " ".join(words) or "none")
def test_wrong_commands_are_refused(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    shown = capsys.readouterr()
    assert not shown.out and shown.err
    assert "Traceback" not in shown.err
    assert shown.err.startswith("error: " if arguments else "Usage: ")


def test_the_nearest_command_option_and_file_are_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("r.txt").write_text("old")
    for arguments, said in (
        (["asess", "x.toml"], 'there is no command "asess"; the nearest is "assess"'),
        (["zzz"], "`jacketcalc --help` lists the commands"),
        (["assess", "--jsn", "x.toml"], 'the nearest is "--json"'),
        (["assess", str(CASE), "-o", "r.txt"], "or add --force"),
        (["new", "r.txt"], "it was left as it is: name another file\n"),
    ):
        assert main(arguments) == 2
        assert said in capsys.readouterr().err


def test_version_and_module_run(tmp_path: Path) -> None:
    done = run("--version", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (0, f"jacketcalc {jacketcalc.__version__}\n".encode())


def test_a_new_case_is_sound_and_never_replaces_a_file(tmp_path: Path) -> None:
    made = run("new", "mine.toml", cwd=tmp_path)
    assert made.returncode == 0 and not made.stdout
    assert b"jacketcalc check mine.toml" in made.stderr
    text = (tmp_path / "mine.toml").read_text()
    assert text == make_template()
    checked = run("check", "mine.toml", cwd=tmp_path)
    assert checked.returncode == 0 and not checked.stderr
    assert b"FILLED IN" in checked.stdout
    (tmp_path / "mine.toml").write_text("mine")
    again = run("new", "mine.toml", cwd=tmp_path)
    assert again.returncode == 2 and b"exists" in again.stderr
    assert (tmp_path / "mine.toml").read_text() == "mine"
    assert run("new", "-", cwd=tmp_path).stdout.decode() == make_template()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["mine.toml"]


BAD = {
    "missing": (None, "file-missing"),
    "empty": (b"", "file-empty"),
    "binary": (b"\x7fELF\x00\x01\x02", "file-binary"),
    "not UTF-8": (b'title = "Gr\xfc\xdfe"\n', "file-encoding"),
    "UTF-16": ("title".encode("utf-16"), "file-encoding"),
    "unknown key": (make_template().replace("bore =", "boar =", 1).encode(), "key-unknown"),
    "no unit": (re.sub(r'bore = "\S+ mm[^"]*"', "bore = 7", make_template(), count=1).encode(),
                "unit-missing"),
    "comma": (re.sub(r'bore = "[^"]*"', 'bore = "1,5 mm"', make_template(), count=1).encode(),
              "unit-comma"),
    "twice": (make_template().replace("title =", 'title = "a"\ntitle =', 1).encode(),
              "key-duplicate"),
}  # fmt: skip


@pytest.mark.parametrize("kind", BAD)
@pytest.mark.parametrize("name", ["check", "assess"])
def test_wrong_cases_are_explained(
    kind: str,
    name: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    data, problem = BAD[kind]
    monkeypatch.chdir(tmp_path)
    if data is not None:
        Path("c.toml").write_bytes(data)
    assert main([name, "c.toml"]) == 2
    shown = capsys.readouterr()
    assert not shown.out
    assert re.match(r"c\.toml(:\d+:\d+)?: error: ", shown.err)
    assert f"[{problem}]" in shown.err
    assert "nothing was computed" in shown.err


def test_a_directory_is_no_case(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["assess", str(tmp_path)]) == 2
    assert "directory" in capsys.readouterr().err


def test_a_case_without_jackets_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = re.sub(r'^to = "[^"]*"', 'to = "atmosphere"', CASE.read_text(), flags=re.M)
    text = re.sub(r"^tube = .*$", "", text, flags=re.M)
    (tmp_path / "c.toml").write_text(text)
    assert main(["assess", str(tmp_path / "c.toml")]) == 2
    assert "[jacket-missing]" in capsys.readouterr().err


def test_many_cases_are_checked_at_once(tmp_path: Path) -> None:
    (tmp_path / "good.toml").write_text(make_template())
    (tmp_path / "bad.toml").write_text("x = 1\n")
    done = run("check", "good.toml", "bad.toml", "-", cwd=tmp_path, stdin=b"")
    assert done.returncode == 2
    assert b"UNDERSTOOD" in done.stdout
    assert b"bad.toml:1:1: error:" in done.stderr and b"-: error: the file is empty" in done.stderr


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


def test_shell_completion(tmp_path: Path) -> None:
    for shell in ("bash", "zsh", "fish"):
        done = run("completion", shell, cwd=tmp_path)
        assert done.returncode == 0 and b"_JACKETCALC_COMPLETE" in done.stdout
    words = {"COMP_WORDS": "jacketcalc ass", "COMP_CWORD": "1"}
    done = run(cwd=tmp_path, _JACKETCALC_COMPLETE="bash_complete", **words)
    assert done.stdout.strip() == b"plain,assess"


def test_schema_is_json_and_explain_lists_and_explains(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out)["title"] == "jacketcalc case"
    assert main(["explain"]) == 0
    names = capsys.readouterr().out.split()
    assert "unit-missing" in names
    assert main(["explain", "[unit-missing]"]) == 0
    assert capsys.readouterr().out.startswith("unit-missing\n")
    assert main(["explain", "unit-mising"]) == 2
    assert '"unit-missing"' in capsys.readouterr().err


@pytest.mark.parametrize("error", [ConvergenceError("bare: walls, 1e-3"), RangeError("too hot")])
def test_no_solution_is_status_3_and_writes_nothing(
    error: Exception, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["assess", str(CASE), "-o", str(tmp_path / "r.json")]
    assert main(asked, failing(error)) == 3
    shown = capsys.readouterr()
    assert str(error) in shown.err and "nothing was written" in shown.err and not shown.out
    assert max(map(len, shown.err.split("\n"))) <= 80
    assert not list(tmp_path.iterdir())


def test_an_unexpected_fault_is_one_line_and_a_report(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    root = failing(ZeroDivisionError("by nothing\nat all"))
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    assert main(["assess", str(CASE)], root) == 70
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and "ZeroDivisionError: by nothing" in said
    (report,) = tmp_path.iterdir()
    assert str(report) in said
    text = report.read_text()
    assert "Traceback" in text and laboratory().case.sha256 in text
    assert main(["--debug", "assess", str(CASE)], root) == 70
    assert "Traceback" in capsys.readouterr().err
    assert main(["assess", str(CASE), "--debug"], root) == 70
    assert "Traceback" in capsys.readouterr().err


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


def test_the_api_is_what_the_command_calls() -> None:
    from jacketcalc.assessment.assess import assess
    from jacketcalc.casefile.reading import read_case

    assert jacketcalc.assess is assess and jacketcalc.read_case is read_case
    assert {"assess", "read_case"} <= set(dir(jacketcalc))
    with pytest.raises(AttributeError, match="no attribute 'asess'"):
        _ = jacketcalc.asess
