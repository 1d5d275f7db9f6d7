"""Run by the tests of sweeps in a process of its own, to be killed there."""

from __future__ import annotations

import os
import sys
import time

from study_sample import COARSE, small_case

from jacketcalc.casefile.overrides import set_value
from jacketcalc.inputs import Case
from jacketcalc.studies import sweep
from jacketcalc.studies.workers import Workers


def cases() -> list[Case]:
    return [set_value(small_case(), "jacket.pitch", f"{p} mm") for p in (16, 24, 32)]


if __name__ == "__main__":
    if sys.argv[1] == "sweep":
        sweep.LARGEST = 1
        sweep.sweep(cases(), folder=sys.argv[2], resolution=COARSE)
    else:
        with Workers(2) as workers:
            print(*{workers.submit(os.getpid).result() for _ in range(4)}, flush=True)
            time.sleep(600)
