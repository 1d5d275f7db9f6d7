"""From a study of pitch and gap to its map."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.pitchmap_data import MapGap, MapLimit, PitchMap
from jacketcalc.report.figures.study_tradeoff import (
    CHANGE,
    FLOW,
    STATES,
    inside,
    series,
    varied_stage,
)
from jacketcalc.show.limit_text import bounds_of, describe_bound
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.choice import choose_all
from jacketcalc.studies.drawn import drawn_spots
from jacketcalc.studies.optimum import LEVEL
from jacketcalc.studies.study_table import StudyTable


def pitch_map(table: StudyTable) -> PitchMap:
    """Return the data of the map of delivered flow over pitch and gap."""
    kinds = [axis.path.rpartition(".")[2] for axis in table.axes]
    across, up = kinds.index("pitch"), kinds.index("gap")
    order = [_order(table.axes[up]), _order(table.axes[across])]

    def arranged(values: Sequence[float | None]) -> Array:
        flat = np.reshape(np.array(values, dtype=float), table.shape)
        return np.asarray((flat.T if across == 0 else flat)[np.ix_(*order)])

    choice = next(c for c in choose_all(table) if c.aim.column == FLOW)
    best = None if choice.best is None else table.rows[choice.best].values
    spots = drawn_spots(table.drawn_case, table.axes)
    drawn = {
        spot.part: (spot.values[across], spot.values[up])
        for spot in spots
        if all(inside(v, axis) for v, axis in zip(spot.values, table.axes, strict=True))
    }
    gaps = {state: [row.state == state for row in table.rows] for state in STATES}
    value = arranged(list(100.0 * series(table.rows, CHANGE)))
    limits, remarks = _limits(table)
    if choice.rising:
        ends = " and ".join(table.axes[axis].path.rpartition(".")[2] for axis in choice.rising)
        remarks.insert(0, f"Still rising: the best is at the end of the range of {ends}.")
    if len(drawn) < len(spots):
        remarks.append("The drawn machine lies outside this map, or a jacket of it does.")
    return PitchMap(
        pitch=np.array(table.axes[across].values)[order[1]],
        gap=np.array(table.axes[up].values)[order[0]],
        value=value,
        title=r"Delivered air, change from no jackets,  $\Delta q_m/q_{m,0}$ / %",
        plain_title="Delivered air, change from no jackets, in percent",
        limits=tuple(MapLimit(name=n, excess=arranged(e)) for n, e in limits),
        gaps=tuple(
            MapGap(name=STATES[s], mask=arranged(m) > 0.5) for s, m in gaps.items() if any(m)
        ),
        remarks=tuple(remarks),
        level=_level(value),
        level_words=f"within {100 * LEVEL:.0f} % of the highest delivery",
        drawn=drawn.get(""),  # type: ignore[arg-type]  # both inside
        drawn_parts=tuple((p, at) for p, at in drawn.items() if p),  # type: ignore[misc]
        best=None if best is None else (best[across], best[up]),
        pitch_of=_whose(table.axes[across]),
        gap_of=_whose(table.axes[up]),
        shown=Shown(system=table.case.document.units),
    )


def _order(axis: Axis) -> list[int]:
    return sorted(range(len(axis.values)), key=lambda i: axis.values[i])


def _whose(axis: Axis) -> str:
    stage = varied_stage(axis.path)
    return f"stage {stage}" if stage else ""


def _level(value: Array) -> float | None:
    """Return the change that a design nearly as good as the best has, in percent."""
    if not np.isfinite(value).any():
        return None
    level = (1.0 - LEVEL) * (100.0 + float(np.nanmax(value))) - 100.0
    return level if float(np.nanmin(value)) < level else None


def _limits(table: StudyTable) -> tuple[list[tuple[str, list[float | None]]], list[str]]:
    """Return limits that some designs break, and sentences about those all break or all keep."""
    some: list[tuple[str, list[float | None]]] = []
    words: dict[str, list[str]] = {"broken by every design": [], "broken by none": []}
    for bound, found in bounds_of(table):
        known = [excess > 0.0 for excess in found if excess is not None]
        name = describe_bound(bound, table.case.document.units)
        name = re.sub(r"-(?=\d)", "−", name.replace("deg", "°"))
        if not known:
            continue
        if any(known) and not all(known):
            some.append((name, found))
        else:
            words["broken by every design" if all(known) else "broken by none"].append(name)
    return some, [f"{k[0].upper()}{k[1:]}: {'; '.join(v)}." for k, v in words.items() if v]
