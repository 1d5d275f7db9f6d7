"""One entry of a case: from what TOML gives to a number in SI, a word or a text."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from jacketcalc.casefile.fields import Field
from jacketcalc.casefile.similar import find_similar, join_words
from jacketcalc.quantities import BIGGEST, read_quantity
from jacketcalc.quantity_problems import QuantityError, suggest_unit, with_article
from jacketcalc.unit_display import System, format_quantity
from jacketcalc.units import example, join_units

LONGEST_TEXT = 200
"""Most characters of a text [-]."""

_NAME = re.compile(r"[^\W\d]\w*(?:-\w+)*")
_HALF = {"temperature": "temperature difference", "pressure": "pressure difference"}
"""Dimension of a tolerance, where it differs from its value's."""
_WITHOUT_ZERO = ("temperature", "temperature difference", "pressure", "pressure difference")


class Entry(NamedTuple):
    """An entry as read."""

    value: float | str
    """Number in SI, or the word."""
    text: str
    """As typed."""
    tolerance: float = 0.0
    """Half-width of the tolerance, in the SI unit."""
    standard_uncertainty: float = 0.0
    """Standard uncertainty, in the SI unit."""


def lower_first(text: str) -> str:
    """Return a text that begins with a small letter."""
    return text[:1].lower() + text[1:]


def name_type(value: object) -> str:
    """Return what a TOML value is, in plain words."""
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, str):
        return "a text"
    if isinstance(value, int | float):
        return "a number"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a table"
    return "a date or time"


def read_entry(
    field: Field, value: object, ambient_pressure: float | None, system: System = "SI"
) -> Entry:
    """Read one entry.

    Raises
    ------
    QuantityError
        When it is no such entry; the message says so in the given units.
    """
    if field.kind == "quantity":
        return _read_quantity(field, value, ambient_pressure, system)
    if field.kind == "count":
        return _read_count(field, value)
    if not isinstance(value, str):
        raise QuantityError(
            "type-wrong",
            f'"{field.key}" is {name_type(value)}, not a text',
            label="a text in quotes is wanted",
            why=lower_first(field.about),
            fix=f'{field.key} = "..."',
        )
    text = value.strip()
    if not text:
        raise QuantityError(
            "text-empty",
            f'"{field.key}" is empty',
            label="nothing between quotes",
            why=lower_first(field.about),
            fix="fill it in, or leave the key out where it is optional",
        )
    check_text(text, field.key)
    if field.kind == "sizes":
        read_sizes(value, field.dimension)
    if field.kind == "word" and text not in field.choices:
        now = dict(field.former_choices).get(text)
        if now:
            raise refuse_former_word(text, now)
        known = field.refused(text, field.choices) if field.refused else None
        raise known or refuse_word(text, field.key, field.choices)
    if field.kind == "name" and (not _NAME.fullmatch(text) or len(text) > 16):
        raise QuantityError(
            "name-unusable",
            f'"{text}" cannot be a name',
            why="a name has at most 16 letters, digits, - or _, and begins with a letter",
            fix='give it a name such as "second"',
        )
    return Entry(text, value)


def read_sizes(text: str, dimension: str = "length") -> tuple[float, ...]:
    """Return the sizes of a list such as `8 mm, 10 mm`, in SI and rising.

    Raises
    ------
    QuantityError
        When one cannot be read, is not above zero, or stands twice; its place is in the text.
    """
    found: dict[float, str] = {}
    start = 0
    for part in text.split(","):
        try:
            size = read_quantity(part.strip(), dimension, None).value
        except QuantityError as fault:
            fault.start = start + len(part) - len(part.lstrip())
            fault.width = len(part.strip()) or 1
            raise
        if size <= 0.0 or size in found:
            what = "is not above zero" if size <= 0.0 else "stands twice"
            raise QuantityError(
                "sizes-wrong",
                f"{part.strip()} {what}",
                start=start + len(part) - len(part.lstrip()),
                width=len(part.strip()),
                why="each size that can be had stands once, such as 8 mm, 10 mm",
                fix="leave it out",
            )
        found[size] = part
        start += len(part) + 1
    return tuple(sorted(found))


def check_text(text: str, key: str) -> None:
    """Refuse a text that no table or title can show.

    Raises
    ------
    QuantityError
        When it is too long or cannot be printed.
    """
    if len(text) > LONGEST_TEXT or not text.isprintable():
        raise QuantityError(
            "text-unusable",
            f'"{key}" is too long or holds characters that cannot be printed',
            why=f"texts stand in tables and titles: one line, at most {LONGEST_TEXT} characters",
            fix="shorten it, and leave out what cannot be printed",
        )


def refuse_former_word(text: str, now: str) -> QuantityError:
    """Build the error for a word of version 0.1 that is another one today."""
    return QuantityError(
        "word-renamed",
        f'"{text}" is called "{now}" since version 0.2',
        width=len(text),
        label=f'now "{now}"',
        why="the case file now uses the words of the trade's standards",
        fix=f'write "{now}"',
    )


