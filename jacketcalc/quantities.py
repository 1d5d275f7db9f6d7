"""Reading a quantity such as `7 bar(g)` or `100 mm +- 0.1 mm` into SI."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from jacketcalc.quantity_problems import (
    NUMBER,
    QuantityError,
    explain_unit,
    refuse_odd_numbers,
)
from jacketcalc.units import FACTORS, SCALES, example, find_dimensions, spell, tidy

LONGEST = 100
"""Most characters of a quantity [-]."""
BIGGEST = 1e30
"""Magnitude from which a number is refused as huge [-]."""

_TOLERANCE = re.compile(r"\+-|\+/-|±|(?<=\S)\s+u\s")
"""Before a tolerance, or before a standard uncertainty (the letter of JCGM 100)."""


class Quantity(NamedTuple):
    """A quantity as read."""

    value: float
    """Value in the SI unit of its dimension."""
    tolerance: float
    """Half-width of the stated tolerance in the same SI unit; 0 when none."""
    unit: str
    """Unit as typed, in the table's spelling."""
    standard_uncertainty: float = 0.0
    """Stated standard uncertainty in the same SI unit; 0 when none."""


def read_quantity(text: str, dimension: str, ambient_pressure: float | None = None) -> Quantity:
    """Read a quantity, with its tolerance or standard uncertainty where one is given.

    Parameters
    ----------
    text : str
        Such as `12.5 mm`, `7 bar(g)`, `100 mm +- 0.1 mm`, `5 dm3/(s bar) +- 10 %` or, with its
        standard uncertainty, `20 degC u 0.5 K`.
    dimension : str
        One of `SI_UNITS`.
    ambient_pressure : float, optional
        Atmospheric pressure that gauge pressures count from [Pa].

    Returns
    -------
    Quantity
        Value and tolerance in SI.

    Raises
    ------
    QuantityError
        When any part cannot be read.
    """
    if len(text) > LONGEST:
        raise QuantityError(
            "number-unreadable",
            "the text is too long for a quantity",
            width=len(text),
            label=f"more than {LONGEST} characters",
            why="a quantity is a number, then its unit",
            fix=f'write it as in "{example(dimension)}"',
        )
    mark = _TOLERANCE.search(text)
    head = text[: mark.start()] if mark else text
    number, unit = _split(head, 0, dimension)
    value = tidy(_to_si(number, unit, head, dimension, ambient_pressure))
    if mark is None:
        return Quantity(value, 0.0, unit)
    half = _read_tolerance(text[mark.end() :], mark.end(), dimension, unit, number, value)
    if mark[0].strip() == "u":
        return Quantity(value, 0.0, unit, tidy(half))
    return Quantity(value, tidy(half), unit)


def _split(text: str, start: int, dimension: str) -> tuple[float, str]:
    """Split text into number and unit in the table's spelling."""
    stripped = text.strip()
    at = start + len(text) - len(text.lstrip())
    match = NUMBER.match(stripped)
    unit = spell(stripped[match.end() :]) if match else ""
    if not find_dimensions(unit):
        refuse_odd_numbers(stripped, at, dimension)
    if match is None:
        raise QuantityError(
            "number-unreadable",
            "no number can be read here",
            start=at,
            width=len(stripped),
            label="a number comes first",
            why="a quantity is a number, then its unit",
            fix=f'write it as in "{example(dimension)}"',
        )
    number = float(match.group().replace("−", "-"))
    if not math.isfinite(number) or abs(number) >= BIGGEST:
        raise QuantityError(
            "number-huge",
            "the number is too large to mean anything",
            start=at,
            width=match.end(),
            label=f"{BIGGEST:g} or more",
            why="no size of a real machine is this large",
            fix="see whether its exponent has a digit too many",
        )
    return number, unit


def _to_si(
    number: float, unit: str, head: str, dimension: str, ambient_pressure: float | None
) -> float:
    """Convert to SI, or say why the unit does not fit."""
    if dimension == "temperature" and unit in SCALES:
        size, zero = SCALES[unit]
        return number * size + zero
    if dimension == "pressure" and "pressure" in find_dimensions(unit):
        absolute = number * FACTORS["pressure difference"][unit[:-3]]
        if unit.endswith("(a)"):
            return absolute
        if ambient_pressure is None:
            raise QuantityError(
                "pressure-reference",
                "a gauge pressure cannot be used here",
                start=head.find(unit),
                width=len(unit),
                label="gauge",
                why="gauge pressures count from ambient pressure, which this key states",
                fix=f'write an absolute pressure, such as "{example(dimension)}"',
            )
        return absolute + ambient_pressure
    factors = FACTORS.get(dimension, {})
    if unit in factors:
        return number * factors[unit]
    raise explain_unit(unit, head, 0, dimension)


def _read_tolerance(
    text: str, start: int, dimension: str, unit: str, number: float, value: float
) -> float:
    """Read what follows the tolerance mark; a percentage counts from the number as typed."""
    wanted = {"temperature": "temperature difference", "pressure": "pressure difference"}
    half, half_unit = _split(text, start, wanted.get(dimension, dimension))
    if half < 0.0:
        raise QuantityError(
            "tolerance-wrong",
            "a tolerance is negative",
            start=start,
            width=len(text),
            label="negative",
            why="a tolerance is the half-width on both sides",
            fix="leave its minus sign out",
        )
    if half_unit == "%" and dimension == "temperature":
        raise QuantityError(
            "tolerance-wrong",
            "a temperature's tolerance is in per cent",
            start=start,
            width=len(text),
            label="write it in K",
            why="a share of a temperature depends on where its scale begins",
            fix='write it as a difference, such as "+- 2 K"',
        )
    if dimension == "ratio" and half_unit != unit:
        raise QuantityError(
            "tolerance-wrong",
            "the tolerance and its value are written differently",
            start=start,
            width=len(text),
            label="one is in per cent, the other is not",
            why="10 % of a share and 10 points of it could be confused",
            fix="write both in per cent, or both without",
        )
    if half_unit == "%" and dimension != "ratio":
        scale = FACTORS["pressure difference"][unit[:-3]] if dimension == "pressure" else None
        size = abs(number) * scale if scale is not None else abs(value)
        return half * 1e-2 * size
    factors = FACTORS[wanted.get(dimension, dimension)]
    if half_unit in factors:
        return half * factors[half_unit]
    raise explain_unit(half_unit, text, start, wanted.get(dimension, dimension))
