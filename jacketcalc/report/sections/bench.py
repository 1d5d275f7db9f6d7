"""Readings of a bench against the model, where the case holds them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from jacketcalc.assessment.result import Interval
from jacketcalc.core.output_record import DIFFERENCES
from jacketcalc.number_text import fixed, significant
from jacketcalc.readings import DIMENSIONS, Reading
from jacketcalc.report.figures.study_ranking import benefit, benefit_unit
from jacketcalc.report.model import Block, Cell, Heading, Paragraph, Row, Symbol, Table
from jacketcalc.report.traced import Pen, left, minus, right, row
from jacketcalc.report.uncertainty_figures import residuals_picture, unknowns_picture

if TYPE_CHECKING:
    from jacketcalc.uncertainty.reconcile import Compared, Explanation, Reconciliation

_LEAST = 1e-3
"""Probability below which it is not told more closely [-]."""


def bench_blocks(pen: Pen, found: Reconciliation) -> Iterator[Block]:
    """Yield what readings say: residuals, explanations, and the unknowns after them."""
    yield Heading("Readings of the bench")
    yield Paragraph(_answer(pen, found))
    yield _residuals(pen, found)
    picture = residuals_picture(found)
    yield pen.figure(
        picture.draw,
        "Readings less what the model shows, over the standard uncertainty of both together, for "
        "the nominal case and after the fit.",
        picture.alt,
    )
    yield _explanations(pen, found)
    picture = unknowns_picture(found)
    yield pen.figure(
        picture.draw,
        "The unknowns before and after the readings, all fitted together: density, median and "
        "95 % interval.",
        picture.alt,
    )


def _gain(pen: Pen, gain: Interval) -> str:
    unit = benefit_unit(pen.case)
    low, value, high = (
        fixed(benefit(v, pen.case), 1, sign=True) for v in (gain.low, gain.value, gain.high)
    )
    return minus(f"{value} {unit} ({low} to {high})")


def _answer(pen: Pen, found: Reconciliation) -> str:
    nominal = (
        f"The nominal case, with its unknowns as uncertain as stated: {_gain(pen, found.nominal)}."
    )
    if found.unexplained:
        return (
            f"No parameters explain the readings (p = {_p(found.joint.p_value)}): see whether a "
            f"reading, its uncertainty or its state is wrong. {nominal}"
        )
    words = (
        f"After the readings, all unknowns fitted together: {found.joint.answer.upper()}, "
        f"{_gain(pen, found.joint.gain)}. {nominal}"
    )
    answers = {found.joint.answer, *(one.answer for one in found.single if one.explains)}
    if len(answers) > 1:
        told = " or ".join(sorted(answer.upper() for answer in answers))
        words += f" The readings do not settle it: explanations that fit give {told}."
    return words


def _p(value: float) -> str:
    return "below 0.001" if value < _LEAST else significant(value, 2)


def _residuals(pen: Pen, found: Reconciliation) -> Table:
    rows = [_reading(pen, one) for one in found.compared]
    columns = (
        left("Reading", 2.4),
        left("Unit", 0),
        right("Read"),
        right(("Its ", Symbol("u"))),
        right("Nominal case"),
        right("After the fit"),
        right("Residual"),
    )
    return pen.table(
        "residuals", "Readings and what the model shows", columns, rows,
        "Residual: reading less what the nominal case shows, over the joint standard uncertainty "
        "of both; beyond ±2 they do not agree.",
    )  # fmt: skip


def _reading(pen: Pen, one: Compared) -> Row:
    reading = one.reading
    dimension = DIMENSIONS[reading.kind]
    values = (reading.value, one.predicted, one.fitted)
    read, nominal, fitted = pen.cells(values, dimension, 4, ("", "", ""))
    return row(reading.name, pen.unit(dimension), read, _spread(pen, reading, dimension, read),
               nominal, fitted, _number(one.residual, 1, sign=True))  # fmt: skip


def _spread(pen: Pen, reading: Reading, dimension: str, read: Cell) -> Cell:
    """Return a reading's standard uncertainty with a decimal more than the reading."""
    assert isinstance(read.text, str)
    decimals = len(read.text.partition(".")[2]) + 1
    apart = DIFFERENCES.get(dimension, dimension)
    return pen.cell(reading.standard_uncertainty, apart, decimals, "")


def _number(value: float, decimals: int, *, sign: bool = False) -> Cell:
    text = minus(fixed(value, decimals, sign=sign))
    return Cell(text=text, number=round(value, decimals) + 0.0, full=value)


def _explanations(pen: Pen, found: Reconciliation) -> Table:
    rows = [_explanation(pen, one) for one in found.single]
    joint = _explanation(pen, found.joint)
    rows.append(Row(cells=joint.cells, total=True))
    columns = (
        left("What is fitted", 1.3),
        right("Factor or value, 95 %"),
        right((Symbol("χ"), "²")),
        right((Symbol("p"), "-value")),
        left("Explains", 0),
        left("Then", 1.6),
    )
    note = (
        f"Chi-square of the nominal case: {fixed(found.chi_square, 1)}, of "
        f"{len(found.compared)} readings. An explanation whose p-value is below 0.05 is refused. "
        "Departures from the priors count in chi-square."
    )
    return pen.table("explanations", "One unknown alone, and all together", columns, rows, note)


def _explanation(pen: Pen, one: Explanation) -> Row:
    single = one.values[0] if len(one.values) == 1 else None
    value = "figure below"
    if single is not None:
        low, middle, high = (fixed(v, 2) for v in (single.low, single.value, single.high))
        value = minus(f"{middle} ({low} to {high})")
    p = one.p_value
    chance = Cell(text="< 0.001", number=0.0, full=p) if p < _LEAST else _number(p, 3)
    then = f"{one.answer}, {_gain(pen, one.gain)}" if one.explains else "–"
    return row(one.name, value, _number(one.chi_square, 1), chance,
               "yes" if one.explains else "no", then)  # fmt: skip
