"""The few sizes that a quick start is told, read from the command line's words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

from jacketcalc.casefile.fields import Field, find_field
from jacketcalc.casefile.read_field import check_text, read_entry
from jacketcalc.casefile.schema_machine import DRIVE, EXHAUST, RECEIVER, SUPPLY, VALVE
from jacketcalc.casefile.schema_stage import STAGE
from jacketcalc.errors import JacketcalcError
from jacketcalc.flow_data import STANDARD_ATMOSPHERE, from_nominal_flow
from jacketcalc.quantity_problems import QuantityError
from jacketcalc.units import find_dimensions, spell

T = TypeVar("T")

MOST_STAGES = 2
"""Stages a machine can have [-]."""
USUAL_RATIO = 0.3
"""Critical back-pressure ratio b that is filled in [-]."""
_TUBE = EXHAUST.tables[0].tables[0]
_ELEMENT = VALVE.tables[0]
_NUMBER = re.compile(r"[\d.]+\s*$")


@dataclass(frozen=True, kw_only=True)
class Typed:
    """A size as it was told."""

    value: float
    """In SI, pressures absolute."""
    text: str
    """As a case states it."""


@dataclass(frozen=True, kw_only=True)
class Valve:
    """The flow of the control valve as it was told."""

    sonic: float
    """Sonic conductance C [m3/(s Pa)]."""
    entries: str
    """As a case states it, such as `Qn = "2400 L/min"`."""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What a quick start is told; None where it is not."""

    bore: Typed | None = None
    stroke: Typed | None = None
    stages: tuple[Typed, ...] = ()
    supply: Typed | None = None
    receiver: Typed | None = None
    valve: Valve | None = None
    tube: Typed | None = None
    """Outside diameter."""
    title: str = ""


