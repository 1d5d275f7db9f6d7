"""Figures of studies, as PNG and SVG by the endings of their file names."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from matplotlib.figure import Figure

from jacketcalc.components.designs import Array
from jacketcalc.report.figures.front import Front, draw_front
from jacketcalc.report.figures.pitchmap import MapLimit, PitchMap, draw_pitchmap
from jacketcalc.report.figures.shown import Shown
from jacketcalc.report.figures.style import png_bytes, svg_bytes
from jacketcalc.report.figures.tradeoff import Tradeoff, draw_tradeoff
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.choice import choose_all, span
from jacketcalc.studies.columns import fed
from jacketcalc.studies.optimise import Optimum
from jacketcalc.studies.table import Row, Table
from jacketcalc.unit_display import format_quantity

Make = Callable[[], bytes]
_FLOW, _CHANGE = "delivered_mass_flow", "change.delivered_mass_flow"


def study_figures(table: Table) -> dict[str, Make]:
    """Return the figures a study has: trade-offs over pitch, or a map of pitch and gap."""
    kinds = [axis.path.rpartition("jacket.")[2] for axis in table.axes]
    if not any(row.state == "solved" for row in table.rows):
        return {}
    if kinds == ["pitch"]:
        stages = [s.name for s in table.case.machine.stages if fed(table.case.machine, s)]
        return _forms({f"-{name}": _drawn(draw_tradeoff, tradeoff(table, name)) for name in stages})
    if sorted(kinds) == ["gap", "pitch"]:
        return _forms({"-map": _drawn(draw_pitchmap, pitch_map(table))})
    return {}


def optimum_figures(optimum: Optimum) -> dict[str, Make]:
    """Return the front of a search."""
    return _forms({"-front": _drawn(draw_front, front(optimum))}) if optimum.front else {}


def _drawn(draw: Callable[..., Figure], data: object) -> Callable[[], Figure]:
    return lambda: draw(data)


def _forms(figures: dict[str, Callable[[], Figure]]) -> dict[str, Make]:
    forms: dict[str, Make] = {}
    for name, draw in figures.items():
        forms[f"{name}.png"] = lambda draw=draw: png_bytes(draw())  # type: ignore[misc]
        forms[f"{name}.svg"] = lambda draw=draw: svg_bytes(draw())  # type: ignore[misc]
    return forms


def _shown(table: Table) -> Shown:
    return Shown(system=table.case.document.units)


def _order(axis: Axis) -> list[int]:
    return sorted(range(len(axis.values)), key=lambda i: axis.values[i])


def _series(rows: Sequence[Row], column: str, end: int | None = None) -> Array:
    """Return a column of rows, or an end of its band; NaN shows as a gap in a figure."""
    found = []
    for row in rows:
        ends = row.spread(column)
        value = row.numbers.get(column) if end is None else None if ends is None else ends[end]
        found.append(np.nan if value is None or row.state != "solved" else value)
    return np.array(found)


def tradeoff(table: Table, stage: str) -> Tradeoff:
    """Return the data of the trade-off over pitch for one stage's charge."""
    rows = [table.rows[i] for i in _order(table.axes[0])]
    # Points that cannot be built stand at an end and are shown as a grey range.
    solved = [row for row in rows if row.state != "impossible"]
    charge = f"charge_temperature.{stage}"
    choice = next(c for c in choose_all(table) if c.aim.column == _FLOW)
    low, high = span(choice, table.shape, 0)
    ends = sorted((table.axes[0].values[low], table.axes[0].values[high]))
    bare = table.bare[0].get(charge, np.nan) if table.bare else np.nan
    return Tradeoff(
        stage=stage,
        pitch=np.array([row.values[0] for row in solved]),
        turns=_series(solved, f"turns.{stage}"),
        charge=_series(solved, charge),
        charge_low=_series(solved, charge, 0),
        charge_high=_series(solved, charge, 1),
        charge_bare=float(bare),
        change=_series(solved, _CHANGE),
        change_low=_series(solved, _CHANGE, 0),
        change_high=_series(solved, _CHANGE, 1),
        drawn=_drawn_value(table, 0),
        plateau=(ends[0], ends[1]) if len(choice.plateau) > 1 else None,
        plateau_words="as good as the best",
        still_rising=choice.verdict == "still rising",
        forbidden=_forbidden(rows),
        forbidden_words="cannot be built",
        band_words="band of the model",
        shown=_shown(table),
    )


