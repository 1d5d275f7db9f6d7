"""How far a computation is: machines finished, of how many."""

from __future__ import annotations

from collections.abc import Callable

Progress = Callable[[float], None]
"""Called with the share done, 0 to 1; a `Share` where machines are counted."""


class Share(float):
    """A share done that knows the count it comes from."""

    done: float
    """Machines finished; parts of one count too [-]."""
    total: float
    """Machines in all, as far as is known by now [-]."""

    def __new__(cls, done: float, total: float) -> Share:
        """Make the share of `done` in `total`."""
        share = super().__new__(cls, min(1.0, done / total) if total > 0.0 else 1.0)
        share.done, share.total = done, total
        return share


class Tally:
    """Counts machines over computations one after another; the total may be corrected."""

    def __init__(self, progress: Progress | None, expected: float) -> None:
        self._progress = progress
        self._done = self._running = 0.0
        self._left = expected
        self._told = 0.0

    @property
    def total(self) -> float:
        """Machines in all, as far as is known [-]."""
        return self._done + self._running + self._left

    def part(self, machines: float) -> Progress:
        """Begin a computation of so many machines; return what it calls with its own share.

        What was begun before has ended by then.
        """
        self._done += self._running
        self._running = machines
        self._left = max(0.0, self._left - machines)
        self._tell(0.0)
        return self._tell

    def expect(self, left: float) -> None:
        """Correct how many machines are still to be begun."""
        self._left = max(0.0, left)

    def _tell(self, share: float) -> None:
        # A computation may look back on a coarser count of its own; machines stay finished.
        self._told = max(self._told, self._done + self._running * min(1.0, share))
        if self._progress is not None:
            self._progress(Share(self._told, self.total))
