"""`assess --fail-on`: exit statuses for scripts that ask, and none for those that do not."""

from __future__ import annotations

import json
import os
import re
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from command_line import CASE, command, environment, laboratory, run

from jacketcalc.assessment.result import Answer, Assessment, LimitCheck
from jacketcalc.casefile.template import make_template
from jacketcalc.cli.commands.assess import complete
from jacketcalc.cli.main import main
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import make_json

KEPT = LimitCheck(what="a", kind="at most", limit=400.0, bare=420.0, jacketed=390.0,
                  low=380.0, high=395.0)  # fmt: skip
UNSURE = replace(KEPT, high=410.0)
BROKEN = replace(KEPT, jacketed=410.0, low=405.0, high=415.0)
JUST = replace(KEPT, jacketed=401.0, low=399.0, high=405.0)
"""Limits by where value and range of the model lie: 400 K is the limit of each."""


def found(answer: Answer, *limits: LimitCheck) -> Assessment:
    """Return the laboratory's assessment with another answer and other limits."""
    real = laboratory()
    return replace(real, limits=limits, verdict=replace(real.verdict, answer=answer))


def status(monkeypatch: pytest.MonkeyPatch, assessment: Assessment, *arguments: str) -> int:
    """Run `assess` where it finds this."""
    monkeypatch.setattr("jacketcalc.assessment.assess.assess", lambda *_, **__: assessment)
    return main(["assess", str(CASE), *arguments])


LOSS, UNTOLD = "does not pay", "cannot tell"
ASKED = [
    (found("pays", KEPT, BROKEN), "limits", 10),
    (found("pays", JUST), "limits", 10),
    (found("pays", KEPT, UNSURE), "limits", 0),
    (found("pays"), "limits,loss,cannot-tell", 0),
    (found("pays", BROKEN), "loss,cannot-tell", 0),
    (found(LOSS, KEPT), "loss", 11),
    (found(LOSS, KEPT), "limits,cannot-tell", 0),
    (found(UNTOLD), "cannot-tell", 12),
    (found(UNTOLD), "loss", 0),
    (found(LOSS, BROKEN), "loss,limits", 10),
    (found(UNTOLD, BROKEN), "cannot-tell, loss", 12),
]


@pytest.mark.parametrize(("assessment", "words", "code"), ASKED)
def test_the_first_of_what_was_asked_gives_the_status(
    assessment: Assessment,
    words: str,
    code: int,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert status(monkeypatch, assessment, "--fail-on", words) == code
    shown = capsys.readouterr()
    assert shown.out == make_text(complete(assessment, whole=False))
    assert shown.err.startswith(f"exit status {code}: ") if code else not shown.err
    again = [part for word in words.split(",") for part in ("--fail-on", word.strip())]
    assert status(monkeypatch, assessment, *again) == code
    capsys.readouterr()
    assert status(monkeypatch, assessment) == 0
    assert not capsys.readouterr().err


def test_a_machine_that_stalls_breaks_no_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    stalled = replace(laboratory().jacketed, stalled=True)
    assessment = replace(found(LOSS, BROKEN), jacketed=stalled)
    assert status(monkeypatch, assessment, "--fail-on", "limits") == 0
    assert status(monkeypatch, assessment, "--fail-on", "limits,loss") == 11


def test_json_and_files_are_written_whole_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assessment = found("pays", BROKEN, BROKEN)
    assert status(monkeypatch, assessment, "--json", "--fail-on", "limits") == 10
    shown = capsys.readouterr()
    whole = complete(assessment, whole=True)
    assert json.loads(shown.out) == json.loads(make_json(whole))
    assert shown.err == "exit status 10: 2 limits are broken with jackets (--fail-on limits)\n"
    assert status(monkeypatch, assessment, "-o", "r.json", "--fail-on", "limits") == 10
    assert Path("r.json").read_text() == make_json(whole)
    assert "wrote r.json\nexit status 10: " in capsys.readouterr().err
    assert status(monkeypatch, assessment, "-o", "r.json", "--fail-on", "limits") == 2
    assert "exists" in capsys.readouterr().err


@pytest.mark.parametrize("words", ["lims", "", "limits,", "limits;loss", "LOSS"])
def test_other_words_are_refused_before_anything_is_read(
    words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["assess", "no-such-case.toml", "--fail-on", words]) == 2
    shown = capsys.readouterr().err
    assert "--fail-on takes limits, loss, cannot-tell" in shown and "no file" not in shown


def test_a_wrong_case_stays_a_wrong_case(tmp_path: Path) -> None:
    (tmp_path / "c.toml").write_text("x = 1\n")
    assert run("assess", "c.toml", "--fail-on", "limits,loss", cwd=tmp_path).returncode == 2


def test_a_reader_that_has_gone_hears_the_status(tmp_path: Path) -> None:
    """No machine of 300 bar discharges at 30 degC, its supply being at 20 degC."""
    text = re.sub(r"(?m)^#discharge_limit = .*$", 'discharge_limit = "30 degC"', make_template())
    (tmp_path / "c.toml").write_text(text)
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(command("assess", "c.toml", "--fail-on", "limits"), cwd=tmp_path,
                          stdout=write, stderr=subprocess.PIPE, env=environment(),
                          check=False)  # fmt: skip
    os.close(write)
    assert done.returncode == 10
    assert re.fullmatch(rb"exit status 10: \d limits are broken .*\n", done.stderr)


def test_help_names_every_status(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["assess", "--help"]) == 0
    shown = capsys.readouterr().out
    for line in ("  10  limits: ", "  11  loss: ", "  12  cannot-tell: "):
        assert line in shown
    assert main(["--help"]) == 0
    assert "10 to 12  what `assess --fail-on` asked for" in capsys.readouterr().out