def _drawn_value(table: Table, axis: int) -> float | None:
    """Return what the case itself has, where it lies within the range and is one value."""
    path = table.axes[axis].path.split(".")
    machine = table.case.machine
    names = [path[1]] if path[0] == "stage" else [s.name for s in machine.stages]
    found = {getattr(s.jacket, path[-1]) for s in machine.stages if s.jacket and s.name in names}
    value = found.pop() if len(found) == 1 else None
    values = table.axes[axis].values
    inside = value is not None and min(values) <= value <= max(values)
    return float(value) if inside and value is not None else None


def _forbidden(rows: Sequence[Row]) -> tuple[float, float] | None:
    """Return the range below the first point that can be built."""
    first = next(i for i, row in enumerate(rows) if row.state != "impossible")
    return (0.0, rows[first - 1].values[0]) if first else None


def pitch_map(table: Table) -> PitchMap:
    """Return the data of the map of delivered flow over pitch and gap."""
    kinds = [axis.path.rpartition(".")[2] for axis in table.axes]
    across, up = kinds.index("pitch"), kinds.index("gap")
    columns, rows = _order(table.axes[across]), _order(table.axes[up])

    def arranged(values: Sequence[float]) -> Array:
        flat = np.reshape(np.array(values, dtype=float), table.shape)
        return np.asarray((flat.T if across == 0 else flat)[np.ix_(rows, columns)])

    choice = next(c for c in choose_all(table) if c.aim.column == _FLOW)
    best = None if choice.best is None else table.rows[choice.best].values
    drawn = _drawn_value(table, across), _drawn_value(table, up)
    runs = sum(row.state in ("solved", "stalled") for row in table.rows)
    limits = [(name, arranged(mask) > 0.5) for name, mask in _limits(table)]
    # A limit that every design breaks says nothing about where to be: the text names it.
    told = [(name, mask) for name, mask in limits if 0 < mask.sum() < runs]
    return PitchMap(
        pitch=np.array(table.axes[across].values)[columns],
        gap=np.array(table.axes[up].values)[rows],
        value=100.0 * arranged(list(_series(table.rows, _CHANGE))),
        limits=tuple(MapLimit(name=name, broken=mask) for name, mask in told),
        impossible=arranged([row.state == "impossible" for row in table.rows]) > 0.5,
        drawn=None if drawn[0] is None or drawn[1] is None else (drawn[0], drawn[1]),
        best=None if best is None else (best[across], best[up]),
        shown=_shown(table),
    )


def _limits(table: Table) -> list[tuple[str, list[float]]]:
    """Return the machine's limits and where each is broken."""
    limit = table.case.judgement.discharge_limit
    text = format_quantity(limit, "temperature", table.case.document.units).replace("deg", "°")
    hot = _series(table.rows, "hottest_discharge") > limit
    frost = _series(table.rows, "frost_margin") < 0.0
    stalled = [row.state == "stalled" for row in table.rows]
    return [
        (f"discharge above {text}", [float(v) for v in hot]),
        ("passage walls below the frost point", [float(v) for v in frost]),
        ("machine stalls", [float(v) for v in stalled]),
    ]


def front(optimum: Optimum) -> Front:
    """Return the data of the front of compromises."""
    trials = sorted(optimum.front, key=lambda t: t.numbers[_FLOW])
    bare = optimum.scan.bare[0] if optimum.scan.bare else {}
    both = (_FLOW, "hottest_discharge")
    return Front(
        flow=np.array([t.numbers[_FLOW] for t in trials]),
        discharge=np.array([t.numbers["hottest_discharge"] for t in trials]),
        labels=tuple(" x ".join(t.texts) for t in trials),
        bare=(bare[both[0]], bare[both[1]]) if all(name in bare for name in both) else None,
        limit=optimum.limits.discharge,
        shown=_shown(optimum.scan),
    )
