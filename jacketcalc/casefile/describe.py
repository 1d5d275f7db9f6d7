"""Parts of what was understood of a case, as lines of text: entries, materials, notes."""

from __future__ import annotations

from jacketcalc.casefile.columns import pad_columns, wrap_columns
from jacketcalc.casefile.fields import Field, find_field
from jacketcalc.casefile.improbable import list_improbable
from jacketcalc.casefile.rendering import WIDTH, printable
from jacketcalc.casefile.schema import ROOT
from jacketcalc.inputs import Case, Given, Jacket, Solid
from jacketcalc.makeable import list_unmade, say_unmade
from jacketcalc.materials import MATERIALS
from jacketcalc.unit_display import System, format_quantity, to_display
from jacketcalc.units import spell
from jacketcalc.wall_stress import Wall, overstressed

MEGAPASCAL = 1e6
"""One megapascal [Pa]."""
_KEY = 28
"""Columns for a key, with two blanks behind it [-]."""
_VALUE = 14
"""Columns for a value with a remark after it [-]."""
_UNSOURCED = tuple(table.key for table in ROOT.tables if not table.sourced)


def field_at(path: str) -> Field:
    """Return the schema of an entry from its dotted path in the case."""
    table = ROOT
    steps = path.split(".")
    while len(steps) > 1:
        head = steps.pop(0)
        table = next(inner for inner in table.tables if inner.key == head)
        if table.array or table.named:
            steps.pop(0)
    return find_field(table, steps[0])


def describe_entries(entries: list[Given], system: System) -> list[str]:
    """Return a line or more for each entry, under a head for each table."""
    lines: list[str] = []
    head: str | None = None
    for given in entries:
        table, _, key = given.path.rpartition(".")
        if table and table != head:
            lines += _head(table, given)
        head = table
        lines += _entry(key, given, system)
    return lines


def _head(table: str, given: Given) -> list[str]:
    """Return a table's head with where its numbers come from at the right."""
    source = "" if given.assumed or table in _UNSOURCED else given.source
    head = f"  [{printable(table)}]"
    lines = [pad_columns(head, WIDTH - len(source)) + source]
    if given.reference:
        lines += _wrap(f"from: {given.reference}", "    ", "      ")
    return lines


def _wrap(text: str, first: str, later: str) -> list[str]:
    return wrap_columns(printable(text), WIDTH, first, later)


def _entry(key: str, given: Given, system: System) -> list[str]:
    """Return one entry: as understood, then as typed or why it was filled in."""
    field = field_at(given.path)
    shown = _show(field, given, system)
    name = key.replace("_", " ")
    above = [f"    {name}"] if len(name) > _KEY - 2 else []
    lead = f"    {'' if above else name:<{_KEY}}"
    remark = field.why if given.assumed else ""
    if given.derived:
        remark = given.text
    elif not given.assumed and _unit(given.text) != _unit(shown):
        remark = f"(typed {given.text})"
    if not remark or len(shown) > _VALUE:
        return above + _wrap(f"{shown}  {remark}".rstrip(), lead, " " * len(lead))
    first = f"{lead}{shown:<{_VALUE}}  "
    return above + _wrap(remark, first, " " * len(first))


def _show(field: Field, given: Given, system: System) -> str:
    """Return a value in display units, with its tolerance."""
    if field.kind == "count":
        return f"{given.value:.0f}"
    if isinstance(given.value, str):
        return given.value
    dimension = field.dimension
    if dimension == "ratio" and "%" in given.text:
        dimension = "percent"
    shown = format_quantity(
        given.value, dimension, system, 4 if given.assumed or given.derived else 6
    )
    mark, size = ("+-", given.tolerance) if given.tolerance else ("u", given.standard_uncertainty)
    if not size:
        return shown
    half = {"temperature": "temperature difference", "pressure": "pressure difference"}
    digits = 2 if given.derived else 6
    spread = format_quantity(size, half.get(dimension, dimension), system, digits)
    return f"{shown} {mark} {spread}"


def _unit(text: str) -> str:
    """Return the unit of the first quantity in a text."""
    value = text.partition("+-")[0].partition("±")[0].strip()
    return spell(value.lstrip("+-0123456789.eE "))


def describe_materials(case: Case, system: System) -> list[str]:
    """Return one line for each material used, with where its values come from."""
    lines: list[str] = []
    for solid in _used(case):
        low = format_quantity(solid.lowest, "temperature", system, 4)
        high = format_quantity(solid.highest, "temperature", system, 4)
        conductivity = format_quantity(solid.conductivity, "conductivity", system, 4)
        first = pad_columns(f"  {printable(solid.name)}", 18) + "  "
        text = f"{conductivity}, {low} to {high}, emissivity {solid.emissivity:g}; "
        lines += _wrap(text + _origin(solid), first, " " * 20)
    return lines


def _used(case: Case) -> list[Solid]:
    machine = case.machine
    found = [machine.drive.material]
    for stage in machine.stages:
        found += [stage.material, stage.seal]
        found += [stage.jacket.shell] if isinstance(stage.jacket, Jacket) else []
    for exhaust in (machine.exhaust_1, machine.exhaust_2):
        found += [exhaust.tube.material] if exhaust.tube else []
    return list({solid.name: solid for solid in found}.values())


def _origin(solid: Solid) -> str:
    record = MATERIALS.get(solid.name)
    return "case" if record is None else record.origin


def list_notes(case: Case) -> list[str]:
    """Return what is sound but easily not meant."""
    machine = case.machine
    goals = (machine.exhaust_1.to, machine.exhaust_2.to)
    notes = [
        f'The jacket of "{stage.name}" is fed by no exhaust port: it only insulates.'
        for stage in machine.stages
        if stage.jacket is not None and stage.name not in goals
    ]
    if goals[0] == goals[1] != "atmosphere":
        notes.append(f'Both exhaust ports feed the jacket of "{goals[0]}", in turn.')
    if all(stage.jacket is None for stage in machine.stages):
        notes.append("No stage has a jacket yet: jacketcalc propose winds one round each barrel.")
    if machine.valve.cycle_rate is not None:
        notes.append(
            "The cycle rate is imposed: as long as the machine reaches it, what the jackets resist "
            "shortens the rest at the stroke ends and costs no delivery. The verdict gives the "
            "machine without an imposed rate beside it."
        )
    system: System = case.document.units
    unmade = say_unmade(list_unmade(case))
    notes += [f"As drawn it cannot be made with what [make] states: {unmade}."] if unmade else []
    notes += [describe_stress(wall, system) for wall in overstressed(machine)]
    return notes + list_improbable(case)


def describe_stress(wall: Wall, system: System) -> str:
    """Say that a wall's stress is above what is usual for its material."""
    assert wall.usual is not None
    pressure = format_quantity(wall.pressure, "pressure difference", system, 3)
    stress, low, high = (_stress(value, system) for value in (wall.stress, *wall.usual))
    return (
        f"The hoop stress of the {wall.name} is {stress} at {pressure} above ambient inside "
        f"({wall.formula}). For {wall.compared_with} a design stress of {low} to {high} is usual, "
        f"two thirds of the proof stress. Is the decimal point of {wall.key} right? Strength is "
        "not checked here."
    )


def _stress(stress: float, system: System) -> str:
    if system == "SI":
        return f"{stress / MEGAPASCAL:.0f} MPa"
    return f"{to_display(stress, 'pressure difference', system):.0f} psi"
