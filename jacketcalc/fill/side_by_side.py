"""Works done side by side on threads, which an interrupt ends all."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from jacketcalc.core.run import POLL
from jacketcalc.errors import JacketcalcError
from jacketcalc.progress import Progress, Tally

R = TypeVar("R")
Told = Callable[[float], None]
"""Called with the share that is done of one work."""


def run_side_by_side(
    works: Sequence[Callable[[Told], R]], stop: Any, progress: Progress | None = None
) -> list[R]:
    """Do works on threads of their own and return what they give; an interrupt ends all.

    Parameters
    ----------
    works : each is called with what it tells its share done
    stop : array of one int32 that ends all solutions of the core when it is set
    progress : called with the share of all that is done
    """
    shares = [0.0] * len(works)
    found: dict[int, R] = {}
    faults: list[BaseException] = []
    tell = Tally(progress, len(works)).part(len(works))

    def labour(place: int) -> None:
        def told(share: float) -> None:
            shares[place] = share

        try:
            found[place] = works[place](told)
        except BaseException as fault:
            faults.append(fault)
            stop[0] = 1

    threads = [threading.Thread(target=labour, args=(k,), daemon=True) for k in range(len(works))]
    for thread in threads:
        thread.start()
    try:
        while any(thread.is_alive() for thread in threads):
            threads[0].join(POLL)
            tell(sum(shares) / len(shares))
    finally:
        stop[0] = 1 if any(thread.is_alive() for thread in threads) else stop[0]
        for thread in threads:
            thread.join()
    if faults:
        own = [fault for fault in faults if isinstance(fault, JacketcalcError)]
        raise (own or faults)[0]
    return [found[place] for place in range(len(works))]
