"""Reads single entries of a case into values, and fills in those that are missing."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from jacketcalc.casefile.catalogue_data import is_idle, stands_for
from jacketcalc.casefile.fields import SOURCES, CaseTable, Field, find_field, former_keys
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.read_field import (
    Entry,
    check_text,
    lower_first,
    name_type,
    read_entry,
    refuse_word,
)
from jacketcalc.casefile.read_values import ASSUMED, Origin, Values
from jacketcalc.casefile.receiver_rules import fill_receiver_rule
from jacketcalc.casefile.rules import fill_rule
from jacketcalc.casefile.schema import find_table, known_keys
from jacketcalc.casefile.schema_machine import AMBIENT
from jacketcalc.casefile.similar import find_similar, join_words
from jacketcalc.casefile.source import CaseText
from jacketcalc.errors import Problem
from jacketcalc.inputs import Given, Solid
from jacketcalc.materials import MATERIALS as BUILT_IN
from jacketcalc.quantity_problems import QuantityError
from jacketcalc.unit_display import System, format_quantity
from jacketcalc.units import SI_UNITS, example

MOST_COMPARED = 50
"""Unknown keys of one table for which the nearest known key is looked for."""


def _sample(field: Field) -> str:
    """Return a value of the kind a missing entry wants."""
    if field.kind == "count":
        return f"{int(field.low)}"
    if field.kind == "quantity":
        return f'"{example(field.dimension)}"'
    return f'"{field.choices[0]}"' if field.choices else '"..."'


def _or_others(field: Field, own: Path) -> str:
    """Name the entries that may stand in place of one."""
    table = find_table(own[:-1])
    others = [one.key for one in table.fields if one.instead_of == field.key] if table else []
    return f", or one of {join_words(others)}" if others else ""


@lru_cache(maxsize=512)
def _read_default(field: Field, ambient: float) -> Entry:
    """Read what is filled in for an entry; ambient pressure in Pa."""
    value: object = int(field.default) if field.kind == "count" else field.default
    return read_entry(field, value, ambient)


class EntryReader:
    """Reads the entries of one case; problems collect in `problems`."""

    def __init__(self, source: CaseText) -> None:
        self.source = source
        self.values = Values()
        self.problems: list[Problem] = list(source.problems)
        self.own: dict[str, Solid] = {}
        self.own_names: tuple[str, ...] = ()
        self._rules: list[tuple[int, Path, Field]] = []
        self._murky = self._find_murky()
        self._meant: dict[Path, dict[str, str]] = {}
        self.misspelt_tables: set[Path] = set()
        self.system: System = self._find_system()
        self._ambient = self._find_ambient_pressure()

    def _find_system(self) -> System:
        """Read ahead in which units to speak; SI where that cannot be read."""
        document = self.source.tree.get("document")
        typed = document.get("units") if isinstance(document, dict) else None
        return "inch-pound" if typed == "inch-pound" else "SI"

    def _find_ambient_pressure(self) -> float:
        """Read ambient pressure ahead, for gauge pressures; its problems are found later."""
        field = find_field(AMBIENT, "pressure")
        standard = float(read_entry(field, field.default, None).value)
        tree = self.source.tree
        ambient = tree.get(AMBIENT.key, tree.get(AMBIENT.former))
        typed = ambient.get("pressure") if isinstance(ambient, dict) else None
        if not isinstance(typed, str):
            return standard
        try:
            return float(read_entry(field, typed, None).value)
        except QuantityError:
            return standard

    def add(self, name: str, message: str, path: Path, **more: Any) -> None:
        """Note a problem."""
        self.problems.append(self.source.problem(name, message, path, **more))

    def show(self, value: float, dimension: str, digits: int = 4) -> str:
        """Return a number in the units of the case."""
        return format_quantity(value, dimension, self.system, digits)

    def read_origin(
        self, table: CaseTable, node: dict[str, Any], path: Path, above: Origin
    ) -> Origin:
        """Read a table's source and reference; what it does not state it has from above."""
        word, reference = above
        if "source" in node:
            word = self._read_source(node["source"], (*path, "source"))
        elif table.sourced and not word:
            self._note_no_source(node, path)
        if "reference" in node:
            reference = self._read_reference(node["reference"], (*path, "reference"), reference)
        return Origin(word, reference)

    def _read_source(self, word: object, path: Path) -> str:
        if not isinstance(word, str):
            self._refuse_type_of(word, path, "a word")
        elif word not in SOURCES:
            self._refuse_entry(refuse_word(word, "source", SOURCES), path)
        else:
            return word
        return ASSUMED.source

    def _note_no_source(self, node: dict[str, Any], path: Path) -> None:
        if self.is_unread((*path, "source")) or self.is_misspelt("source", node, path):
            return
        self.add(
            "source-missing",
            "the table does not say where its numbers come from",
            path,
            label="no source",
            why=f"every table carries one word: {', '.join(SOURCES)}",
            fix='add the word that is true, such as source = "drawing"',
        )

    def _read_reference(self, typed: object, path: Path, above: str) -> str:
        if not isinstance(typed, str):
            self._refuse_type_of(typed, path, "a text")
            return above
        try:
            check_text(typed, "reference")
        except QuantityError as fault:
            self._refuse_entry(fault, path)
            return above
        return typed

    def _refuse_type_of(self, value: object, path: Path, wanted: str) -> None:
        message = f'"{path[-1]}" is {name_type(value)}, not {wanted}'
        self.add(
            "type-wrong",
            message,
            path,
            label=f"{wanted} in quotes is wanted",
            why="it says in words where the numbers come from",
            fix=f'{path[-1]} = "..."' if path[-1] != "source" else 'source = "drawing"',
        )

    def is_unread(self, path: Path) -> bool:
        """Return whether a key may stand on a line that could not be read."""
        return (
            path in self.source.unread or path[:-1] in self._murky or path in self.misspelt_tables
        )

    def _find_murky(self) -> frozenset[Path]:
        """Find the tables in which a line could not be read as far as naming a known key."""
        tables = {path[:-1]: find_table(path[:-1]) for path in self.source.unread}
        return frozenset(
            path[:-1]
            for path in self.source.unread
            if (table := tables[path[:-1]]) is None or path[-1] not in known_keys(table)
        )

    def find_meant(self, node: dict[str, Any], path: Path) -> dict[str, str]:
        """Return the unknown keys of a table, each with the known key it is most like."""
        if path not in self._meant:
            table = find_table(path)
            known = known_keys(table) if table else ()
            unknown = [key for key in node if key not in known]
            former = former_keys(table) if table else {}
            moved = dict(table.moved) if table else {}
            near = {
                key: "" if key in moved else former.get(key) or find_similar(key, known)
                for key in unknown[:MOST_COMPARED]
            }
            self._meant[path] = dict.fromkeys(unknown, "") | near
        return self._meant[path]

    def is_misspelt(self, key: str, node: dict[str, Any], path: Path) -> bool:
        """Return whether an unknown key of the table is most like the one that is missing."""
        return key in self.find_meant(node, path).values()

    def read(self, field: Field, node: dict[str, Any], path: Path, origin: Origin) -> None:
        """Read one entry of a table, fill it in, or note what is wrong with it."""
        # Under a key of version 0.1, which is refused, the value may be wrong too.
        former = bool(field.former) and field.key not in node and field.former in node
        typed = field.former if former else field.key
        own: Path = (*path, typed)
        if typed not in node:
            self._fill(field, node, own)
            return
        try:
            is_ambient = typed == "pressure" and find_table(path) is AMBIENT
            ambient = None if is_ambient else self._ambient
            entry = read_entry(field, node[typed], ambient, self.system)
            if field.kind == "material":
                self._find_solid(str(entry.value), own)
        except QuantityError as fault:
            self._refuse_entry(fault, own)
            return
        if not former:
            self._keep(field, own, entry, origin)

    def _find_solid(self, name: str, path: Path) -> None:
        if name in self.own:
            self.values.solids[path] = self.own[name]
        elif name in BUILT_IN:
            self.values.solids[path] = BUILT_IN[name].solid
        elif name not in self.own_names:
            similar = find_similar(name, (*BUILT_IN, *self.own_names))
            raise QuantityError(
                "material-unknown",
                f'the material "{name}" is not known',
                width=len(name),
                label=f'the nearest is "{similar}"' if similar else "not known",
                why=f"built in: {', '.join(BUILT_IN)}; or a table [materials.NAME] of your own",
                fix=f'{path[-1]} = "{similar}"' if similar else "write one of these",
            )

    def _refuse_entry(self, fault: QuantityError, path: Path) -> None:
        self.add(
            fault.name,
            fault.message,
            path,
            start=fault.start,
            width=fault.width,
            label=fault.label,
            why=fault.why,
            fix=fault.fix,
        )

    def _fill(self, field: Field, node: dict[str, Any], own: Path) -> None:
        """Fill in an entry that is not there, or note that it is missing."""
        if field.optional or self.is_unread(own) or is_idle(field, node):
            return
        meant = (*node, *self.find_meant(node, own[:-1]).values())
        if field.key in meant or self._stands_for(field, meant, own):
            return
        if field.rule:
            self._rules.append((len(self.values.given), own, field))
            self.values.given.append(Given(path="", text="", value="", unit="", source=""))
        elif field.required:
            self.add(
                "key-missing",
                f'"{field.key}" is missing',
                own,
                label=f'no "{field.key}"' if len(own) > 1 else "",
                why=f"{self.source.describe_path(own)}: {lower_first(field.about)}",
                fix=f"add {field.key} = {_sample(field)}" + _or_others(field, own),
            )
        else:
            entry = _read_default(field, self._ambient)
            if field.kind == "material":
                self._find_solid(str(entry.value), own)
            self._keep(field, own, entry, ASSUMED, assumed=True)

    def _stands_for(self, field: Field, meant: tuple[str, ...], own: Path) -> bool:
        """Return whether another entry gives what this one would, if its line can be read."""
        table = find_table(own[:-1])
        ways = [one.key for one in table.fields if one.instead_of] if table else []
        unread = [key for key in ways if self.is_unread((*own[:-1], key))]
        return stands_for(field, (*meant, *unread), table)

    def _keep(
        self, field: Field, own: Path, entry: Entry, origin: Origin, assumed: bool = False
    ) -> None:
        if isinstance(entry.value, str):
            self.values.words[own] = entry.value
        else:
            self.values.numbers[own] = entry.value
        self.values.given.append(self._make_given(field, own, entry, origin, assumed))

    def _make_given(
        self, field: Field, own: Path, entry: Entry, origin: Origin, assumed: bool
    ) -> Given:
        return Given(
            path=self.source.describe_path(own),
            text=entry.text,
            value=entry.value,
            unit="" if isinstance(entry.value, str) else SI_UNITS.get(field.dimension, ""),
            source=origin.source or ASSUMED.source,
            tolerance=entry.tolerance,
            standard_uncertainty=entry.standard_uncertainty,
            assumed=assumed,
            reference=origin.reference,
        )

    def fill_rules(self) -> None:
        """Fill in what follows from other entries, in an order in which each is known."""
        drive = self.values.at("drive")
        for slot, own, field in sorted(
            self._rules, key=lambda rule: rule[2].key == "barrel_length"
        ):
            stage = self.values.at(*own[:2])
            number = (
                fill_receiver_rule(field.rule, self.values)
                if own[0] == "receiver"
                else fill_rule(field.rule, self.values.at(*own[:-1]), stage, drive)
            )
            if number is None:
                continue
            self.values.numbers[own] = number
            entry = Entry(number, self.show(number, field.dimension))
            self.values.given[slot] = self._make_given(field, own, entry, ASSUMED, True)
