"""The data sheet of the jackets: sizes, flow, heat and resistance of each passage."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

from jacketcalc.core.outcome import JacketOutcome
from jacketcalc.geometry import HelixSizes, barrel_outside, helix_sizes, mean_diameter
from jacketcalc.inputs import Jacket, Stage
from jacketcalc.number_text import decimals_for, fixed
from jacketcalc.report.model import Cell, Column, Row, Symbol, Table, Text
from jacketcalc.report.traced import Pen, group, left, minus, right, row


class _Sheet(NamedTuple):
    """A jacket that an exhaust port feeds."""

    place: int
    stage: Stage
    jacket: Jacket
    sizes: HelixSizes
    outcome: JacketOutcome


_Size = tuple[Text, str, int, Callable[[_Sheet], float]]
_Field = tuple[Text, str, int, str]


def _barrel_area(sheet: _Sheet) -> float:
    """Return the barrel's outside between the ribs [m2]."""
    wide = sheet.jacket.starts * sheet.sizes.clear_width * sheet.sizes.path_length
    return wide * barrel_outside(sheet.stage) / mean_diameter(sheet.stage, sheet.jacket)


def _dean(sheet: _Sheet) -> float:
    ratio = sheet.sizes.hydraulic_diameter / sheet.sizes.curvature_diameter
    return sheet.outcome.reynolds_mean * math.sqrt(ratio)


_SIZES: tuple[_Size, ...] = (
    ("turns of each start", "number", 3, lambda s: s.sizes.turns),
    ("clear width of the channel", "length", 3, lambda s: s.sizes.clear_width),
    ("flow area, all starts", "area", 3, lambda s: s.sizes.flow_area),
    (("hydraulic diameter, ", Symbol("D", "h")), "length", 3,
     lambda s: s.sizes.hydraulic_diameter),
    (("diameter of curvature, ", Symbol("D", "c")), "length", 3,
     lambda s: s.sizes.curvature_diameter),
    ("length of the path at mid-depth", "length", 4, lambda s: s.sizes.path_length),
    ("barrel area that the air touches", "area", 4, _barrel_area),
    ("air in the channel", "volume", 3, lambda s: s.sizes.volume),
)  # fmt: skip
_FLOW: tuple[_Field, ...] = (
    (("Reynolds number, mean, ", Symbol("Re")), "number", 3, "reynolds_mean"),
    (("Reynolds number, peak, ", Symbol("Re")), "number", 3, "reynolds_peak"),
    ("velocity, peak", "velocity", 3, "velocity_peak"),
    ("Mach number, peak", "number", 2, "mach_peak"),
    ("leak over the rib tips, share of the flow", "percent", 2, "leak_share"),
    ("transit time over pulse length", "percent", 2, "transit_share"),
)
_HEAT: tuple[_Field, ...] = (
    (("heat transfer coefficient, ", Symbol("α")), "heat transfer coefficient", 3, "coefficient"),
    ("heat taken from the barrel", "power", 3, "heat"),
    ("of it while the air rests", "power", 2, "rest_heat"),
    ("air at the inlet", "temperature", 3, "inlet_temperature"),
    ("air at the outlet", "temperature", 3, "outlet_temperature"),
    ("coldest wall of the passage", "temperature", 3, "coldest_wall"),
)
_RESISTANCE: tuple[_Field, ...] = (
    ("back-pressure, mean", "pressure difference", 3, "back_pressure_mean"),
    ("back-pressure, peak", "pressure difference", 3, "back_pressure_peak"),
    (("sonic conductance, ", Symbol("C")), "conductance", 3, "sonic_conductance"),
    (("critical back-pressure ratio, ", Symbol("b")), "ratio", 2, "critical_back_pressure_ratio"),
)


def jacket_sheet(pen: Pen) -> Table:
    """Return the data sheet: a column for each jacket that an exhaust port feeds."""
    sheets = [
        _Sheet(i, stage, stage.jacket, helix_sizes(stage, stage.jacket), outcome.jacket)
        for i, (stage, outcome) in enumerate(
            zip(pen.case.machine.stages, pen.found.jacketed.stages, strict=True)
        )
        if stage.jacket is not None and outcome.jacket is not None
    ]
    rows: list[Row] = [group("Sizes")]
    rows += [_size(pen, sheets, size) for size in _SIZES]
    rows += [group("Flow"), *(_field(pen, sheets, field) for field in _FLOW)]
    rows.append(_size(pen, sheets, (("Dean number, mean, ", Symbol("De")), "number", 3, _dean)))
    rows += [group("Heat"), *(_field(pen, sheets, field) for field in _HEAT)]
    rows += [group("Resistance of the whole passage, tube and outlet included")]
    rows += [_field(pen, sheets, field) for field in _RESISTANCE]
    rows.append(row("flow chokes at", "", *((s.outcome.chokes or "no place") for s in sheets)))
    columns: list[Column] = [left("Quantity", 3), left("Unit", 0)]
    columns += [right(f"Jacket of {s.stage.name}", 1.0) for s in sheets]
    note = "Reynolds number, coefficient and leak are means weighted with the mass that flows."
    return pen.table("jacket data sheet", "Data sheet of the jackets", columns, rows, note)


def _size(pen: Pen, sheets: Sequence[_Sheet], size: _Size) -> Row:
    """Return a row of sizes, which follow from the case."""
    label, dimension, digits, read = size
    shown = [pen.display(read(sheet), dimension) for sheet in sheets]
    decimals = decimals_for(shown, digits)
    cells = [Cell(text=minus(fixed(v, decimals)), number=round(v, decimals), full=v) for v in shown]
    return row(label, pen.unit(dimension), *cells)


def _field(pen: Pen, sheets: Sequence[_Sheet], field: _Field) -> Row:
    """Return a row of results."""
    label, dimension, digits, name = field
    values = [float(getattr(sheet.outcome, name)) for sheet in sheets]
    paths = [f"detail.jacketed.stages[{sheet.place}].jacket.{name}" for sheet in sheets]
    return row(label, pen.unit(dimension), *pen.cells(values, dimension, digits, paths))
