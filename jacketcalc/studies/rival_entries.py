"""Rows of one's own: entries of the case and names of ways, with commas between."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NoReturn, get_args

from jacketcalc.casefile.overrides import find_target, parse_text
from jacketcalc.casefile.steps_between import Step, take_steps
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case
from jacketcalc.studies.axes import parse_axis
from jacketcalc.studies.rival_table import Way
from jacketcalc.studies.rival_ways import APART, fits

NO_JACKETS = "no jackets"
"""What begins a row that leaves them out."""
FORM = (
    "write KEY=VALUE as `vary` spells them, and names of ways, with commas between, such as "
    '"larger valve, jacket.gap=4mm" or "no jackets, drive.bore=80mm"'
)


@dataclass(frozen=True, kw_only=True)
class OwnRow:
    """A row of the user's own."""

    text: str
    """As it was typed."""
    ways: frozenset[Way]
    entries: tuple[Step, ...]


def parse_rows(case: Case, texts: Sequence[str]) -> list[OwnRow]:
    """Read rows of one's own.

    Raises
    ------
    CaseError
        With what is wrong with all of them.
    """
    rows, problems = [], []
    for text in texts:
        try:
            rows.append(parse_row(case, text))
        except CaseError as error:
            problems += error.problems
    if problems:
        raise CaseError(problems)
    return rows


def parse_row(case: Case, text: str, argument: str = "--row") -> OwnRow:
    """Read a row such as `larger valve, jacket.gap=4mm`; jackets are kept unless it says no.

    Raises
    ------
    CaseError
        When a piece of it is no entry and no way, or when there can be no such case.
    """
    spoken = f"{argument} {text}"
    ways: set[Way] = set()
    steps: list[Step] = []
    jackets = True
    for piece in (part.strip() for part in text.split(",")):
        name = piece.lower()
        if name == NO_JACKETS:
            jackets = False
        elif name in get_args(Way):
            ways.add(name)  # type: ignore[arg-type]
        elif "=" in piece:
            steps += _entries(case, piece, spoken)
        else:
            known = ", ".join((NO_JACKETS, *get_args(Way)))
            _refuse(spoken, f'"{piece}" is no entry and no way', f"{FORM}; ways are {known}")
    instead = any("jackets" in pair and pair & ways for pair in APART)
    if jackets and (not instead or "jackets" in ways):
        ways.add("jackets")
    if not fits(frozenset(ways)):
        _refuse(spoken, "two of these ways take one another's place", "leave one of them out")
    try:
        take_steps(case, steps)
    except CaseError as error:
        told = [Problem(name=p.name, message=p.message, path=p.path, file=spoken, why=p.why,
                        fix=p.fix) for p in error.problems]  # fmt: skip
        raise CaseError(told) from None
    return OwnRow(text=text.strip(), ways=frozenset(ways), entries=tuple(steps))


def _entries(case: Case, piece: str, spoken: str) -> list[Step]:
    """Return the steps of one entry, one for each place that its key stands for."""
    axis = parse_axis(case, piece, spoken.partition(" ")[0])
    if len(axis.texts) != 1:
        _refuse(spoken, f'"{piece}" has {len(axis.texts)} values', "a row has one of each entry")
    source = parse_text(case.text, case.file)
    value = int(axis.texts[0]) if axis.whole else axis.texts[0]
    steps = []
    for place in find_target(source, axis.path).paths:
        path = source.describe_path(place)
        edits = ((tuple(path.split(".")), value),)
        steps.append(Step(path=path, was="", now=str(value), edits=edits))
    return steps


def _refuse(spoken: str, message: str, fix: str) -> NoReturn:
    raise CaseError([Problem(name="study-range", message=message, file=spoken, fix=fix)])
