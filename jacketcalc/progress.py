"""How far a computation is: things finished, of how many."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

Progress = Callable[[float], None]
"""Called with the share done, 0 to 1; a `Share` where machines are counted."""


@dataclass(frozen=True)
class ProgressPart:
    """A part of a command that is counted by itself."""

    words: str
    """What is being done, such as `solving`."""
    things: str
    """What is counted, such as `machines`."""


SOLVING = ProgressPart("solving", "machines")
CHECKING = ProgressPart("checking", "published cases")
WRITING = ProgressPart("writing", "files")


class Share(float):
    """A share done that knows the count it comes from."""

    done: float
    """Things finished; parts of one count too [-]."""
    total: float
    """Things in all, as far as is known by now [-]."""
    stage: ProgressPart

    def __new__(cls, done: float, total: float, stage: ProgressPart = SOLVING) -> Share:
        """Make the share of `done` in `total`."""
        share = super().__new__(cls, min(1.0, done / total) if total > 0.0 else 1.0)
        share.done, share.total, share.stage = done, total, stage
        return share


class Tally:
    """Counts things over computations one after another; the total may be corrected."""

    def __init__(
        self, progress: Progress | None, expected: float, stage: ProgressPart = SOLVING
    ) -> None:
        self._progress, self._stage = progress, stage
        self._done = self._running = 0.0
        self._left = expected
        self._told = 0.0

    @property
    def total(self) -> float:
        """Things in all, as far as is known [-]."""
        return self._done + self._running + self._left

    def part(self, count: float) -> Progress:
        """Begin a computation of so many things; return what it calls with its own share.

        What was begun before has ended by then.
        """
        self._done += self._running
        self._running = count
        self._left = max(0.0, self._left - count)
        self._tell(0.0)
        return self._tell

    def expect(self, left: float) -> None:
        """Correct how many things are still to be begun."""
        self._left = max(0.0, left)

    def _tell(self, share: float) -> None:
        # A computation may look back on a coarser count of its own; what is done stays done.
        self._told = max(self._told, self._done + self._running * min(1.0, share))
        if self._progress is not None:
            self._progress(Share(self._told, self.total, self._stage))
