"""Progress: machines counted, a pace that adapts, a line that lives; times by hand."""

from __future__ import annotations

import io
import re
import time

import pytest
from study_sample import COARSE, small_case

from jacketcalc.cli.progress_line import Pace, ProgressLine
from jacketcalc.progress import CHECKING, SOLVING, ProgressPart, Share, Tally
from jacketcalc.studies.study import run_study


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


class Watched:
    """A line of progress on a terminal, with a clock that is set."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.now = 0.0
        monkeypatch.setattr(time, "monotonic", lambda: self.now)
        self.terminal = Terminal()
        self.progress = ProgressLine(self.terminal)

    def at(
        self,
        now: float,
        done: float | None = None,
        total: float = 1.0,
        stage: ProgressPart = SOLVING,
    ) -> str:
        """Move the clock, tell what is done if anything is, and return the line."""
        self.now = now
        if done is None:
            self.progress.renew()
        else:
            self.progress(Share(done, total, stage))
        return self.terminal.getvalue().rsplit("\r", 1)[-1].rstrip()


@pytest.fixture
def watched(monkeypatch: pytest.MonkeyPatch) -> Watched:
    return Watched(monkeypatch)


def seconds_left(line: str) -> float:
    found = re.search(r"(?:(\d+) min )?(\d+) s left", line)
    assert found, line
    return 60.0 * float(found[1] or 0) + float(found[2])


def test_the_line_counts_machines(watched: Watched) -> None:
    watched.at(0.0, 0.0, 120.0)
    line = watched.at(10.0, 30.0, 120.0)
    # A quarter took 10 s, and three are left.
    assert line == "solving  [#####...............]   25 %, 30 of 120 machines, 30 s left"
    assert len(watched.at(4e5, 10.0**5, 10.0**6)) < 80


def test_the_line_lives_before_anything_is_done(watched: Watched) -> None:
    assert watched.at(0.5) == ""  # not yet impatient
    assert "0 %" in watched.at(3.0) and "3 s so far" in watched.at(3.0)
    assert "40 s so far" in watched.at(40.0)


def test_what_an_earlier_run_did_says_nothing_of_the_pace(watched: Watched) -> None:
    watched.at(0.0, 50.0, 100.0)
    # A quarter took 10 s, and a quarter is left.
    assert "75 %, 75 of 100 machines, 10 s left" in watched.at(10.0, 75.0, 100.0)


def test_a_pace_that_falls_or_rises_is_followed(watched: Watched) -> None:
    watched.at(0.0, 0.0, 200.0)
    for second in range(1, 11):
        line = watched.at(second, 10.0 * second, 200.0)
    assert seconds_left(line) == 10.0  # 100 machines at 10 a second
    for second in range(11, 61):  # now one a second
        line = watched.at(second, 100.0 + second - 10.0, 200.0)
    assert seconds_left(line) == pytest.approx(50.0, abs=2.0)  # 50 machines at one a second
    for second in range(61, 66):  # five a second; half of the last minute was slow
        line = watched.at(second, 150.0 + 5.0 * (second - 60), 200.0)
    assert 5.0 <= seconds_left(line) < 20.0


def test_a_single_slow_case_does_not_make_the_pace(watched: Watched) -> None:
    watched.at(0.0, 0.0, 150.0)
    for done in range(1, 101):
        watched.at(0.1 * done, float(done), 150.0)
    line = watched.at(18.0, 101.0, 150.0)  # one took 8 s; fifteen took 9.4 s
    assert seconds_left(line) == pytest.approx(49.0 * 9.4 / 15.0, abs=1.0)


def test_a_machine_that_takes_long_lengthens_the_estimate(watched: Watched) -> None:
    watched.at(0.0, 0.0, 100.0)
    for done in range(1, 100):
        line = watched.at(0.1 * done, float(done), 100.0)
    assert seconds_left(line) == 1.0  # 0.1 s, rounded up
    waits = [seconds_left(watched.at(now)) for now in (30.0, 60.0, 120.0)]
    assert waits == sorted(waits) and waits[-1] > 5.0
    assert "100 %" not in watched.terminal.getvalue()


def test_what_is_done_but_not_over_is_not_called_100_percent(watched: Watched) -> None:
    watched.at(0.0, 0.0, 10.0)
    line = watched.at(9.0, 10.0, 10.0)
    assert " 99 %, 10 of 10 machines, finishing" in line


def test_another_stage_has_its_own_count_and_pace(watched: Watched) -> None:
    watched.at(0.0, 0.0, 10.0)
    watched.at(100.0, 10.0, 10.0)
    watched.at(100.0, 0.0, 300.0, CHECKING)
    line = watched.at(104.0, 100.0, 300.0, CHECKING)
    assert line == "checking  [######..............]   33 %, 100 of 300 published cases, 8 s left"


def test_a_plain_share_will_do() -> None:
    terminal = Terminal()
    with ProgressLine(terminal, patience=0.0) as progress:
        progress(0.1)
        progress(0.5)
    said = terminal.getvalue()
    assert "50 %" in said and said.endswith("\r")
    assert said.split("\r")[-2].strip() == ""
    assert len(said.split("\r")[-2]) >= len(said.split("\r")[-3].rstrip())
    for stream, patience in ((Terminal(), 60.0), (io.StringIO(), 0.0)):
        with ProgressLine(stream, patience=patience) as progress:
            progress(0.5)
        assert stream.getvalue() == ""


def test_the_line_renews_itself() -> None:
    terminal = Terminal()
    with ProgressLine(terminal, patience=0.0, tick=0.01) as progress:
        progress(0.1)
        before = terminal.getvalue().count("\r")
        time.sleep(0.3)
        assert terminal.getvalue().count("\r") > before


def test_a_pace_of_nothing_tells_no_time() -> None:
    pace = Pace(0.0, 0.0)
    assert pace.left(10.0, 0.0, 5.0) is None
    pace.note(11.0, 1.0)
    assert pace.left(11.0, 1.0, 5.0) == pytest.approx(44.0)


def test_a_tally_corrects_its_total() -> None:
    told: list[float] = []
    tally = Tally(told.append, 10.0)
    first = tally.part(4)
    first(0.5)
    assert told[-1] == pytest.approx(0.2)
    tally.part(4)(1.0)
    assert told[-1] == pytest.approx(0.8)
    tally.expect(12.0)
    tally.part(2)
    share = told[-1]
    assert isinstance(share, Share) and (share.done, share.total) == (8.0, 20.0)


def test_what_is_done_stays_done() -> None:
    told: list[float] = []
    part = Tally(told.append, 4.0).part(4)
    for share in (0.0, 0.7, 0.3, 1.0):
        part(share)
    assert told == sorted(told) and told[-1] == 1.0


def test_a_study_counts_every_machine() -> None:
    told: list[float] = []
    run_study(small_case(), ["jacket.pitch=20mm,30mm"], band=False, resolution=COARSE,
              progress=told.append)  # fmt: skip
    shares = [share for share in told if isinstance(share, Share)]
    assert len(shares) == len(told)
    # Two pitches, the case as it stands, and both readings of bare.
    assert {share.total for share in shares} == {5.0}
    assert shares[-1].done == 5.0
