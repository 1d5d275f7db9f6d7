"""For the tests of figures: a short solve of a case, invented studies, words that clash."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from matplotlib.figure import Figure
from matplotlib.text import Text

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.result import Assessment
from jacketcalc.casefile.reading import read_case
from jacketcalc.core.resolution import Resolution
from jacketcalc.report.figures.front import Front
from jacketcalc.report.figures.labels import renderer_of, seen_texts
from jacketcalc.report.figures.pitchmap_data import MapGap, MapLimit, PitchMap
from jacketcalc.report.figures.stage_part import StagePart
from jacketcalc.report.figures.style import styled
from jacketcalc.report.figures.tradeoff import Closed, Tradeoff

CASES = Path(__file__).parent / "machines"


@cache
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
        stage="first", pitch=1e-3 * p, turns=120 / p, charge=charge, charge_low=charge - 2,
        charge_high=charge + 2, charge_bare=318.0, change=net, change_low=net - 0.012,
        change_high=net + 0.011, cooling=cooling, resistance=resistance, drawn=1e-3 * drawn,
        plateau=(1e-3 * near[0], 1e-3 * near[-1]), plateau_words="within 0.25 of the best",
        closed=(Closed(low=2e-3, high=7.2e-3, words="channel under 4 mm wide"),),
    )  # fmt: skip
    return replace(data, **changes)


def pitchmap() -> PitchMap:
    """Make up a map over pitch and gap."""
    P, G = np.meshgrid(np.linspace(8.0, 48.0, 16), np.linspace(2.0, 10.0, 9))
    value = 100 * (0.13 * np.exp(-(P - 8) / 60) * (4 / G) ** 0.2 - 0.5 * (24 / P / G) ** 2)
    limits = (
        MapLimit(name="back-pressure above 0.3 bar", excess=-5 - value),
        MapLimit(name="discharge above 150 °C", excess=np.minimum(P - 36, 4 * (G - 7))),
    )
    return PitchMap(
        pitch=1e-3 * P[0], gap=1e-3 * G[:, 0], value=value, limits=limits,
        gaps=(MapGap(name="cannot be built", mask=P < 10),), drawn=(12e-3, 4e-3),
        best=(24e-3, 7e-3), level=0.99 * (100 + value.max()) - 100,
        level_words="within 1 % of the most delivered flow",
        remarks=("Broken by every design: water can condense in a stage.",),
    )  # fmt: skip


def front() -> Front:
    """Make up a front."""
    s = np.linspace(0.0, 1.0, 12)
    return Front(
        flow=1e-3 * (1 + 0.12 * s), discharge=480 + 60 * s**2.2,
        labels=tuple(f"{8 + 3 * i} × 6 mm" for i in range(12)), bare=(0.98e-3, 560.0),
        drawn=(1.05e-3, 505.0), limit=423.15, label_words="pitch × gap",
        other_flow=1e-3 * (1 + 0.12 * s[::2]), other_discharge=495 + 60 * s[::2] ** 2,
    )  # fmt: skip


def shown_texts(fig: Figure) -> list[Text]:
    with styled():
        return seen_texts(fig)


def clashes(fig: Figure) -> list[str]:
    """Return pairs of words that overlap, and words that leave the figure."""
    texts = shown_texts(fig)
    renderer = renderer_of(fig)
    boxes = [t.get_window_extent(renderer) for t in texts]
    wrong = []
    for (a, one), (b, two) in itertools.combinations(zip(texts, boxes, strict=True), 2):
        across = min(one.x1, two.x1) - max(one.x0, two.x0)
        up = min(one.y1, two.y1) - max(one.y0, two.y0)
        if across > 0.5 and up > 0.5:
            wrong.append(f"{a.get_text()!r} on {b.get_text()!r}")
    frame = fig.bbox
    for text, box in zip(texts, boxes, strict=True):
        if box.x0 < 0 or box.y0 < 0 or box.x1 > frame.x1 or box.y1 > frame.y1:
            wrong.append(f"{text.get_text()!r} leaves the figure")
    return wrong


def level_words(figure: Figure) -> str:
    """Return the level words of a figure; those along the passage are read between points."""
    texts = [t for ax in figure.axes for t in ax.texts] + list(figure.texts)
    return "\n".join(t.get_text().replace("\n", " ") for t in texts if t.get_rotation() == 0)
