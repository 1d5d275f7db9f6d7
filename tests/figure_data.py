"""Data for the figures' tests: a short solve of a case in `cases/`, and invented studies."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.result import Assessment
from jacketcalc.casefile.reading import read_case
from jacketcalc.components.stroke import Resolution
from jacketcalc.report.figures.front import Front
from jacketcalc.report.figures.pitchmap import MapLimit, PitchMap
from jacketcalc.report.figures.stage_part import StagePart
from jacketcalc.report.figures.tradeoff import Tradeoff

CASES = Path(__file__).parent.parent / "cases"


def short_assessment(name: str) -> Assessment:
    """Assess a case with few steps: the figures need fields, not digits."""
    return assess(read_case(str(CASES / f"{name}.toml")), resolution=Resolution().scaled(0.4))


def changed(part: StagePart, **changes: Any) -> StagePart:
    """Return a part with another jacket, or other sizes of its stage."""
    own = {key: changes.pop(key) for key in list(changes) if hasattr(part.stage, key)}
    stage = part.stage
    if changes and stage.jacket is not None:
        stage = replace(stage, jacket=replace(stage.jacket, **changes))
    return replace(part, stage=replace(stage, **own))


def tradeoff(loss: float = 9.0, drawn: float = 12.0, **changes: Any) -> Tradeoff:
    """Make up a comparison of pitches."""
    p = np.linspace(8.0, 48.0, 16)
    cooling, resistance = 0.13 * np.exp(-(p - 8) / 60), -0.6 * (loss / p) ** 2.2
    net, charge = cooling + resistance, 290.0 + 0.5 * (p - 8)
    near = p[net > net.max() - 0.0025]
    data = Tradeoff(
        stage="medium", pitch=1e-3 * p, turns=120 / p, charge=charge, charge_low=charge - 2,
        charge_high=charge + 2, charge_bare=318.0, change=net, change_low=net - 0.012,
        change_high=net + 0.011, cooling=cooling, resistance=resistance, drawn=1e-3 * drawn,
        plateau=(1e-3 * near[0], 1e-3 * near[-1]), plateau_words="within 0.25 of the best",
        forbidden=(2e-3, 7.2e-3), forbidden_words="channel under 4 mm wide",
    )  # fmt: skip
    return replace(data, **changes)


def pitchmap() -> PitchMap:
    """Make up a map over pitch and gap."""
    P, G = np.meshgrid(np.linspace(8.0, 48.0, 16), np.linspace(2.0, 10.0, 9))
    value = 100 * (0.13 * np.exp(-(P - 8) / 60) * (4 / G) ** 0.2 - 0.5 * (24 / P / G) ** 2)
    limits = (
        MapLimit(name="back-pressure above 0.3 bar", broken=value < -5),
        MapLimit(name="discharge above 150 °C", broken=(P > 36) & (G > 7)),
    )
    return PitchMap(
        pitch=1e-3 * P[0], gap=1e-3 * G[:, 0], value=value, limits=limits, impossible=P < 10,
        drawn=(12e-3, 4e-3), best=(24e-3, 7e-3),
    )  # fmt: skip


def front() -> Front:
    """Make up a front."""
    s = np.linspace(0.0, 1.0, 12)
    return Front(
        flow=1e-3 * (1 + 0.12 * s), discharge=480 + 60 * s**2.2,
        labels=tuple(f"{8 + 3 * i} × 6 mm" for i in range(12)), bare=(0.98e-3, 560.0),
        drawn=(1.05e-3, 505.0), limit=423.15,
    )  # fmt: skip
