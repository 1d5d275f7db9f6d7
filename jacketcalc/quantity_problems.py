"""Why a quantity cannot be read, and what to write in its place."""

from __future__ import annotations

import re

from jacketcalc.errors import JacketcalcError
from jacketcalc.units import FACTORS, example, find_dimensions, join_units, list_units

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

NUMBER = re.compile(r"[+\-−]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+\-−]?[0-9]+)?")
"""A number as it is typed."""
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


def with_article(noun: str) -> str:
    """Return a noun with its indefinite article."""
    return f"{'an' if noun[0] in 'aeio' else 'a'} {noun}"


def suggest_unit(number: str, dimension: str) -> str:
    """Say how a number is written with a unit; which unit is meant cannot be known."""
    _, _, unit = example(dimension).partition(" ")
    return f'add the unit that is meant, such as in "{number} {unit}"'


def refuse_odd_numbers(text: str, at: int, dimension: str) -> None:
    """Refuse the number spellings that could be read in two ways.

    Parameters
    ----------
    text : the quantity as typed
    at : where it begins
    dimension : its dimension, of `jacketcalc.units`

    Raises
    ------
    QuantityError
        When it begins with such a spelling.
    """
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


def explain_unit(unit: str, head: str, start: int, dimension: str) -> QuantityError:
    """Build the error for a unit that does not fit the dimension."""
    match = NUMBER.match(head.strip())
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
