"""Reading a quantity such as `7 bar(g)` or `100 mm +- 0.1 mm` into SI."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from jacketcalc.errors import JacketcalcError
from jacketcalc.units import (
    FACTORS,
    SCALES,
    example,
    find_dimensions,
    join_units,
    list_units,
    spell,
    tidy,
)

LONGEST = 100
"""Most characters of a quantity [-]."""
BIGGEST = 1e30
"""Magnitude from which a number is refused as huge [-]."""

_HINTS = {
    "C": "degC",
    "celsius": "degC",
    "deg C": "degC",
    "F": "degF",
    "deg F": "degF",
    "degK": "K",
    "degR": "R",
    "barg": "bar(g)",
    "bara": "bar(a)",
    "psig": "psi(g)",
    "psia": "psi(a)",
    "bar g": "bar(g)",
    "bar a": "bar(a)",
    "kPag": "kPa(g)",
    "kPaa": "kPa(a)",
    "MPag": "MPa(g)",
    "barG": "bar(g)",
    "barA": "bar(a)",
    "bar(abs)": "bar(a)",
    "bar abs": "bar(a)",
    '"': "in",
    "lbs": "lb",
    "sek": "s",
    "cc": "cm3",
    "ccm": "cm3",
    "l/s/bar": "L/(s bar)",
    "dm3/s/bar": "dm3/(s bar)",
    "dm3/s bar": "dm3/(s bar)",
    "dm3/(bar s)": "dm3/(s bar)",
    "percent": "%",
    "Nm": "N",
    "MM": "mm",
    "Mm": "mm",
    "Bar(a)": "bar(a)",
    "Bar(g)": "bar(g)",
    "Psi(g)": "psi(g)",
    "PSI(g)": "psi(g)",
    "PSI(a)": "psi(a)",
    "micron": "um",
}
"""Spellings that are refused, and the table's unit they most likely mean."""

_NORMAL = {"Nl/min": "L/min", "NL/min": "L/min", "Nm3/h": "m3/h", "nl/min": "L/min",
           "SCFM": "cfm", "scfm": "cfm", "Scfm": "cfm", "CFM": "cfm"}  # fmt: skip
"""Units of a flow that name a reference atmosphere, and the table's unit; the case names it apart.
"""

_NUMBER = re.compile(r"[+\-−]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+\-−]?[0-9]+)?")
_TOLERANCE = re.compile(r"\+-|\+/-|±|(?<=\S)\s+u\s")
"""Before a tolerance, or before a standard uncertainty (the letter of JCGM 100)."""
# Compiled only when a quantity is refused, which keeps the start fast.
_ODD_NUMBER = r"(?i)[+\-−]?(?:inf(?:inity)?|nan)\b"
_COMMA = r"[+\-−]?[0-9]*,[0-9]+(?:[.,][0-9]+)*"
_GROUPED = r"[+\-−]?[0-9]{1,3}(?:[ _'’\u00a0\u202f][0-9]{3})+(?![0-9])(?:\.[0-9]+)?"
_FRACTION = r"([0-9]{1,6})\s*/\s*([0-9]{1,6})(?![0-9])"


class QuantityError(JacketcalcError):
    """A quantity that cannot be read; `name` is the kind of problem."""

    def __init__(
        self,
        name: str,
        message: str,
        *,
        start: int = 0,
        width: int = 0,
        label: str = "",
        why: str = "",
        fix: str = "",
    ) -> None:
        super().__init__(message)
        self.name = name
        self.message = message
        self.start = start
        self.width = width
        self.label = label
        self.why = why
        self.fix = fix


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
    match = _NUMBER.match(stripped)
    unit = spell(stripped[match.end() :]) if match else ""
    if not find_dimensions(unit):
        _refuse_odd_numbers(stripped, at, dimension)
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


def with_article(noun: str) -> str:
    """Return a noun with its indefinite article."""
    return f"{'an' if noun[0] in 'aeio' else 'a'} {noun}"


def suggest_unit(number: str, dimension: str) -> str:
    """Say how a number is written with a unit; which unit is meant cannot be known."""
    _, _, unit = example(dimension).partition(" ")
    return f'add the unit that is meant, such as in "{number} {unit}"'


def _refuse_odd_numbers(text: str, at: int, dimension: str) -> None:
    """Refuse the number spellings that could be read in two ways."""
    if match := re.match(_ODD_NUMBER, text):
        raise QuantityError(
            "number-not-finite",
            f'"{match.group()}" is not a finite number',
            start=at,
            width=match.end(),
            label="not finite",
            why="every quantity must be a finite number",
            fix=f'write a number with its unit, such as "{example(dimension)}"',
        )
    if match := re.match(_COMMA, text):
        raise _refuse_comma(match.group(), text[match.end() :], at)
    if match := re.match(_GROUPED, text):
        mended = re.sub(r"[^\d.+\-−]", "", match.group())
        raise QuantityError(
            "number-grouped",
            "digits are grouped",
            start=at,
            width=match.end(),
            label=f"write {mended}",
            why="a number is written without gaps or marks inside",
            fix=f'"{mended}{text[match.end() :].rstrip()}"',
        )
    match = re.match(_FRACTION, text)
    if match and dimension == "length" and int(match.group(2)):
        decimal = f"{int(match.group(1)) / int(match.group(2)):.6g}"
        raise QuantityError(
            "number-fraction",
            "a fraction cannot be read",
            start=at,
            width=match.end(),
            label=f"write {decimal}",
            why="numbers are decimal",
            fix=f'"{decimal}{text[match.end() :].rstrip()}"',
        )


