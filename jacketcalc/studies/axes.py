"""What a study varies: an entry of the case and the values it takes."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NoReturn

from jacketcalc.casefile.fields import Field
from jacketcalc.casefile.overrides import find_target, parse_text, set_value
from jacketcalc.casefile.read_field import read_entry
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case
from jacketcalc.quantity_problems import QuantityError
from jacketcalc.studies.made import made_values
from jacketcalc.studies.steps import RangeError, spread

MOST_VALUES = 1000
"""Values of an axis from which a slip is suspected [-]."""
FORM = (
    "write KEY=FROM:TO, such as jacket.pitch=8mm:48mm, or KEY=FROM:TO:STEP, KEY=FROM:TO:COUNT, "
    "KEY=VALUE,VALUE,..."
)
"""How an axis is written."""
_NUMBERS = ("quantity", "count")
_WORDS = ("word", "material", "name", "text")
_NAMES = ("title", "name")
"""Entries that only name something; the name of a gas is a word and chooses."""
_ASKS = ("judge", "make", "document")
"""Tables that say what is asked, and change no machine."""
_WRONG_WORDS = ("material-unknown", "stage-unknown", "word-unknown")
"""Problems of a word that nothing is called by."""
_PARTS = re.compile(r"\s*([+\-−]?[0-9.]+(?:[eE][+\-]?[0-9]+)?)\s*(.*)")


@dataclass(frozen=True, kw_only=True)
class Axis:
    """An entry of a case and the values a study gives it."""

    path: str
    """Dotted path; `jacket.pitch` stands for every jacket."""
    dimension: str
    """Dimension of the entry, `number` for a count and for words."""
    values: tuple[float, ...]
    """Values in the SI unit of the dimension; of words, their places from 0."""
    texts: tuple[str, ...]
    """The same as they would be typed."""
    whole: bool = False
    """Whether the entry counts something."""
    words: bool = False
    """Whether the entry is a word, so that its values have no order."""

    @property
    def rises(self) -> bool:
        """Whether its values are numbers that only rise, or only fall."""
        up = [after > before for before, after in zip(self.values, self.values[1:], strict=False)]
        return not self.words and len(set(up)) < 2


def parse_axis(case: Case, text: str, argument: str = "--over") -> Axis:
    """Read an axis such as `jacket.pitch=8mm:48mm`, `jacket.starts=1,2,4`, `drive.material=brass`.

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
    path = path.strip()
    field = _find_entry(case, path, spoken)
    if field.kind in _WORDS:
        return _make_words(case, path, listed, spoken)
    return make_axis(case, path, listed, spoken)


def make_axis(case: Case, path: str, listed: str, spoken: str) -> Axis:
    """Build an axis of numbers from a list or a range; `spoken` names it in problems."""
    field = find_number(case, path, spoken)
    parts = [part.strip() for part in listed.split(":")]
    if len(parts) == 1:
        texts = _list(listed)
    else:
        ends = [_read(field, part, case, spoken, "") for part in parts[:2]]
        try:
            texts = spread(field, parts, ends, case.machine.ambient.pressure)
        except RangeError as error:
            _refuse(spoken, str(error), error.cure or FORM)
        texts = _as_made(case, path, field, texts, ends, spoken)
    _check_count(texts, spoken)
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


def _as_made(
    case: Case, path: str, field: Field, texts: list[str], ends: Sequence[float], spoken: str
) -> list[str]:
    """Put values that can be made in place of those of a range, in the unit of its first."""
    values = [_read(field, text, case, spoken, path) for text in texts]
    made = made_values(case, path, values, ends)
    if made == values:
        return texts
    if not made:
        message = f"nothing between {texts[0]} and {texts[-1]} can be made with what [make] states"
        _refuse(spoken, message, "a wider range, or more in [make]")
    unit = _PARTS.fullmatch(texts[0])
    symbol = unit[2] if unit else ""
    one = _read(field, f"1 {symbol}".strip(), case, spoken, path)
    return [f"{value / one:.9g} {symbol}".rstrip() for value in made]


def _make_words(case: Case, path: str, listed: str, spoken: str) -> Axis:
    """Build an axis of words; one that nothing is called by is refused."""
    texts = _list(listed)
    _check_count(texts, spoken)
    if len(set(texts)) < len(texts):
        _refuse(spoken, "a word stands twice", FORM)
    for text in texts:
        try:
            set_value(case, path, text)
        except CaseError as error:
            wrong = [p for p in error.problems if p.name in _WRONG_WORDS]
            if wrong:
                plain = (Problem(name=p.name, message=p.message, file=spoken, why=p.why, fix=p.fix)
                         for p in wrong[:1])  # fmt: skip
                raise CaseError(list(plain)) from None
    return Axis(
        path=path, dimension="number", values=tuple(float(i) for i in range(len(texts))),
        texts=tuple(texts), words=True,
    )  # fmt: skip


def find_number(case: Case, path: str, spoken: str) -> Field:
    """Return the numeric entry that a path names.

    Raises
    ------
    CaseError
        When the path names nothing, no number, or a limit.
    """
    field = _find_entry(case, path, spoken)
    if field.kind not in _NUMBERS:
        _refuse(spoken, f'"{path}" is not a number', "a range is that of an entry with numbers")
    return field


def _find_entry(case: Case, path: str, spoken: str) -> Field:
    """Return the entry of a machine that a path names."""
    try:
        field = find_target(parse_text(case.text, case.file), path).field
    except CaseError as error:
        raise CaseError([dataclasses.replace(p, file=spoken) for p in error.problems]) from None
    if path.partition(".")[0] in _ASKS:
        _refuse(spoken, f'"{path}" changes no machine', "limits are set by options, see --help")
    if field.key in _NAMES and field.kind != "word":
        _refuse(spoken, f'"{path}" changes no machine', "vary another entry")
    return field


def _list(listed: str) -> list[str]:
    return [part.strip() for part in listed.split(",") if part.strip()]


def _check_count(texts: list[str], spoken: str) -> None:
    if not texts or len(texts) > MOST_VALUES:
        _refuse(spoken, f"an axis has 1 to {MOST_VALUES} values, not {len(texts)}", FORM)


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
