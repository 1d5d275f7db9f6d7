"""What a study varies: an entry of the case and the values it takes."""

from __future__ import annotations

import dataclasses
import math
import re
from dataclasses import dataclass
from typing import NoReturn

from jacketcalc.casefile.fields import Field
from jacketcalc.casefile.overrides import find_target, parse_text
from jacketcalc.casefile.read_field import read_entry
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case
from jacketcalc.number_text import at_most
from jacketcalc.quantities import QuantityError, read_quantity

MOST_VALUES = 1000
"""Values of an axis from which a slip is suspected [-]."""
FORM = "write KEY=FROM:TO:COUNT, such as jacket.pitch=8mm:48mm:16, or KEY=VALUE,VALUE,..."
"""How an axis is written."""
_PARTS = re.compile(r"\s*([+\-−]?[0-9.]+(?:[eE][+\-]?[0-9]+)?)\s*(.*)")


@dataclass(frozen=True, kw_only=True)
class Axis:
    """An entry of a case and the values a study gives it."""

    path: str
    """Dotted path; `jacket.pitch` stands for every jacket."""
    dimension: str
    """Dimension of the entry, `number` for a count."""
    values: tuple[float, ...]
    """Values in the SI unit of the dimension."""
    texts: tuple[str, ...]
    """The same as they would be typed."""
    whole: bool = False
    """Whether the entry counts something."""


def parse_axis(case: Case, text: str, argument: str = "--over") -> Axis:
    """Read an axis such as `jacket.pitch=8mm:48mm:16` or `jacket.starts=1,2,4`.

    Parameters
    ----------
    case : the case it belongs to
    text : the axis as typed
    argument : name of the command-line argument, for problems

    Raises
    ------
    CaseError
        With what is wrong with key or values, naming the argument.
    """
    path, mark, listed = text.partition("=")
    spoken = f"{argument} {text}".strip()
    if not mark or not path.strip() or not listed.strip():
        _refuse(spoken, "this is not a key with its values", FORM)
    return make_axis(case, path.strip(), listed, spoken)


def make_axis(case: Case, path: str, listed: str, spoken: str) -> Axis:
    """Build an axis from the values of a list or a range; `spoken` names it in problems."""
    field = find_number(case, path, spoken)
    parts = [part.strip() for part in listed.split(":")]
    if len(parts) == 1:
        texts = [part.strip() for part in listed.split(",") if part.strip()]
    else:
        texts = _spread(field, parts, case, spoken)
    if not texts or len(texts) > MOST_VALUES:
        _refuse(spoken, f"an axis has 1 to {MOST_VALUES} values, not {len(texts)}", FORM)
    values = [_read(field, value, case, spoken, path) for value in texts]
    if len(set(values)) < len(values):
        _refuse(spoken, "a value stands twice", FORM)
    return Axis(
        path=path,
        dimension=field.dimension or "number",
        values=tuple(values),
        texts=tuple(_space(text) for text in texts),
        whole=field.kind == "count",
    )


def find_number(case: Case, path: str, spoken: str) -> Field:
    """Return the numeric entry that a path names.

    Raises
    ------
    CaseError
        When the path names nothing, no number, or a limit.
    """
    try:
        field = find_target(parse_text(case.text, case.file), path).field
    except CaseError as error:
        raise CaseError([dataclasses.replace(p, file=spoken) for p in error.problems]) from None
    if field.kind not in ("quantity", "count"):
        _refuse(spoken, f'"{path}" is not a number', "a study varies entries that are numbers")
    if path.startswith("judge."):
        _refuse(spoken, f'"{path}" changes no machine', "limits are set by options, see --help")
    return field


def _spread(field: Field, parts: list[str], case: Case, spoken: str) -> list[str]:
    """Return the evenly spaced values of FROM:TO:COUNT as texts in the unit of FROM.

    Values are rounded to three digits of the step between them.
    """
    if len(parts) == 2 and field.kind == "count":
        low, high = (_read(field, part, case, spoken, "") for part in parts)
        return [str(n) for n in range(int(low), int(high) + 1)]
    if len(parts) != 3:
        _refuse(spoken, "a range has two ends and a count", FORM)
    if not re.fullmatch(r"[0-9]{1,5}", parts[2]) or not 2 <= int(parts[2]) <= MOST_VALUES:
        _refuse(spoken, f'"{parts[2]}" is not a count of values, 2 to {MOST_VALUES}', FORM)
    count = int(parts[2])
    low, high = (_read(field, part, case, spoken, "") for part in parts[:2])
    if low == high:
        _refuse(spoken, f"the range begins and ends at {parts[0]}", "give it two different ends")
    if field.kind == "count":
        steps = sorted({round(low + (high - low) * i / (count - 1)) for i in range(count)})
        return [str(n) for n in steps]
    found = _PARTS.fullmatch(parts[0])
    unit = found[2] if found else ""
    ambient = case.machine.ambient.pressure
    zero, one = (read_quantity(f"{n} {unit}", field.dimension, ambient).value for n in (0, 1))
    first, last = ((end - zero) / (one - zero) for end in (low, high))
    step = abs(last - first) / (count - 1)
    decimals = max(0, 2 - math.floor(math.log10(step))) if step > 0.0 else 6
    inside = [first + (last - first) * i / (count - 1) for i in range(1, count - 1)]
    between = (f"{at_most(value, decimals)} {unit}".rstrip() for value in inside)
    return [parts[0], *between, parts[1]]


def _space(text: str) -> str:
    """Set one space between number and unit, none where there is no unit."""
    found = _PARTS.fullmatch(text)
    return " ".join(found.groups()).rstrip() if found else text


def _read(field: Field, text: str, case: Case, spoken: str, path: str) -> float:
    typed: str | int = text
    if field.kind == "count" and re.fullmatch(r"[0-9]{1,6}", text):
        typed = int(text)
    try:
        return float(read_entry(field, typed, case.machine.ambient.pressure).value)
    except QuantityError as error:
        problem = Problem(
            name=error.name,
            message=error.message,
            path=path,
            file=spoken,
            why=error.why,
            fix=error.fix,
        )
    raise CaseError([problem])


def _refuse(spoken: str, message: str, fix: str) -> NoReturn:
    raise CaseError([Problem(name="study-range", message=message, file=spoken, fix=fix)])
