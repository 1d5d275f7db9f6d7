"""What is known about a correlation, kept as data beside its formula."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from jacketcalc.references import Obtained

Range = tuple[float, float]
ScatterFrom = Literal["read", "from memory", "computed for this project", "judgement", "exact"]
Values = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Correlation:
    """A published or computed correlation."""

    name: str
    """Name used in notes and reports."""
    quantity: str
    """What it gives, with its unit in brackets."""
    source: str
    """Key into `jacketcalc.references.SOURCES`."""
    equation: str
    """The formula, in the source's symbols."""
    obtained: Obtained
    """How it reached this project."""
    variables_range: Mapping[str, Range] = field(default_factory=dict)
    """Stated range of each variable, lowest and highest, each dimensionless or in SI."""
    scatter: Range = (0.0, 0.0)
    """Relative scatter, low and high, such as (-0.15, 0.15) [-]; zero where it is exact."""
    scatter_from: ScatterFrom = "exact"
    """How the scatter reached this project: `judgement` where no source was found for it."""
    remark: str = ""
    """What a reader should know before trusting it."""


def range_notes(name: str, **values: ArrayLike) -> list[str]:
    """Say where values leave a correlation's range.

    Parameters
    ----------
    name : name of a correlation in the catalogue
    values : arrays by the name of the variable, in the record's own units; a variable without
        a stated range is passed over

    Returns
    -------
    One sentence for each variable that leaves its range.

    Raises
    ------
    KeyError
        When no correlation has that name.
    """
    stated = catalogue()[name].variables_range
    notes = (
        _note(name, variable, np.asarray(value, dtype=float), stated[variable])
        for variable, value in values.items()
        if variable in stated
    )
    return [note for note in notes if note]


def catalogue() -> dict[str, Correlation]:
    """Return every correlation by its name."""
    # The records need this module's class, so they are fetched when asked for.
    from jacketcalc.correlations.records import RECORDS

    return {record.name: record for record in RECORDS}


def _note(name: str, variable: str, value: Values, stated: Range) -> str:
    """Return a sentence about one variable, empty when it keeps its range."""
    outside = np.count_nonzero((value < stated[0]) | (value > stated[1]))
    if not outside:
        return ""
    low, high, least, most = map(_plain, (*stated, value.min(), value.max()))
    found = f"is {least}" if least == most else f"runs from {least} to {most}"
    part = f", {outside / value.size:.0%} of its values outside" if value.size > 1 else ""
    return f"{name}: {variable} {found}{part}; stated for {low} to {high}."


def _plain(value: float) -> str:
    """Write a number to four digits without a power of ten."""
    return str(np.format_float_positional(value, precision=4, fractional=False, trim="-"))
