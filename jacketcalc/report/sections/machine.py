"""What the machine is: inputs with their sources, assumptions, materials, drawings."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from jacketcalc.casefile.describe import field_at, list_notes
from jacketcalc.inputs import Given, Jacket, Solid
from jacketcalc.materials import MATERIALS
from jacketcalc.report.figures.schematic import describe_schematic, draw_schematic
from jacketcalc.report.figures.section_notes import misfits
from jacketcalc.report.figures.stage_part import case_part, solved_part
from jacketcalc.report.figures.unrolled import describe_stage, draw_stage
from jacketcalc.report.model import Block, Bullets, Cell, Paragraph, Row, Table
from jacketcalc.report.sections.gas import gas_blocks
from jacketcalc.report.sections.sources import mark as mark_source
from jacketcalc.report.traced import Pen, group, left, right, row

_HALF = {"temperature": "temperature difference", "pressure": "pressure difference"}
_HIDDEN = ("title", "document")
_SHADED = (
    ", shaded by the mean temperature of its air; dashed lines are isotherms of the barrel's "
    "outside."
)
_CHOSEN = ("judge", "models")
"""Tables of what was asked and chosen: nothing in them is to be confirmed."""


def listed(pen: Pen) -> list[tuple[int, Given]]:
    """Return the entries that describe machine, question and models, with their places."""
    return [
        (i, given)
        for i, given in enumerate(pen.case.given)
        if given.path.partition(".")[0] not in _HIDDEN
    ]


def assumption_ids(pen: Pen) -> dict[int, str]:
    """Return the mark of every entry that nobody measured, drew or looked up."""
    open_ones = [
        i
        for i, g in listed(pen)
        if (g.assumed or g.source == "assumed") and g.path.partition(".")[0] not in _CHOSEN
    ]
    return {place: f"A{n}" for n, place in enumerate(open_ones, 1)}


def inputs_section(pen: Pen) -> Iterator[Block]:
    """Yield the table of every input, assumed ones marked, and the materials."""
    marks = assumption_ids(pen)
    yield Paragraph(
        "Every number of the case with its source. Entries marked A were filled in by the program "
        "or are stated as assumed: they are to be confirmed. What is asked (judge) and the choice "
        "of models bear no mark: they are not facts about the machine. Pressures are absolute."
        + _conductances(pen)
    )
    yield input_table(pen, marks)
    yield from gas_blocks(pen)
    yield materials_table(pen)
    notes = list_notes(pen.case)
    if notes:
        yield Bullets(tuple(notes))


def _conductances(pen: Pen) -> str:
    """Return what to say of the one unit that both systems share."""
    unit = pen.spell(f"1 {pen.unit('conductance')}").partition("\u00a0")[2]
    if pen.page.system == "SI" or "bar" not in unit:
        return ""
    return f" Conductances of valves keep the unit of ISO 6358, {unit}, in this system too."


def input_table(pen: Pen, marks: dict[int, str]) -> Table:
    """Return the table of inputs, under a head for each table of the case."""
    rows: list[Row] = []
    head = ""
    ordered = sorted(listed(pen), key=lambda pair: _order(pen, pair[1]))
    for place, given in ordered:
        table, _, key = given.path.rpartition(".")
        if table != head:
            rows.append(group(_head(table)))
            head = table
        rows.append(_input(pen, place, key, given, marks.get(place, "")))
    invented = sum(g.source == "invented" and not g.assumed for _, g in listed(pen))
    note = f"{len(marks)} of {len(ordered)} entries are assumed"
    note += f"; {invented} more are invented." if invented else "."
    return pen.table(
        "inputs",
        "Inputs",
        (
            left("", 0),
            left("Entry", 1.3),
            right("Value"),
            left("Unit", 0),
            right("Tolerance"),
            left("Source", 0.7),
            left("Remark", 1.6),
        ),
        rows,
        note,
    )


def _order(pen: Pen, given: Given) -> tuple[int, int]:
    tables = list(dict.fromkeys(g.path.rpartition(".")[0] for g in pen.case.given))
    keys = [g.path for g in pen.case.given]
    return tables.index(given.path.rpartition(".")[0]), keys.index(given.path)


def _head(table: str) -> str:
    return table.replace("_", " ").replace(".", ", ")


def _input(pen: Pen, place: int, key: str, given: Given, mark: str) -> Row:
    field = field_at(given.path)
    path = f"detail.inputs[{place}].value"
    unit, tolerance = "", ""
    if isinstance(given.value, str):
        value = Cell(text=given.value, path=path)
    else:
        dimension = field.dimension or "number"
        if dimension == "ratio" and "%" in given.text:
            dimension = "percent"
        value, unit = pen.stated(given.value, dimension, 4 if given.assumed else 6, path)
        if given.tolerance:
            half = _HALF.get(dimension, dimension)
            tolerance = "±\u00a0" + pen.quantity(given.tolerance, half, 3)
    remark = field.why if given.assumed else given.reference
    if given.assumed and field.cites:
        remark += " " + mark_source(pen.case, field.cites)
    source = "filled in" if given.assumed else given.source or "stated"
    return row(mark, key.replace("_", " "), value, unit, tolerance, source, remark)


def materials_table(pen: Pen) -> Table:
    """Return the table of materials, each with where its values come from."""
    rows = []
    for solid in _solids(pen):
        record = MATERIALS.get(solid.name)
        source = "case" if record is None else record.origin
        rows.append(
            row(
                solid.name,
                pen.quantity(solid.conductivity, "conductivity", 4),
                pen.quantity(solid.lowest, "temperature", 4),
                pen.quantity(solid.highest, "temperature", 4),
                f"{solid.emissivity:g}",
                source,
            )
        )
    columns = (
        left("Material", 2),
        right("Conductivity"),
        right("Lowest service temperature"),
        right("Highest"),
        right("Emissivity"),
        left("Source", 1),
    )
    return pen.table("materials", "Materials of walls, tubes and seals", columns, rows)


def _solids(pen: Pen) -> list[Solid]:
    machine = pen.case.machine
    found = [machine.drive.material]
    for stage in machine.stages:
        found += [stage.material, stage.seal]
        found += [stage.jacket.shell] if isinstance(stage.jacket, Jacket) else []
    for exhaust in (machine.exhaust_1, machine.exhaust_2):
        found += [exhaust.tube.material] if exhaust.tube else []
    return list({solid.name: solid for solid in found}.values())


def drawings_section(pen: Pen) -> Iterator[Block]:
    """Yield the schematic and, for each stage, its section with the passage unrolled below."""
    found, machine = pen.found, pen.case.machine
    way = "air's" if machine.gas.name == "air" else "gases'"
    yield Paragraph(_description(pen))
    if not pen.runs:
        yield Paragraph("A machine that stalls has no temperatures to write into its drawings.")
    else:
        yield pen.figure(
            partial(draw_schematic, found),
            f"The {way} way through the machine with jackets: temperatures, pressures (absolute), "
            "at each point.",
            describe_schematic(found),
        )
    for i, stage in enumerate(machine.stages):
        part = solved_part(found, i) if pen.runs else case_part(pen.case, i)
        caption = f"Stage {stage.name}, to scale, drawn from the case alone."
        if stage.jacket is not None:
            caption = (
                f"Stage {stage.name} with its jacket, to scale, drawn from the case alone; below "
                "it, on the same axial scale, the passage unrolled at mid-depth"
            )
            caption += _SHADED if pen.runs else "."
        problems = misfits(part)
        if problems:
            caption += " " + " ".join(f"Note: {p}." for p in problems)
        yield pen.figure(partial(draw_stage, part), caption, describe_stage(part), to_scale=True)


def _description(pen: Pen) -> str:
    machine = pen.case.machine
    count = {1: "One stage", 2: "Two stages", 3: "Three stages"}
    stages = len(machine.stages)
    names = " and ".join(s.name for s in machine.stages)
    supply, receiver = (
        pen.quantity(p, "pressure", 4) for p in (machine.supply.pressure, machine.receiver_pressure)
    )
    lifted = "supply air"
    if machine.source is not None:
        at = pen.quantity(machine.source.pressure, "pressure", 4)
        lifted = f"{machine.gas.name} from a source at {at} absolute"
    against = "one single-acting stage" if stages == 1 else "single-acting stages"
    text = (
        f"A double-acting drive cylinder, fed at {supply} absolute, works against {against} "
        f"on its rod. {count.get(stages, f'{stages} stages')} ({names}) "
        f"{'lifts' if stages == 1 else 'lift'} {lifted} to the receiver's {receiver} absolute. "
    )
    for number, exhaust in ((1, machine.exhaust_1), (2, machine.exhaust_2)):
        goal = (
            "goes to ambient"
            if exhaust.to == "atmosphere"
            else f"feeds the jacket of stage {exhaust.to}"
        )
        text += f"The exhaust of drive chamber {number} {goal}. "
    return text.strip()
