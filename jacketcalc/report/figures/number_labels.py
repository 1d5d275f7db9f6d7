"""Numbers as figures write them: display units, true minus signs, fixed decimals."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.number_text import fixed, significant, true_minus
from jacketcalc.unit_display import System, display_unit, find_display, to_display, typeset_unit


def signed(value: float, decimals: int = 1) -> str:
    """Return a change with its sign, `+1.2` or `−0.8`."""
    return true_minus(fixed(value, decimals, sign=True))


def number(value: float, decimals: int = 0) -> str:
    """Return a number with fixed decimals, a true minus and no minus zero."""
    return true_minus(fixed(value, decimals))


def trimmed(value: float, digits: int = 4) -> str:
    """Return a number with at most so many significant digits and no idle zeros."""
    return true_minus(significant(value, digits))


@dataclass(frozen=True)
class Shown:
    """The set of units a figure is written in."""

    system: System = "SI"

    def unit(self, dimension: str) -> str:
        """Return a unit's sign."""
        return typeset_unit(display_unit(dimension, self.system), paper=True)

    def per(self, dimension: str) -> str:
        """Return a unit as axes have it behind a stroke, in brackets where it has one itself."""
        unit = self.unit(dimension)
        return f"({unit})" if "/" in unit else unit

    def value(self, value: float, dimension: str) -> float:
        """Convert one number out of SI."""
        return to_display(float(value), dimension, self.system)

    def values(self, values: Array, dimension: str) -> Array:
        """Convert an array out of SI."""
        unit = find_display(dimension, self.system)
        return (np.asarray(values, dtype=float) - unit.zero) / unit.size

    def with_unit(self, value: float, dimension: str, decimals: int = 0) -> str:
        """Return a number and its unit."""
        return f"{number(self.value(value, dimension), decimals)} {self.unit(dimension)}"

    def temperature(self, value: float) -> str:
        """Return a temperature to the degree."""
        return self.with_unit(value, "temperature")

    def temperatures(self, low: float, high: float) -> str:
        """Return a range of temperatures to the degree."""
        first, last = (number(self.value(v, "temperature")) for v in (low, high))
        unit = self.unit("temperature")
        return f"{first} {unit}" if first == last else f"{first} to {last} {unit}"

    def pressure(self, value: float) -> str:
        """Return an absolute pressure with three digits or so."""
        shown = self.value(value, "pressure")
        decimals = 2 if abs(shown) < 10 and self.system == "SI" else 1 if abs(shown) < 100 else 0
        return f"{number(shown, decimals)} {self.unit('pressure')}"

    def length(self, value: float) -> str:
        """Return a length without its unit, as a drawing has it."""
        shown = self.value(value, "length")
        return trimmed(shown if self.system == "SI" else round(shown, 3))


SI = Shown()
"""The SI set."""
