"""Processes on this machine that solve batches, tell how far they are, and never outlive it."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing.sharedctypes import SynchronizedArray
from types import TracebackType

WATCH = 0.2
"""Time between a worker's looks at its parent [s]."""
THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
"""Variables that keep a worker's linear algebra to one core."""
_STOP = -1.0

_shares: SynchronizedArray[float] | None = None
"""In a worker, the places where it tells how far it is."""


class Workers(ProcessPoolExecutor):
    """A pool of fresh processes; leaving its context early ends them at once."""

    def __init__(self, count: int | None = None) -> None:
        count = count or os.cpu_count() or 1
        context = multiprocessing.get_context("spawn")
        self.shares: SynchronizedArray[float] = context.Array("d", max(1, count))
        super().__init__(
            count,
            mp_context=context,
            initializer=_begin,
            initargs=(self.shares, os.getpid()),
        )

    def shares_of(self, batches: int) -> float:
        """Return the sum of the shares done of the batches being solved."""
        running = sorted(self.shares[:], reverse=True)[:batches]
        return sum(share for share in running if 0.0 < share < 1.0)

    def __enter__(self) -> Workers:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> bool | None:
        if kind is not None:
            self.shares[0] = _STOP
        self.shutdown(wait=kind is None, cancel_futures=True)
        return None


def _begin(shares: SynchronizedArray[float], parent: int) -> None:
    """Prepare a worker: interrupts are the parent's business, and it ends with the parent."""
    global _shares
    _shares = shares
    for name in THREADS:
        os.environ.setdefault(name, "1")
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_watch, args=(shares, parent), daemon=True).start()


def _watch(shares: SynchronizedArray[float], parent: int) -> None:
    while os.getppid() == parent and shares[0] != _STOP:
        time.sleep(WATCH)
    os._exit(1)


def watched(place: int | None) -> Callable[[float], None]:
    """Return what a batch calls with the share done."""

    def tell(share: float) -> None:
        if place is not None and _shares is not None and _shares[place] != _STOP:
            _shares[place] = share

    return tell