def refuse_word(text: str, key: str, choices: tuple[str, ...]) -> QuantityError:
    """Build the error for a word that is not one of a few."""
    similar = find_similar(text, choices)
    return QuantityError(
        "word-unknown",
        f'"{text}" is not a word that "{key}" can be',
        width=len(text),
        label=f'the nearest is "{similar}"' if similar else "not known here",
        why=f"it is {join_words(choices)}",
        fix=f'{key} = "{similar}"' if similar else "write one of these",
    )


def _read_count(field: Field, value: object) -> Entry:
    low, high = int(field.low), int(field.high)
    if isinstance(value, bool) or not isinstance(value, int):
        whole = str(value).strip()
        sure = isinstance(value, str | float) and re.fullmatch(r"\d{1,4}(\.0)?", whole)
        raise QuantityError(
            "type-wrong",
            f'"{field.key}" is {name_type(value)}, not a whole number',
            label="a whole number without quotes is wanted",
            why=lower_first(field.about),
            fix=f"{field.key} = {whole.removesuffix('.0')}"
            if sure
            else f"write a whole number, such as {field.key} = {low}",
        )
    if not low <= value <= high:
        raise QuantityError(
            "value-range",
            f'"{field.key}" is outside {low} to {high}',
            label=f"{low} to {high}",
            why=lower_first(field.about),
            fix=f"{low} or more" if value < low else f"{high} or less",
        )
    return Entry(float(value), str(value))


def _read_quantity(
    field: Field, value: object, ambient_pressure: float | None, system: System
) -> Entry:
    plain = field.dimension in ("ratio", "number")
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise QuantityError(
            "type-wrong",
            f'"{field.key}" is {name_type(value)}, not {with_article(field.dimension)}',
            label="a text in quotes is wanted",
            why=lower_first(field.about),
            fix=f"write it as in {_example(field, plain)}",
        )
    if isinstance(value, str):
        quantity = read_quantity(value, field.dimension, ambient_pressure)
        _check_range(field, quantity.value, value, system)
        stated = max(quantity.tolerance, quantity.standard_uncertainty)
        _check_tolerance(field, quantity.value, stated, value, system)
        return Entry(quantity.value, value, quantity.tolerance, quantity.standard_uncertainty)
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise QuantityError(
            "number-not-finite",
            f'"{field.key}" is not a finite number',
            label="not finite",
            why="every quantity must be a finite number",
            fix=f"write a number, such as {_example(field, plain)}",
        )
    if abs(number) >= BIGGEST:
        raise QuantityError(
            "number-huge",
            "the number is too large to mean anything",
            label=f"{BIGGEST:g} or more",
            why="no size of a real machine is this large",
            fix="see whether its exponent has a digit too many",
        )
    if not plain:
        raise QuantityError(
            "unit-missing",
            f'the {field.dimension} "{field.key}" has no unit',
            label="no unit",
            why=f"{with_article(field.dimension)} is a text with one of: "
            f"{join_units(field.dimension)}",
            fix=suggest_unit(f"{value}", field.dimension),
        )
    _check_range(field, number, str(value), system)
    return Entry(number, f"{value}")


def _check_range(field: Field, value: float, typed: str, system: System) -> None:
    if field.low <= value <= field.high:
        return
    has_sign = field.dimension not in _WITHOUT_ZERO
    if has_sign and value <= 0.0:
        what = "zero" if value == 0.0 else "negative"
        more = ": it would put the shell inside the cylinder" if field.key == "gap" else ""
        raise QuantityError(
            "value-not-positive",
            f'"{field.key}" is {what}{more}',
            width=len(typed),
            label=what,
            why=f"the least it can be is {_show(field.low, field, typed, system)}",
            fix=f"{_show(field.low, field, typed, system)} or more",
        )
    low, high = _show(field.low, field, typed, system), _show(field.high, field, typed, system)
    side = f"below {low}" if value < field.low else f"above {high}"
    raise QuantityError(
        "value-range",
        f'"{field.key}" is {side}',
        width=len(typed),
        label=_show(value, field, typed, system),
        why=f"it lies between {low} and {high}",
        fix=f"{low} or more" if value < field.low else f"{high} or less",
    )


def _check_tolerance(
    field: Field, value: float, tolerance: float, typed: str, system: System
) -> None:
    if tolerance == 0.0 or tolerance < abs(value):
        return
    half = _HALF.get(field.dimension, field.dimension)
    raise QuantityError(
        "tolerance-wrong",
        f'the tolerance of "{field.key}" is as large as its value',
        width=len(typed),
        label=f"+- {_show(tolerance, field, typed, system, half)}",
        why="the value could then be zero"
        + (", counted from absolute zero" if half != field.dimension else ""),
        fix=f"a tolerance below {_show(abs(value), field, typed, system, half)}",
    )


def _example(field: Field, plain: bool) -> str:
    return "0.5" if plain else f'"{example(field.dimension)}"'


def _show(value: float, field: Field, typed: str, system: System, dimension: str = "") -> str:
    percent = field.dimension == "ratio" and "%" in typed
    shown = "percent" if percent else dimension or field.dimension
    return format_quantity(value, shown, system)
