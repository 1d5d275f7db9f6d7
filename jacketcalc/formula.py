"""A formula and what is known about it, as one object.

`@formula(...)` puts a record on a function, which is called as before. Coefficients are named once
beside it, and the equation in the record is written with them. Where a library computes the
formula, the record names the library's function.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, Literal, ParamSpec, TypeVar

import numpy as np

from jacketcalc.arrays import Array, Number
from jacketcalc.references import SOURCES, Obtained

Range = tuple[float, float]
ScatterFrom = Literal["read", "from memory", "computed for this project", "judgement", "exact"]
P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, kw_only=True)
class Correlation:
    """What is known about a published or computed correlation."""

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
    tested_with: str = "air"
    """Gases that it was measured or computed with."""
    library: str = ""
    """Function of `ht` or `fluids` that computes it; empty where this package does."""


class Formula(Generic[P, R]):
    """A function of numbers with the record of what is known about it."""

    def __init__(self, function: Callable[P, R], record: Correlation) -> None:
        functools.update_wrapper(self, function)
        self.function = function
        self.record = record

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R:
        """Return the formula's value."""
        return self.function(*args, **kwargs)

    def __repr__(self) -> str:
        return f"<formula {self.record.name!r}>"


def formula(
    *,
    name: str,
    quantity: str,
    source: str,
    equation: str,
    ranges: Mapping[str, Range] | None = None,
    scatter: Range = (0.0, 0.0),
    scatter_from: ScatterFrom = "exact",
    remark: str = "",
    tested_with: str = "air",
    library: Callable[..., Any] | None = None,
) -> Callable[[Callable[P, R]], Formula[P, R]]:
    """Put a record on a function.

    Parameters
    ----------
    name, quantity, source, equation, scatter, scatter_from, remark, tested_with : fields of the
        record, in SI
    ranges : stated range of each variable, dimensionless or in SI
    library : function of `ht` or `fluids` that computes it
    """
    record = Correlation(
        name=name,
        quantity=quantity,
        source=source,
        equation=equation,
        obtained=SOURCES[source].obtained,
        variables_range=dict(ranges or {}),
        scatter=scatter,
        scatter_from=scatter_from,
        remark=remark,
        tested_with=tested_with,
        library=f"{library.__module__.partition('.')[0]}.{library.__name__}" if library else "",
    )
    return lambda function: Formula(function, record)


@dataclass(frozen=True)
class PowerLaw:
    """c Re^a Pr^b, or of whatever number stands in the place of Re."""

    coefficient: float
    """c [-]."""
    reynolds: float
    """a [-]."""
    prandtl: float = 0.0
    """b [-]."""

    def __call__(self, Re: Number, Pr: Number = 1.0) -> Array:
        """Return the law's value [-]."""
        value: Array = self.coefficient * np.power(Re, self.reynolds) * np.power(Pr, self.prandtl)
        return value

    def text(self, symbol: str = "Re") -> str:
        """Return the law as records write it."""
        prandtl = f" Pr^{self.prandtl:g}" if self.prandtl else ""
        return f"{self.coefficient:g} {symbol}^{self.reynolds:g}{prandtl}"


def polynomial(coefficients: Sequence[float], symbol: str) -> str:
    """Return a polynomial as records write it, lowest power first."""
    text = f"{coefficients[0]:.10g}"
    for power, c in enumerate(coefficients[1:], start=1):
        raised = symbol if power == 1 else f"{symbol}^{power}"
        text += f" {'-' if c < 0 else '+'} {abs(c):.10g}{raised}"
    return text


def thousands(value: float) -> str:
    """Return a round number with its thousands set apart."""
    return f"{value:,.0f}".replace(",", " ")
