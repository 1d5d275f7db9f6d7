"""The table of the uncertain inputs: estimate, standard uncertainty, distribution, origin."""

from __future__ import annotations

from jacketcalc.core.output_record import DIFFERENCES
from jacketcalc.report.model import Cell, Row, Symbol, Table
from jacketcalc.report.traced import Pen, group, left, right, row
from jacketcalc.statistics.within import Within, family
from jacketcalc.uncertainty.result import UncertaintyStudy
from jacketcalc.uncertainty.uncertain import UncertainInput

LAWS = {
    "Rectangular": "rectangular",
    "Triangular": "triangular",
    "Normal": "normal",
    "TruncatedNormal": "normal, cut off",
    "LogNormalFactor": "log-normal",
    "LogRectangular": "log-rectangular",
}
"""Words for a distribution's class."""


def inputs_table(pen: Pen, study: UncertaintyStudy) -> Table:
    """Return the table of every uncertain input, under a head for each table of the case."""
    places = {given.path: i for i, given in enumerate(pen.case.given)}
    rows: list[Row] = []
    head = ""
    # A table of the case may come back among the inputs: its rows stand together.
    tables = list(dict.fromkeys(one.path.rpartition(".")[0] for one in study.inputs))
    for one in sorted(study.inputs, key=lambda i: tables.index(i.path.rpartition(".")[0])):
        table, _, key = one.path.rpartition(".")
        if table != head:
            rows.append(group(table.replace("_", " ").replace(".", ", ")))
            head = table
        rows.append(_input(pen, key, one, places.get(one.path)))
    columns = (
        left(("Input ", Symbol("X", "i")), 1.3),
        right(("Estimate ", Symbol("x", "i"))),
        left("Unit", 0),
        right((Symbol("u"), "(", Symbol("x", "i"), ")")),
        right("95 % interval"),
        left("Distribution", 0.9),
        left("Origin", 1.6),
    )
    return pen.table(
        "uncertain inputs",
        "Uncertain inputs and their distributions",
        columns,
        rows,
        (
            "Words and symbols of JCGM 100 and JCGM 101. ", Symbol("u"), "(", Symbol("x", "i"),
            "): standard uncertainty. A tolerance of plus or minus a is a rectangular "
            "distribution, ", Symbol("u"), " = a/√3; a factor on a law is log-normal. Where "
            "the case states nothing, the spread is that of the kind of source. Inputs are "
            "independent of one another.",
        ),
    )  # fmt: skip


def _input(pen: Pen, key: str, one: UncertainInput, place: int | None) -> Row:
    path = "" if place is None else f"detail.inputs[{place}].value"
    value, unit = pen.stated(one.nominal, one.dimension, 4, path)
    apart = DIFFERENCES.get(one.dimension, one.dimension)
    low, high = (pen.quantity(v, one.dimension, 4) for v in one.ends)
    number, _, same = low.partition("\u00a0")
    if same == high.partition("\u00a0")[2]:
        low = number
    law = family(one.distribution)
    cut = ", cut off" if isinstance(one.distribution, Within) else ""
    spread = pen.quantity(one.distribution.standard_uncertainty, apart, 2)
    return row(
        key.replace("_", " "), value, unit, Cell(text=spread), f"{low} to {high}",
        LAWS.get(law, law) + cut, one.origin,
    )  # fmt: skip
