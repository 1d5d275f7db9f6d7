"""Run by the tests of sweeps in a process of its own, to be killed or interrupted there."""

from __future__ import annotations

import sys

from study_sample import COARSE, small_case

from jacketcalc.casefile.overrides import set_value
from jacketcalc.inputs import Case
from jacketcalc.studies.sweep import sweep


def cases(count: int = 3) -> list[Case]:
    return [set_value(small_case(), "jacket.pitch", f"{16 + 8 * n} mm") for n in range(count)]


if __name__ == "__main__":
    if sys.argv[1] == "sweep":
        sweep(cases(), folder=sys.argv[2], resolution=COARSE, threads=1, batch_size=1)
    else:
        many = cases() * 1000

        def tell(share: float) -> None:
            if share > 0.0:
                print("begun", flush=True)

        try:
            sweep(many, progress=tell)
        except KeyboardInterrupt:
            sys.exit(130)