def _refuse_comma(typed: str, rest: str, at: int) -> QuantityError:
    """Build the error for a comma; three digits after it could be thousands."""
    decimal = typed.replace(",", ".")
    sure = re.fullmatch(r"[+\-−]?\d+,(?!\d{3}$)\d+", typed) is not None
    whole = re.fullmatch(r"[+\-−]?\d{1,3},\d{3}", typed) is not None
    fix = f'use a point: "{decimal}{rest.rstrip()}"' if sure else "use a decimal point"
    if whole:
        fix = f'"{decimal}{rest.rstrip()}" or "{typed.replace(",", "")}{rest.rstrip()}"'
    return QuantityError(
        "unit-comma",
        "decimal comma in a number",
        start=at,
        width=len(typed),
        label=f"write {decimal}" if sure else "comma",
        why=f"a comma could also group digits, so {typed} might be read in two ways",
        fix=fix,
    )


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
    raise _explain_unit(unit, head, 0, dimension)


def _explain_unit(unit: str, head: str, start: int, dimension: str) -> QuantityError:
    """Build the error for a unit that does not fit the dimension."""
    match = _NUMBER.match(head.strip())
    number = match.group() if match else ""
    lead = len(head) - len(head.lstrip())
    rest = head[lead + len(number) :]
    at = start + lead + len(number) + len(rest) - len(rest.lstrip())
    width = max(1, len(rest.strip()))
    if not unit:
        return QuantityError(
            "unit-missing",
            f"the {dimension} has no unit",
            start=start + lead,
            width=len(head.strip()),
            label="no unit",
            why=f"{with_article(dimension)} is written with one of: {join_units(dimension)}",
            fix=suggest_unit(number, dimension),
        )
    if dimension == "pressure" and unit in FACTORS["pressure difference"]:
        return QuantityError(
            "pressure-reference",
            f'"{unit}" does not say absolute or gauge',
            start=at,
            width=width,
            label=f"{unit}(a) or {unit}(g)",
            why="absolute and gauge pressure differ by ambient pressure",
            fix=f'write "{number} {unit}(a)" or "{number} {unit}(g)"',
        )
    dimensions = find_dimensions(unit)
    if dimension == "pressure difference" and "pressure" in dimensions:
        return QuantityError(
            "unit-dimension",
            "a pressure difference is neither absolute nor gauge",
            start=at,
            width=width,
            label="a difference is wanted",
            why="this key asks for the difference of two pressures",
            fix=f'write "{number} {unit[:-3]}"',
        )
    if dimensions:
        return QuantityError(
            "unit-dimension",
            f'"{unit}" is {with_article(dimensions[0])}, not {with_article(dimension)}',
            start=at,
            width=width,
            label=f"not {with_article(dimension)}",
            why=f"{with_article(dimension)} is written with one of: {join_units(dimension)}",
            fix=f'write {with_article(dimension)}, such as "{example(dimension)}"',
        )
    if dimension == "volume flow" and unit in _NORMAL:
        return _explain_normal(unit, number, at, width)
    meant = _HINTS.get(unit, "")
    fits = meant in list_units(dimension)
    return QuantityError(
        "unit-unknown",
        f'the unit "{unit}" is not known',
        start=at,
        width=width,
        label=f"write {meant}" if fits else "not a known unit",
        why=f"{with_article(dimension)} is written with one of: {join_units(dimension)}",
        fix=f'write "{number} {meant}"' if fits else suggest_unit(number, dimension),
    )


def _explain_normal(unit: str, number: str, at: int, width: int) -> QuantityError:
    """Build the error for a unit that also says at what state its volume counts."""
    meant = _NORMAL[unit]
    normal = "DIN 1343" if unit[0] in "Nn" else "ANR"
    return QuantityError(
        "unit-unknown",
        f'the unit "{unit}" is not known',
        start=at,
        width=width,
        label=f"write {meant}",
        why="the state at which a volume counts stands apart from its unit: reference_atmosphere "
        "says it of Qn, and a capacity counts at the ambient's state",
        fix=f'write "{number} {meant}"; with Qn, reference_atmosphere = "{normal}"',
    )


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
    raise _explain_unit(half_unit, text, start, wanted.get(dimension, dimension))
