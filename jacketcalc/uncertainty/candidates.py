"""What could be read at a bench, each with an instrument; common practice, no source."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.inputs import Case
from jacketcalc.readings import Jackets, Place, Reading

WATCH = 0.2
"""u of a stop-watch over ten cycles, hand and eye [s]."""
CYCLES = 10
THERMOMETER, PROBE = 1.5, 1.0
"""u of a surface thermometer, and of a probe in the exhaust [K]."""
SCALE, GAUGE = 2e-3, 0.01
"""u of a balance under a bottle [kg]; of a gauge as a share [-]."""
MINUTES = 600.0
"""Time in which a mass is taken [s]."""


def list_candidates(case: Case) -> list[tuple[Reading, str]]:
    """Return what could be read, with its instrument; common practice, no source."""
    jacketed = [s.name for s in case.machine.stages if s.jacket is not None]
    both: tuple[Jackets, ...] = ("with", "bypassed")
    found: list[tuple[Reading, str]] = []
    for jackets in both:
        found.append((_reading("cycle time", WATCH / CYCLES, jackets), "stop-watch, ten cycles"))
        found.append((
            replace(_reading("delivered mass", SCALE, jackets), duration=MINUTES),
            "balance under the bottle, ten minutes",
        ))  # fmt: skip
        places: tuple[Place, ...] = ("head", "middle", "flange")
        for stage in case.machine.stages:
            for place in places:
                if jackets == "with" and stage.jacket is not None and place != "head":
                    continue  # the shell covers it
                reading = replace(_reading("wall temperature", THERMOMETER, jackets),
                                  stage=stage.name, place=place)  # fmt: skip
                found.append((reading, "surface thermometer"))
    for name in jacketed:
        reading = replace(_reading("exhaust temperature", PROBE, "with"), stage=name)
        found.append((reading, "probe in the jacket's outlet"))
    u = GAUGE * case.machine.supply.pressure
    found.append((_reading("valve pressure", u, "with"), "gauge at the valve, class 1"))
    return found


def _reading(kind: str, u: float, jackets: Jackets) -> Reading:
    return Reading(kind=kind, value=0.0, standard_uncertainty=u, jackets=jackets)  # type: ignore[arg-type]


def separating(predictions: Array, uncertainties: Sequence[float]) -> tuple[int, float]:
    """Return the reading that tells explanations apart best, and by how many u.

    Parameters
    ----------
    predictions : what each explanation shows, one row each [SI]
    uncertainties : u of each reading [SI]
    """
    apart = (predictions.max(axis=0) - predictions.min(axis=0)) / np.asarray(
        uncertainties, dtype=float
    )
    apart = np.where(np.isfinite(apart), apart, 0.0)
    best = int(np.argmax(apart))
    return best, float(apart[best])
