"""From values that passed every check to the records of `inputs`.

A field is read under its own name, as its type says; named here is what has another key, or needs
more than one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, Literal, TypeVar, cast, get_origin, get_type_hints

from jacketcalc import inputs
from jacketcalc.casefile.read_field import read_sizes
from jacketcalc.casefile.read_values import CaseView, Values
from jacketcalc.casefile.reading_paths import reading_paths
from jacketcalc.casefile.rules import has_gallery
from jacketcalc.casefile.schema_reading import READ_KEYS
from jacketcalc.casefile.source import CaseText
from jacketcalc.flow_data import free_air_density
from jacketcalc.readings import Jackets, Place, Reading

R = TypeVar("R")


def build_case(values: Values, source: CaseText) -> inputs.Case:
    """Build the case."""
    return inputs.Case(
        title=values.at().word("title"),
        machine=build_machine(values),
        judgement=_record(inputs.Judgement, values.at("judge")),
        make=_record(inputs.Make, values.at("make")),
        document=_record(inputs.Document, values.at("document")),
        given=tuple(values.given),
        readings=build_readings(values),
        sha256=source.sha256,
        text=source.text,
        file=source.file,
    )


def build_readings(values: Values) -> tuple[Reading, ...]:
    """Build the readings of a bench."""
    return tuple(_reading(values.at(*path), values) for path in reading_paths(values))


def _reading(table: CaseView, values: Values) -> Reading:
    key = next(key for key in READ_KEYS if table.maybe(key) is not None)
    given = next(g for g in values.given if g.path == f"reading.{int(table.path[1]) + 1}.{key}")
    u = given.standard_uncertainty or given.tolerance / math.sqrt(3.0)
    return Reading(
        kind=READ_KEYS[key],
        value=table.number(key),
        standard_uncertainty=u,
        jackets=cast(Jackets, table.word("jackets")),
        stage=table.word("stage"),
        place=cast(Place, table.word("place")),
        duration=table.maybe("duration") or 0.0,
        supply_pressure=table.maybe("supply_pressure"),
        receiver_pressure=table.maybe("receiver_pressure"),
        ambient_temperature=table.maybe("ambient_temperature"),
        receiver_volume=table.maybe("receiver_volume") or 0.0,
        pressure_from=table.maybe("pressure_from") or 0.0,
        pressure_to=table.maybe("pressure_to") or 0.0,
    )


def build_machine(values: Values) -> inputs.Machine:
    """Build the machine."""
    return inputs.Machine(
        ambient=_record(inputs.Ambient, values.at("ambient")),
        supply=_supply(values),
        valve=_valve(values.at("valve")),
        drive=_drive(values.at("drive")),
        stages=tuple(_stage(CaseView(values, path)) for path in values.stage_paths),
        receiver_pressure=values.at("receiver").number("pressure"),
        exhaust_1=_exhaust(values.at("exhaust", "port_1")),
        exhaust_2=_exhaust(values.at("exhaust", "port_2")),
        models=_record(inputs.Models, values.at("models")),
        receiver=_receiver(values.at("receiver")),
        gas=_record(inputs.Gas, values.at("gas")) if values.at().has("gas") else inputs.Gas(),
        source=_record(inputs.Source, values.at("source")) if values.at().has("source") else None,
    )


def _count(table: CaseView, key: str) -> int:
    return int(table.number(key))


def _sizes(table: CaseView, key: str) -> tuple[float, ...]:
    text = table.word(key)
    return read_sizes(text) if text else ()


_READERS: Mapping[Any, Callable[[CaseView, str], Any]] = {
    float: CaseView.number,
    float | None: CaseView.maybe,
    int: _count,
    str: CaseView.word,
    tuple[float, ...]: _sizes,
    inputs.Solid: CaseView.solid,
}
"""Type of a field to how its entry is read."""


@cache
def _readers(kind: type[Any]) -> dict[str, Callable[[CaseView, str], Any] | None]:
    """Return how each field of a record is read, None where its type does not say."""
    return {
        name: CaseView.word if get_origin(hint) is Literal else _READERS.get(hint)
        for name, hint in get_type_hints(kind).items()
    }


def _record(kind: type[R], table: CaseView, **others: Any) -> R:
    """Make a record of a table; `others` are the fields that have no entry of their name."""
    for name, read in _readers(cast(Any, kind)).items():
        if name not in others and read is not None:
            others[name] = read(table, name)
    return kind(**others)


def _flow_element(table: CaseView) -> inputs.FlowElement:
    b = table.number("b")
    return _record(
        inputs.FlowElement, table, sonic=table.number("C"), critical_back_pressure_ratio=b
    )


def _drive(table: CaseView) -> inputs.Drive:
    return _record(inputs.Drive, table, cylinders=int(table.maybe("cylinders") or 1))


def _supply(values: Values) -> inputs.Supply:
    table, ambient = values.at("supply"), values.at("ambient")
    line = _flow_element(table.inside("line")) if table.has("line") else None
    capacity = values.at("compressor").maybe("capacity")
    if capacity is not None:
        capacity *= free_air_density(ambient.number("pressure"), ambient.number("temperature"))
    short = cast(inputs.WhenShort, values.at("compressor").word("when_short"))
    return _record(
        inputs.Supply, table, line=line, capacity=capacity, when_short=short, intake=_intake(table)
    )


def _intake(supply: CaseView) -> inputs.Intake | None:
    if supply.maybe("relative_humidity") is None:
        return None
    return _record(
        inputs.Intake,
        supply,
        temperature=supply.number("intake_temperature"),
        pressure=supply.number("intake_pressure"),
    )


def _receiver(table: CaseView) -> inputs.Receiver | None:
    if table.maybe("volume") is None:
        return None
    return _record(inputs.Receiver, table, start_pressure=table.number("from"))


def _valve(table: CaseView) -> inputs.Valve:
    paths = {key: _flow_element(table.inside(key)) for key in ("supply_path", "exhaust_path")}
    return _record(inputs.Valve, table, **paths)


def _check_valve(table: CaseView) -> inputs.CheckValve:
    return _record(inputs.CheckValve, table, conductance=_flow_element(table))


def _stage(table: CaseView) -> inputs.Stage:
    return _record(
        inputs.Stage,
        table,
        compresses_on=cast(inputs.Stroke, _count(table, "compresses_on_stroke")),
        inlet=_check_valve(table.inside("inlet")),
        delivery=_check_valve(table.inside("delivery")),
        seal=table.solid("seal_material"),
        line=_record(inputs.Line, table.inside("line")) if table.has("line") else None,
        jacket=_jacket(table.inside("jacket")) if table.has("jacket") else None,
    )


def _jacket(table: CaseView) -> inputs.Jacket:
    return _record(
        inputs.Jacket,
        table,
        gallery_width=table.number("gallery_width") if has_gallery(table) else 0.0,
        shell=table.solid("shell_material"),
    )


def _exhaust(table: CaseView) -> inputs.Exhaust:
    return _record(
        inputs.Exhaust,
        table,
        tube=_record(inputs.Tube, table.inside("tube")) if table.has("tube") else None,
        silencer=_flow_element(table.inside("silencer")) if table.has("silencer") else None,
    )
