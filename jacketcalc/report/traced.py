"""Turns numbers of a result into cells, each with the place it has in the JSON result."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from matplotlib.figure import Figure as Drawing

from jacketcalc.assessment.range_use import RangeUse
from jacketcalc.assessment.result import Assessment
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Outputs
from jacketcalc.inputs import Case
from jacketcalc.number_text import MISSING, decimals_for, fixed, percent, raised, true_minus
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.model import Cell, Column, Equation, Figure, Row, Symbol, Table, Text
from jacketcalc.show.page import Page
from jacketcalc.unit_display import (
    display_unit,
    find_display,
    format_quantity,
    split_quantity,
    to_display,
    typeset_unit,
)

_POWER = re.compile(r"e([+-]\d+)$")
_IN_PROSE = re.compile(r"(?<=\d) (deg[CF]\b|[KR]\b|(?:bar|psi)\(a\))")
_FINER = {"um": 1e3, "ms": 1e3}
"""Units that small lengths and times are stated in, over their usual ones [-]."""
_PRINTED = {"degC": "°C", "degF": "°F", "bar(a)": "bar absolute", "psi(a)": "psi absolute"}
"""Units of a result's sentences that print spells otherwise."""


def minus(text: str) -> str:
    """Return printed numbers with true minus signs, kept together with a percent sign."""
    return re.sub(r"(?<=\d) %", "\u00a0%", true_minus(text))


