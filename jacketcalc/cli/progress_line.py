"""A line on a terminal that says how far a command is, and how long it will take."""

from __future__ import annotations

import math
import os
import threading
import time
from collections import deque
from types import TracebackType
from typing import TextIO

from jacketcalc.progress import ProgressPart, Share

PATIENCE = 1.0
"""Time after which progress is shown [s]."""
TICK = 0.5
"""Time between renewals of the line, so that it is seen to live [s]."""
BAR = 20
"""Length of the bar in columns [-]."""
LATE, LATE_SHARE = 5.0, 0.5
"""The pace is that of so long, or of this share of the time so far, whichever is more [s], [-]."""
ENOUGH = 0.1
"""Share of all things that the pace counts at least, so that no single one makes it [-]."""
TELLING = 0.02
"""Share that must have been done before a time left is told [-]."""
PLAIN = ProgressPart("solving", "")
"""Stage of what is not counted."""


class Pace:
    """How fast things get done, of late: what was slow or fast long ago does not count."""

    def __init__(self, now: float, done: float) -> None:
        self.start, self.first = now, done
        self._marks = deque([(now, done)])

    def note(self, now: float, done: float) -> None:
        """Remember how much was done at a time [s]."""
        if done > self._marks[-1][1]:
            self._marks.append((now, done))

    def left(self, now: float, done: float, total: float) -> float | None:
        """Return how long the rest will take at the pace of late, None where none shows [s]."""
        since = now - max(LATE, LATE_SHARE * (now - self.start))
        until = done - ENOUGH * total
        marks = self._marks
        while len(marks) > 2 and marks[1][0] <= since and marks[1][1] <= until:
            marks.popleft()
        then, before = self._marks[0]
        if done <= before or now <= then or done - self.first < TELLING * total:
            return None
        return (total - done) * (now - then) / (done - before)


class ProgressLine:
    """Shows progress on a terminal while its context lasts, and wipes it away at the end."""

    def __init__(self, stream: TextIO, patience: float = PATIENCE, tick: float = TICK) -> None:
        self._stream = stream
        self._wanted = stream.isatty()
        self._begin = time.monotonic() + patience
        self._pause = tick
        self._shown = 0
        self._stage = PLAIN
        self._done, self._total = 0.0, 1.0
        self._pace = Pace(time.monotonic(), 0.0)
        self._told = False
        self._lock, self._over = threading.Lock(), threading.Event()

    def __call__(self, share: float) -> None:
        """Note the share done, 0 to 1; what an earlier run had done says nothing of the pace."""
        now = time.monotonic()
        with self._lock:
            counted = isinstance(share, Share)
            stage = share.stage if isinstance(share, Share) else PLAIN
            self._done = share.done if isinstance(share, Share) else max(0.0, share)
            self._total = share.total if isinstance(share, Share) and counted else 1.0
            if stage != self._stage or not self._told:
                self._pace = Pace(now, self._done)
            self._stage, self._told = stage, True
            self._pace.note(now, self._done)
        self.renew()

    def renew(self) -> None:
        """Write the line again, with the time that has passed since."""
        now = time.monotonic()
        with self._lock:
            if self._wanted and now >= self._begin and not self._over.is_set():
                self._write(self._line(now))

    def _line(self, now: float) -> str:
        done, total = self._done, self._total
        share = min(1.0, done / total) if total > 0.0 else 1.0
        filled = math.floor(BAR * share)
        bar = f"[{'#' * filled}{'.' * (BAR - filled)}]  {min(99, math.floor(100 * share)):3d} %"
        count = f", {math.floor(done)} of {math.ceil(total)} {self._stage.things}"
        left = self._pace.left(now, done, total)
        tail = f", {_clock(math.floor(now - self._pace.start))} so far"
        if share >= 1.0:
            tail = ", finishing"
        elif left is not None:
            tail = f", {_clock(left)} left"
        return f"{self._stage.words}  {bar}{count if self._stage.things else ''}{tail}"

    def _write(self, text: str) -> None:
        text = text[: _columns(self._stream) - 1]
        self._stream.write(f"\r{text:<{self._shown}}")
        self._shown = len(text)
        self._stream.flush()

    def _tick(self) -> None:
        while not self._over.wait(self._pause):
            self.renew()

    def __enter__(self) -> ProgressLine:
        if self._wanted:
            threading.Thread(target=self._tick, daemon=True).start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._over.set()
        with self._lock:
            if self._shown:
                self._stream.write(f"\r{' ' * self._shown}\r")
                self._stream.flush()


def _clock(seconds: float) -> str:
    whole = math.ceil(seconds)
    return f"{whole} s" if whole < 90 else f"{whole // 60} min {whole % 60} s"


def _columns(stream: TextIO) -> int:
    """Return the width of the terminal; a line that wraps could not be written over."""
    try:
        return os.get_terminal_size(stream.fileno()).columns or 80
    except (OSError, ValueError):
        return 80
