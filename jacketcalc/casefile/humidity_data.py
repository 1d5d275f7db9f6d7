"""The humidity of the supply: a dew point, a class, or a relative humidity at the compressor."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from jacketcalc.air_quality import HUMIDITY_CLASSES
from jacketcalc.casefile.fields import CaseTable, Field, quantity
from jacketcalc.casefile.positions import Path
from jacketcalc.casefile.read_values import ASSUMED, CaseView, Origin
from jacketcalc.casefile.schema_parts import KELVIN, PRACTICE
from jacketcalc.casefile.similar import join_words
from jacketcalc.inputs import Given
from jacketcalc.units import SI_UNITS, tidy

if TYPE_CHECKING:
    from jacketcalc.casefile.read_entries import EntryReader

MAIN, CLASS, RELATIVE = "pressure_dew_point", "humidity_class", "relative_humidity"
WAYS = (MAIN, CLASS, RELATIVE)
"""Entries that tell the humidity, one of which may stand."""
APPROACH = 10.0
"""Air behind an aftercooler above the surroundings; practice, no source [K]."""


def humidity_fields() -> tuple[Field, ...]:
    """Make the entries that may stand in place of a pressure dew point."""
    state = (
        quantity("intake_temperature", "temperature", "Of the air its compressor takes in",
                 KELVIN - 40.0, KELVIN + 60.0, rule="intake_temperature", why="ambient air"),
        quantity("intake_pressure", "pressure", "Of the air its compressor takes in", 3e4, 1.2e5,
                 rule="intake_pressure", why="ambient air"),
        quantity("aftercooler_temperature", "temperature", "Behind its aftercooler, where water is "
                 "drained", KELVIN - 40.0, KELVIN + 120.0, rule="aftercooler_temperature",
                 why=f"{APPROACH:g} K above ambient; {PRACTICE}"),
    )  # fmt: skip
    ways = (
        Field(
            CLASS, "count", "In place of pressure_dew_point: humidity class of ISO 8573-1",
            optional=True, low=min(HUMIDITY_CLASSES), high=max(HUMIDITY_CLASSES),
        ),
        quantity(RELATIVE, "ratio", "In place of pressure_dew_point: relative humidity at the "
                 "intake of its compressor, of air that passes no dryer", 0.001, 1.0,
                 optional=True),
    )  # fmt: skip
    return (
        *(way._replace(instead_of=MAIN) for way in ways),
        *(field._replace(belongs_to=RELATIVE) for field in state),
    )


def fill_intake(rule: str, supply: CaseView) -> float | None:
    """Return what a rule of the compressor's state gives, in SI; None where it cannot."""
    ambient = supply.values.at("ambient")
    if rule == "intake_pressure":
        return ambient.maybe("pressure")
    found = ambient.maybe("temperature")
    return found if found is None or rule == "intake_temperature" else found + APPROACH


def settle_humidity(
    reader: EntryReader, table: CaseTable, node: dict[str, Any], path: Path, origin: Origin
) -> None:
    """Make a dew point of a class; note what tells the humidity twice, or idly."""
    ways = [key for key in WAYS if key in node]
    for extra in ways[1:]:
        reader.add(
            "humidity-twice",
            f'"{ways[0]}" and "{extra}" both tell the humidity of the supply',
            (*path, extra),
            on_key=True,
            label="second time",
            why=f"one of {join_words(WAYS)} tells it; two could disagree",
            fix="leave one of them out",
        )
    for field in table.fields:
        if field.key in node and field.belongs_to and field.belongs_to not in node:
            reader.add(
                "humidity-idle",
                f'"{field.key}" says nothing without "{RELATIVE}"',
                (*path, field.key),
                on_key=True,
                label=f'no "{RELATIVE}" here',
                why="a dew point or a class tells the humidity whatever the compressor takes in",
                fix=f'leave it out, or tell the humidity by "{RELATIVE}"',
            )
    number = reader.values.at(*path).maybe(CLASS)
    if ways == [CLASS] and number is not None:
        _derive(reader, int(number), path, origin)


def _derive(reader: EntryReader, number: int, path: Path, origin: Origin) -> None:
    dew_point = tidy(HUMIDITY_CLASSES[number])
    reader.values.numbers[(*path, MAIN)] = dew_point
    reader.values.given.append(
        Given(
            path=reader.source.describe_path((*path, MAIN)),
            text=f"from {CLASS} {number}, ISO 8573-1: its highest",
            value=dew_point,
            unit=SI_UNITS["temperature"],
            source=origin.source or ASSUMED.source,
            derived=True,
            reference=origin.reference,
        )
    )