@dataclass(frozen=True)
class Pen:
    """Writes numbers in the case's units and counts tables, figures and equations."""

    found: Assessment
    outputs: Outputs = OUTPUTS
    """Results of a machine that are told."""
    ranges: tuple[RangeUse, ...] = ()
    """Where each correlation stood in its range."""
    _tables: Iterator[int] = field(default_factory=lambda: itertools.count(1))
    _figures: Iterator[int] = field(default_factory=lambda: itertools.count(1))
    _equations: Iterator[int] = field(default_factory=lambda: itertools.count(1))

    @property
    def case(self) -> Case:
        """The case."""
        return self.found.case

    @property
    def runs(self) -> bool:
        """Whether both machines run."""
        return not (self.found.bare.stalled or self.found.jacketed.stalled)

    @property
    def delivers(self) -> bool:
        """Whether both machines deliver."""
        return self.found.delivers

    @property
    def page(self) -> Page:
        """Units as tables spell them."""
        return Page(system=self.case.document.units)

    @property
    def shown(self) -> Shown:
        """Units as figures spell them."""
        return Shown(self.case.document.units)

    def unit(self, dimension: str) -> str:
        """Return the unit of a dimension as tables spell it."""
        return typeset_unit(display_unit(dimension, self.page.system), paper=True)

    def per(self, dimension: str) -> str:
        """Return a unit as heads have it behind a stroke, in brackets where it has one itself."""
        unit = self.unit(dimension)
        return f"({unit})" if "/" in unit else unit

    def display(self, value: float, dimension: str) -> float:
        """Return a number in the unit shown."""
        return to_display(value, dimension, self.page.system)

    def cell(
        self, value: float | None, dimension: str, decimals: int, path: str, *, sign: bool = False
    ) -> Cell:
        """Return a number's cell."""
        if value is None:
            return Cell(text="–")
        shown = self.display(value, dimension)
        text = minus(fixed(shown, decimals, sign=sign))
        number = round(shown, decimals) + 0.0
        return Cell(text=text, number=number, path=path, value=value, full=shown)

    def cells(
        self, values: Sequence[float | None], dimension: str, digits: int, paths: Sequence[str]
    ) -> list[Cell]:
        """Return the cells of numbers that share their decimals."""
        shown = [None if v is None else self.display(v, dimension) for v in values]
        decimals = 1 if dimension == "temperature" else decimals_for(shown, digits)
        pairs = zip(values, paths, strict=True)
        return [self.cell(v, dimension, decimals, path) for v, path in pairs]

    def percent(self, value: float | None, path: str, decimals: int = 1) -> Cell:
        """Return a relative change's cell."""
        text = percent(value, decimals)
        if value is None or text == MISSING:
            return Cell(text="–")
        number = round(100 * value, decimals) + 0.0
        return Cell(text=minus(text), number=number, path=path, value=value, full=100 * value)

    def words(self, value: float, dimension: str, decimals: int, *, sign: bool = False) -> str:
        """Return a number with its unit for a sentence."""
        shown = minus(fixed(self.display(value, dimension), decimals, sign=sign))
        return f"{shown}\u00a0{self.unit(dimension)}".rstrip("\u00a0")

    def quantity(self, value: float, dimension: str, digits: int = 6) -> str:
        """Return a number of the case with its unit, without idle zeros."""
        return self.spell(format_quantity(value, dimension, self.page.system, digits))

    def stated(self, value: float, dimension: str, digits: int, path: str) -> tuple[Cell, str]:
        """Return the cell of a number of the case, and the unit of that very number."""
        number, unit = split_quantity(value, dimension, self.page.system, digits)
        text, _, spelt = self.spell(f"{number} {unit}".rstrip()).partition("\u00a0")
        shown = self._in_unit(value, dimension, unit)
        return Cell(text=text, number=float(number), path=path, value=value, full=shown), spelt

    def _in_unit(self, value: float, dimension: str, unit: str) -> float:
        """Return a number in the unit it is stated in, which is finer for what is small."""
        shown = self.display(value, dimension)
        coarse = find_display(dimension, self.page.system).symbol
        return shown if unit == coarse else shown * _FINER[unit]

    def spell(self, text: str) -> str:
        """Return a quantity with its unit as print has it."""
        number, space, unit = text.partition(" ")
        number = _POWER.sub(lambda found: f"\u202f×\u202f10{raised(int(found[1]))}", number)
        unit = typeset_unit(unit, paper=True).replace(" ", "\u00a0")
        return minus(number) + (f"\u00a0{unit}" if space else "")

    def prose(self, text: str) -> str:
        """Return a sentence of the result as print has it; it speaks the case's units already."""
        return minus(_IN_PROSE.sub(lambda f: f"\u00a0{_PRINTED.get(f[1], f[1])}", text))

    def table(
        self,
        name: str,
        caption: Text,
        columns: Sequence[Column],
        rows: Sequence[Row],
        note: Text = "",
    ) -> Table:
        """Return the next table."""
        return Table(number=next(self._tables), name=name, caption=caption,
                     columns=tuple(columns), rows=tuple(rows), note=note)  # fmt: skip

    def figure(
        self, draw: Callable[[], Drawing], caption: Text, alt: str, *, to_scale: bool = False
    ) -> Figure:
        """Return the next figure; one that is drawn to a scale keeps its size on a page."""
        number = next(self._figures)
        return Figure(number=number, caption=caption, alt=alt, draw=draw, to_scale=to_scale)

    def equation(self, typst: str, spoken: str) -> Equation:
        """Return the next equation."""
        return Equation(number=next(self._equations), typst=typst, spoken=spoken)


def words(*texts: Text, strong: bool = False) -> list[Cell]:
    """Return cells of words."""
    return [Cell(text=text, strong=strong) for text in texts]


def row(*cells: Cell | Text, total: bool = False) -> Row:
    """Return a row of cells and words."""
    return Row(cells=tuple(c if isinstance(c, Cell) else Cell(text=c) for c in cells), total=total)


def group(text: Text) -> Row:
    """Return a head across a table."""
    return Row(cells=(Cell(text=text, strong=True),), group=True)


def left(head: Text, width: float = 1.0) -> Column:
    """Return a column of words."""
    return Column(head=head, width=width)


def right(head: Text, width: float = 0.0) -> Column:
    """Return a column of numbers."""
    return Column(head=head, right=True, width=width)


T, Q, W, P = Symbol("T"), Symbol("Q̇"), Symbol("W"), Symbol("p")
"""Symbols used in heads."""
