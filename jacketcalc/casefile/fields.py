"""The kinds of entry a case file can have."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple

from jacketcalc.quantity_problems import QuantityError
from jacketcalc.references import SOURCES as REFERENCES

Kind = Literal["quantity", "word", "text", "count", "material", "name", "sizes"]

SOURCES = ("measured", "drawing", "catalogue", "standard", "assumed", "invented")
"""Words that say where a table's numbers come from."""


class Field(NamedTuple):
    """One key."""

    key: str
    """The key."""
    kind: Kind
    """What its value is."""
    about: str
    """One sentence for editors and the template."""
    dimension: str = ""
    """Dimension of a quantity."""
    default: str = ""
    """As it would be typed; empty when there is none."""
    rule: str = ""
    """Name of the rule that fills it in from other entries; empty when there is none."""
    why: str = ""
    """Why the default or the rule is what it is."""
    optional: bool = False
    """Whether it may stay away without being filled in."""
    low: float = float("-inf")
    """Lowest value in SI [-]."""
    high: float = float("inf")
    """Highest value in SI [-]."""
    choices: tuple[str, ...] = ()
    """Words it can be."""
    cites: str = ""
    """Key of the source behind the default, in `jacketcalc.references`; empty where none is."""
    instead_of: str = ""
    """Entry in whose place it may stand, empty where there is none."""
    belongs_to: str = ""
    """Entry of which it tells more, and without which it says nothing; empty where none is."""
    former: str = ""
    """Its key in cases of version 0.1, empty where that was the same."""
    former_choices: tuple[tuple[str, str], ...] = ()
    """Words of version 0.1, each with the word that stands for it now."""
    refused: Callable[[str, tuple[str, ...]], QuantityError | None] | None = None
    """Gives the error for a word that has one of its own; None where none has."""

    @property
    def required(self) -> bool:
        """Whether a case without it cannot be used."""
        return not (self.default or self.rule or self.optional)


class CaseTable(NamedTuple):
    """One table."""

    key: str
    """Its key."""
    about: str
    """One sentence for editors and the template."""
    fields: tuple[Field, ...]
    """Its entries."""
    tables: tuple[CaseTable, ...] = ()
    """Tables inside it."""
    presence: Literal["required", "optional", "filled"] = "required"
    """`filled`: where it is missing, every default in it is filled in."""
    sourced: bool = True
    """Whether it must say where its numbers come from."""
    array: bool = False
    """Whether it stands once for each of several like things."""
    most: int = 2
    """Tables that an array can have [-]."""
    named: bool = False
    """Whether its keys are names of the user's and each holds such a table."""
    former: str = ""
    """Its key in cases of version 0.1, empty where that was the same."""
    moved: tuple[tuple[str, str], ...] = ()
    """Keys that stood here once, each with the path of the entry that stands for it now."""


def find_field(table: CaseTable, key: str) -> Field:
    """Return one entry of a table."""
    return next(field for field in table.fields if field.key == key)


def quantity(
    key: str,
    dimension: str,
    about: str,
    low: float,
    high: float,
    *,
    default: str = "",
    rule: str = "",
    why: str = "",
    optional: bool = False,
    cites: str = "",
    former: str = "",
) -> Field:
    """Make a quantity with its limits in SI; how a source was obtained is said by its record."""
    said = f"{why}, {REFERENCES[cites].obtained}" if cites else why
    return Field(
        key, "quantity", about, dimension, default, rule, said, optional, low, high, cites=cites,
        former=former,
    )  # fmt: skip


def word(
    key: str,
    about: str,
    choices: tuple[str, ...],
    default: str = "",
    why: str = "",
    *,
    former: str = "",
    former_choices: tuple[tuple[str, str], ...] = (),
) -> Field:
    """Make an entry that is one of a few words."""
    return Field(key, "word", about, default=default, why=why, choices=choices, former=former,
                 former_choices=former_choices)  # fmt: skip


def former_keys(table: CaseTable) -> dict[str, str]:
    """Return the keys of a table in version 0.1 that are others now, each with the one of today."""
    found = {field.former: field.key for field in table.fields if field.former}
    return found | {inner.former: inner.key for inner in table.tables if inner.former}
