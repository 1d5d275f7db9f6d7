"""`new` and `check` from the command line: a sound case to begin with, wrong ones explained."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from command_line import CASE, run

from jacketcalc.casefile.template import make_template
from jacketcalc.cli.main import main


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
