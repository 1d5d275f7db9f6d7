"""The flow of an element as a catalogue prints it: one of C, Qn, Kv, Cv or a bore, made into C."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from jacketcalc import flow_data
from jacketcalc.casefile.fields import CaseTable, Field, find_field
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.read_values import ASSUMED, Origin, Values
from jacketcalc.casefile.similar import join_words
from jacketcalc.inputs import Given
from jacketcalc.units import SI_UNITS, tidy

if TYPE_CHECKING:
    from jacketcalc.casefile.read_entries import EntryReader

MAIN = "C"
"""The entry that every other way is made into."""
STANDARDS = {
    "Qn": "ISO 6358",
    "Kv": "IEC 60534",
    "Cv": "IEC 60534",
    "bore": "ideal nozzle",
}
"""Way to give a flow, to what C is made from it by."""
_POWER = {"bore": 2.0}
"""Power with which C grows with its entry, where that is not 1 [-]."""


def stands_for(field: Field, keys: Any, table: CaseTable | None) -> bool:
    """Return whether one of the keys that stand gives what a field of a table would."""
    fields = table.fields if table is not None else ()
    return any(one.instead_of == field.key and one.key in keys for one in fields)


def is_idle(field: Field, keys: Any) -> bool:
    """Return whether a field belongs to an entry that does not stand."""
    return bool(field.belongs_to) and field.belongs_to not in keys


def typed_flow(values: Values, table: Path) -> Path:
    """Return the path of the entry that gives an element's flow, as the case states it."""
    own = [key for key in STANDARDS if (*table, key) in values.numbers]
    return (*table, own[0] if own else MAIN)


def settle_flow(reader: EntryReader, table: CaseTable, node: dict[str, Any], path: Path,
                origin: Origin) -> None:  # fmt: skip
    """Make C of the one entry that gives an element's flow; note what is given twice or idly."""
    ways = [key for key in (MAIN, *STANDARDS) if key in node]
    for extra in ways[1:]:
        reader.add(
            "flow-twice",
            f'"{ways[0]}" and "{extra}" both give the flow of this element',
            (*path, extra),
            on_key=True,
            label="second time",
            why=f"one of {join_words((MAIN, *STANDARDS))} gives it; two could disagree",
            fix="leave one of them out",
        )
    for field in table.fields:
        if field.key in node and is_idle(field, node):
            reader.add(
                "flow-idle",
                f'"{field.key}" says nothing without "{field.belongs_to}"',
                (*path, field.key),
                on_key=True,
                label=f'no "{field.belongs_to}" here',
                why=f'it tells how "{field.belongs_to}" is meant',
                fix=f'leave it out, or give the flow by "{field.belongs_to}"',
            )
    if len(ways) == 1 and ways[0] != MAIN:
        _derive(reader, find_field(table, MAIN), ways[0], path, origin)


def _derive(reader: EntryReader, main: Field, way: str, path: Path, origin: Origin) -> None:
    view = reader.values.at(*path)
    needs = ("b", "discharge_coefficient") if way == "bore" else ("b",)
    if not view.holds(way, *needs) or (way == "Qn" and not view.word("reference_atmosphere")):
        return
    C = tidy(_conductance(view.number(way), way, reader.values, path))
    given = next(g for g in reversed(reader.values.given) if g.path.endswith(f".{way}"))
    if not main.low <= C <= main.high:
        low, high = (reader.show(end, "conductance") for end in (main.low, main.high))
        reader.add(
            "value-range",
            f'"{way}" makes a C outside {low} to {high}',
            (*path, way),
            label=reader.show(C, "conductance"),
            why="no element of such a machine is so small or so large",
            fix=f"see whether the unit or the decimal point of {way} is right",
        )
        return
    reader.values.numbers[(*path, MAIN)] = C
    tolerance = _POWER.get(way, 1.0) * C * given.tolerance / float(given.value)
    reader.values.given.append(
        Given(
            path=reader.source.describe_path((*path, MAIN)),
            text=_tell(way, given.text, reader.values, path),
            value=C,
            unit=SI_UNITS["conductance"],
            source=origin.source or ASSUMED.source,
            tolerance=tolerance,
            derived=True,
            reference=origin.reference,
        )
    )


def _conductance(number: float, way: str, values: Values, path: Path) -> float:
    view = values.at(*path)
    b = view.number("b")
    match way:
        case "Qn":
            return flow_data.from_nominal_flow(number, b, view.word("reference_atmosphere"))
        case "Kv":
            return flow_data.from_kv(number, b)
        case "Cv":
            return flow_data.from_cv(number, b)
        case "bore":
            return flow_data.from_bore(number, view.number("discharge_coefficient"))
        case _:
            raise KeyError(way)


def _tell(way: str, typed: str, values: Values, path: Path) -> str:
    """Say what C was made from, by what, and how far it may be off."""
    view, name, scatter = values.at(*path), STANDARDS[way], flow_data.SCATTER[way]
    if way == "Qn":
        typed += f" ({view.word('reference_atmosphere')})"
        own = next(g for g in reversed(values.given) if g.path.endswith(".b"))
        scatter = flow_data.SCATTER_WITHOUT_B if own.assumed else scatter
    if way == "bore":
        name += f" times {view.number('discharge_coefficient'):g}"
    return f"from {way} {typed}, {name}; scatter +-{100 * scatter:.0f} %"
