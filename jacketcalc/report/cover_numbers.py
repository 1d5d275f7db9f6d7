"""The table of the first page: the few numbers that carry the answer."""

from __future__ import annotations

from collections.abc import Callable

from jacketcalc.core.outcome import Outcome
from jacketcalc.core.output_record import relative
from jacketcalc.gas.stage_gas import reference_density
from jacketcalc.number_text import percent
from jacketcalc.report.model import Cell, Row, Table
from jacketcalc.report.traced import Pen, left, minus, right, row
from jacketcalc.units import FOOT

ANR_DENSITY = 1.185
"""Density of air at 20 °C, 1 bar and 65 % humidity [kg/m3], ISO 8778."""
_VOLUMES = {"SI": (60_000.0, "L/min (ANR)"), "inch-pound": (60.0 / FOOT**3, "ft³/min (ANR)")}
"""Units of a volume flow in a cubic metre a second [-], and their spelling."""

_Read = Callable[[Outcome], float]


def numbers_table(pen: Pen) -> Table:
    """Return delivery, air consumption, temperature and rate of both machines."""
    rows = [_flow(pen), _anr(pen), _air(pen), _discharge(pen), _rate(pen)]
    columns = (
        left("Quantity", 2.4),
        left("Unit", 0),
        right("No jackets"),
        right("With jackets"),
        right("Change"),
        right("Model range of the change"),
    )
    gas = pen.case.machine.gas.name
    if gas != "air":
        note = (
            f"ANR: for {gas} its own volume, dry, at the 20 °C and 1 bar of ISO 8778, "
            f"{_density(pen):.4g} kg/m³."
        )
    elif pen.page.system == "SI":
        note = (
            "ANR: reference atmosphere of ISO 8778, 20 °C, 1 bar, 65 % humidity; dry mass over "
            f"{ANR_DENSITY:g} kg/m³."
        )
    else:
        note = f"ANR: reference atmosphere of ISO 8778, {ANR_DENSITY:g} kg/m³."
    return Table(number=0, name="summary", caption="Main numbers", columns=columns,
                 rows=tuple(rows), note=note)  # fmt: skip


def _density(pen: Pen) -> float:
    """Return the density that a litre (ANR) of what is delivered counts with [kg/m3]."""
    gas = pen.case.machine.gas.name
    return ANR_DENSITY if gas == "air" else reference_density(gas)


def _flow(pen: Pen) -> Row:
    return _relative(pen, "delivery", "hourly mass flow", 4, "delivered_mass_flow")


def _air(pen: Pen) -> Row:
    return _relative(pen, "specific air consumption", "share", 4, "specific_air_consumption")


def _rate(pen: Pen) -> Row:
    return _relative(pen, "cycle rate", "rate", 4, "cycle_rate")


def _anr(pen: Pen) -> Row:
    """Return delivery as a volume of reference air, its mass over a density."""
    size, unit = _VOLUMES[pen.page.system]
    density = _density(pen)
    cells = []
    for name, outcome in zip(("bare", "jacketed"), _both(pen), strict=True):
        flow = outcome.delivered_mass_flow
        volume = flow / density * size
        cells.append(
            Cell(text=f"{volume:.2f}", number=round(volume, 2), full=volume, value=flow,
                 path=f"detail.{name}.delivered_mass_flow")
            if outcome.delivers
            else Cell(text="–")
        )  # fmt: skip
    return row("delivery", unit, *cells, *_changes(pen, "delivered_mass_flow"))


def _relative(pen: Pen, label: str, dimension: str, digits: int, field: str) -> Row:
    """Return a row whose change is relative."""
    values = [None if not _told(o, field) else float(getattr(o, field)) for o in _both(pen)]
    paths = [f"detail.{name}.{field}" for name in ("bare", "jacketed")]
    cells = pen.cells(values, dimension, digits, paths)
    return row(label, pen.unit(dimension), *cells, *_changes(pen, field))


def _told(outcome: Outcome, field: str) -> bool:
    return not outcome.stalled and (field == "cycle_rate" or outcome.delivers)


def _discharge(pen: Pen) -> Row:
    values = [o.hottest_discharge if o.delivers else None for o in _both(pen)]
    paths = [_hottest(o, name) for o, name in zip(_both(pen), ("bare", "jacketed"), strict=True)]
    cells = pen.cells(values, "temperature", 4, paths)
    change: list[Cell | str] = ["–", "–"]
    if pen.delivers:
        span = pen.found.band.discharge_temperature
        moved = pen.words(span.value, "temperature difference", 1, sign=True)
        ends = [pen.words(v, "temperature difference", 1, sign=True) for v in (span.low, span.high)]
        own = pen.display(span.value, "temperature difference")
        cell = Cell(text=moved, number=round(own, 1), full=own, value=span.value,
                    path="band.discharge_temperature.value")  # fmt: skip
        change = [cell, f"{ends[0]} to {ends[1]}"]
    return row("hottest discharge", pen.unit("temperature"), *cells, *change)


def _hottest(outcome: Outcome, name: str) -> str:
    """Return the place of the hottest discharge in the JSON result."""
    stages = [stage.discharge_temperature for stage in outcome.stages]
    at = outcome.hottest_discharge
    return f"detail.{name}.stages[{stages.index(at)}].discharge_temperature"


def _changes(pen: Pen, field: str) -> list[Cell | str]:
    """Return the change of a quantity and its range over the members of the model range."""
    if not pen.delivers:
        return ["–", "–"]
    found = [
        relative(float(getattr(m.jacketed, field)), float(getattr(m.bare, field)))
        for m in pen.found.band.members
    ]
    ends = [minus(percent(v)) for v in (min(found), max(found))]
    value = float(getattr(pen.found.change, field))
    return [pen.percent(value, f"change.{field}"), f"{ends[0]} to {ends[1]}"]


def _both(pen: Pen) -> tuple[Outcome, Outcome]:
    return pen.found.bare, pen.found.jacketed