USUAL_SUPPLY = Typed(value=6e5 + STANDARD_ATMOSPHERE, text="6 bar(g)")
"""Supply where none is told: a usual workshop network; practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Fault:
    """An option that cannot be used."""

    option: str
    message: str
    why: str
    fix: str


class OptionError(JacketcalcError):
    """Options that cannot be used; each fault says which, what, why and what to write."""

    def __init__(self, *faults: Fault) -> None:
        super().__init__("; ".join(f"{fault.option}: {fault.message}" for fault in faults))
        self.faults = faults


def read_options(*, drive: str | None = None, stages: str | None = None, supply: str | None = None,
                 receiver: str | None = None, valve: str | None = None, tube: str | None = None,
                 title: str | None = None) -> Asked:  # fmt: skip
    """Read the options.

    Raises
    ------
    OptionError
        With every option that cannot be used.
    """
    faults: list[Fault] = []

    def tried(read: Callable[[str], T], text: str | None, otherwise: T) -> T:
        try:
            return otherwise if text is None else read(text)
        except OptionError as error:
            faults.extend(error.faults)
            return otherwise

    sizes = tried(_drive, drive, None)
    asked = Asked(
        bore=sizes[0] if sizes else None,
        stroke=sizes[1] if sizes else None,
        stages=tried(_stages, stages, ()),
        supply=tried(partial(_read, "--supply", find_field(SUPPLY, "pressure")), supply, None),
        receiver=tried(
            partial(_read, "--receiver", find_field(RECEIVER, "pressure")), receiver, None
        ),
        valve=tried(_valve, valve, None),
        tube=tried(partial(_read, "--tube", find_field(_TUBE, "bore")), tube, None),
        title=tried(_title, title, ""),
    )
    faults += _misfits(asked)
    if faults:
        raise OptionError(*faults)
    return asked


def _read(option: str, field: Field, text: str) -> Typed:
    """Read one quantity with the limits that its key has in a case."""
    try:
        entry = read_entry(field, text, STANDARD_ATMOSPHERE)
    except QuantityError as fault:
        raise _refusal(option, fault.message, fault.why, fault.fix) from None
    return Typed(value=float(entry.value), text=_spaced(text))


def _refusal(option: str, message: str, why: str, fix: str) -> OptionError:
    return OptionError(Fault(option=option, message=message, why=why, fix=fix))


def _spaced(text: str) -> str:
    """Return a quantity with one blank before its unit."""
    return re.sub(r"^\s*([\d.eE+]*\d\.?)\s*", r"\1 ", text.strip())


def _unit(text: str) -> str:
    return re.sub(r"^[\d.\s]+", "", text).strip()


def _drive(text: str) -> tuple[Typed, Typed]:
    parts = re.split(r"\s*[xX×]\s*", text.strip())
    if len(parts) != 2 or not _unit(parts[1]):
        what = "is not a bore and a stroke" if len(parts) != 2 else "has no unit"
        raise _refusal("--drive", f'"{text}" {what}', "the drive has a bore and a stroke",
                       "write both and the unit, as in 125x160mm")  # fmt: skip
    if _NUMBER.fullmatch(parts[0]):
        parts[0] += f" {_unit(parts[1])}"
    bore, stroke = (_read("--drive", find_field(DRIVE, key), part)
                    for key, part in zip(("bore", "stroke"), parts, strict=True))  # fmt: skip
    return bore, stroke


def _stages(text: str) -> tuple[Typed, ...]:
    parts = [part.strip() for part in text.split(",")]
    if any(_NUMBER.fullmatch(part) for part in parts) or not all(parts):
        raise _refusal("--stages", f'"{text}" has a bore without a unit',
                       "a comma parts the stages, so it cannot stand in a number",
                       "write each bore with its unit and a point, as in 40mm,18.5mm")  # fmt: skip
    if len(parts) > MOST_STAGES:
        what = f"there are {len(parts)} stages"
        raise _refusal("--stages", what, "a first case has one or two; others are written into it",
                       "name two bores, then add a [[stage]] for each of the others")  # fmt: skip
    return tuple(_read("--stages", find_field(STAGE, "bore"), part) for part in parts)


def _valve(text: str) -> Valve:
    """Read a nominal flow, of the litre that is named or ANR, or a sonic conductance."""
    named = re.search(r"\s*\(?(ANR|DIN\s*1343)\)?\s*$", text)
    plain = text[: named.start()] if named else text
    litre = "DIN 1343" if named and named[1].startswith("DIN") else "ANR"
    if normal := re.fullmatch(r"(.*\d\s*)[Nn]([lL]/min|m3/h)\s*", plain):
        plain, litre = normal[1] + normal[2], "DIN 1343"
    key = "C" if "conductance" in find_dimensions(spell(_unit(plain))) else "Qn"
    typed = _read("--valve", find_field(_ELEMENT, key), plain)
    if key == "C":
        return Valve(sonic=typed.value, entries=f'C = "{typed.text}"')
    more = f', reference_atmosphere = "{litre}"' if litre != "ANR" else ""
    return Valve(sonic=from_nominal_flow(typed.value, USUAL_RATIO, litre),
                 entries=f'Qn = "{typed.text}"{more}')  # fmt: skip


def _title(text: str) -> str:
    try:
        check_text(text.strip(), "title")
    except QuantityError as fault:
        raise _refusal("--title", fault.message, fault.why, fault.fix) from None
    return text.strip()


def _misfits(asked: Asked) -> Iterator[Fault]:
    """Yield what no machine can have together, before anything is made of it."""
    supply, receiver = asked.supply or USUAL_SUPPLY, asked.receiver
    if receiver and receiver.value <= supply.value:
        yield Fault(option="--receiver", why="a booster raises pressure",
                    message=f"{receiver.text} is not above the supply, {supply.text}",
                    fix=f"a receiver above {supply.text}")  # fmt: skip
    if len(asked.stages) == 2 and asked.stages[1].value >= asked.stages[0].value:
        first, second = asked.stages
        yield Fault(option="--stages", why="pressure rises between them as areas fall",
                    message=f"the second stage, {second.text}, is not smaller than the first, "
                    f"{first.text}", fix=f"a second bore below {first.text}")  # fmt: skip
    wide = max((stage.value for stage in asked.stages), default=0.0)
    if asked.bore and wide >= asked.bore.value:
        yield Fault(option="--stages",
                    message=f"a stage is not smaller than the drive, {asked.bore.text}",
                    why="pressure is raised in the ratio of the areas, less friction",
                    fix=f"bores below {asked.bore.text}")  # fmt: skip
