"""Values of a range: in round steps, in a step that is given, or a count of them."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from jacketcalc.casefile.fields import Field
from jacketcalc.core.output_record import DIFFERENCES
from jacketcalc.number_text import at_most
from jacketcalc.quantities import read_quantity
from jacketcalc.quantity_problems import QuantityError

MOST_ROUND = 21
"""Values of a range in round steps, its ends among them, at most [-]."""
MOST_STEPS = 10_000
"""Steps of a range from which a slip is suspected [-]."""
_ROUND = (1.0, 2.0, 5.0, 10.0)
"""Steps that are called round, times a power of ten [-]."""
_NUMBER = re.compile(r"\s*[+\-−]?[0-9.]+(?:[eE][+\-]?[0-9]+)?\s*(.*)")
_TINY = 1e-9
"""Rounding, as a share of a step [-]."""


class RangeError(ValueError):
    """A range that cannot be spread; `cure` says what to write, empty where the usual form does."""

    def __init__(self, message: str, cure: str = "") -> None:
        super().__init__(message)
        self.cure = cure


def spread(
    field: Field, parts: Sequence[str], ends: Sequence[float], ambient_pressure: float
) -> list[str]:
    """Return the values of FROM:TO, FROM:TO:STEP or FROM:TO:COUNT, in the unit of FROM.

    Parameters
    ----------
    field : the entry
    parts : the range as typed, part by part
    ends : FROM and TO, in SI
    ambient_pressure : that gauge pressures count from [Pa]

    Raises
    ------
    RangeError
        When step or count cannot be.
    """
    if len(parts) not in (2, 3):
        raise RangeError("a range has two ends, and a step or a count")
    if ends[0] == ends[1]:
        raise RangeError(f"the range begins and ends at {parts[0]}", "give it two different ends")
    counted = len(parts) == 3 and re.fullmatch(r"[0-9]{1,5}", parts[2]) is not None
    if counted and not 2 <= int(parts[2]) <= MOST_STEPS:
        raise RangeError(f'"{parts[2]}" is not a count of values, 2 or more')
    if field.kind == "count":
        return _whole(parts, ends, counted)
    unit = _unit(parts[0])
    zero, size = _scale(field, unit, ambient_pressure)
    first, last = ((end - zero) / size for end in ends)
    if counted:
        return _evenly(parts, first, last, unit)
    if len(parts) == 2:
        inside = round_values(first, last)
        return [parts[0], *(f"{text} {unit}".rstrip() for text in inside), parts[1]]
    step = _step(field, parts[2], ambient_pressure) / size
    return _by_step(parts, first, last, step, unit)


def round_values(first: float, last: float) -> list[str]:
    """Return the multiples of a round step between two ends, so that both ends go with them."""
    step = round_step(abs(last - first) / (MOST_ROUND - 1))
    low, high = min(first, last), max(first, last)
    decimals = max(0, -math.floor(math.log10(step) + _TINY))
    begin, end = math.floor(low / step + _TINY) + 1, math.ceil(high / step - _TINY) - 1
    found = [at_most(n * step, decimals) for n in range(begin, end + 1)]
    return found if first < last else found[::-1]


def round_step(least: float) -> float:
    """Return the smallest of 1, 2 and 5 times a power of ten that is not below a step."""
    power = 10.0 ** math.floor(math.log10(least))
    return power * next(m for m in _ROUND if m * power >= least * (1.0 - _TINY))


def _whole(parts: Sequence[str], ends: Sequence[float], counted: bool) -> list[str]:
    low, high = (int(end) for end in ends)
    if len(parts) == 2:
        way = 1 if low < high else -1
        return [str(n) for n in range(low, high + way, way)]
    if not counted:
        raise RangeError(f'"{parts[2]}" is not a count of values, 2 or more')
    count = int(parts[2])
    return [
        str(n) for n in sorted({round(low + (high - low) * i / (count - 1)) for i in range(count)})
    ]


def _evenly(parts: Sequence[str], first: float, last: float, unit: str) -> list[str]:
    """Return so many values, rounded to three digits of the step between them."""
    count = int(parts[2])
    step = abs(last - first) / (count - 1)
    decimals = max(0, 2 - math.floor(math.log10(step)))
    inside = [first + (last - first) * i / (count - 1) for i in range(1, count - 1)]
    between = (f"{at_most(value, decimals)} {unit}".rstrip() for value in inside)
    return [parts[0], *between, parts[1]]


def _by_step(parts: Sequence[str], first: float, last: float, step: float, unit: str) -> list[str]:
    """Return values from the first in steps, none beyond the last."""
    if step <= 0.0:
        raise RangeError(f'"{parts[2]}" is not a step', "a step is a size above zero")
    count = math.floor(abs(last - first) / step + _TINY)
    if count < 1:
        raise RangeError(f"the step of {parts[2]} is longer than the range", "give a smaller step")
    if count > MOST_STEPS:
        raise RangeError(f"the range has {count} steps of {parts[2]}", "give a larger step")
    way = step if last > first else -step
    found = (f"{first + way * n:.10g}" for n in range(1, count + 1))
    return [parts[0], *(f"{number} {unit}".rstrip() for number in found)]


def _unit(text: str) -> str:
    found = _NUMBER.fullmatch(text)
    return found[1].strip() if found else ""


def _scale(field: Field, unit: str, ambient_pressure: float) -> tuple[float, float]:
    """Return the SI value of zero in a unit, and the size of one [-]."""
    zero, one = (
        read_quantity(f"{n} {unit}", field.dimension, ambient_pressure).value for n in (0, 1)
    )
    return zero, one - zero


def _step(field: Field, text: str, ambient_pressure: float) -> float:
    """Read a step: of a temperature or a pressure it is a difference."""
    dimension = DIFFERENCES.get(field.dimension, field.dimension)
    try:
        return read_quantity(text, dimension, ambient_pressure).value
    except QuantityError as error:
        raise RangeError(f"the step {text} cannot be read: {error.message}", error.fix) from None
