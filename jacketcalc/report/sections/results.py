"""No jackets and with jackets: the table, why it differs, profiles and cycles."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from jacketcalc.assessment.notes import IDLE
from jacketcalc.assessment.result import Change
from jacketcalc.assessment.stop_words import say_reach, say_stop
from jacketcalc.core.output_record import Output
from jacketcalc.inputs import Reference
from jacketcalc.number_text import fixed
from jacketcalc.report.figures.along import describe_along, draw_along
from jacketcalc.report.figures.pulse import describe_pulse, draw_pulse
from jacketcalc.report.figures.pv import describe_pv, draw_pv
from jacketcalc.report.figures.wall import describe_wall, draw_wall
from jacketcalc.report.model import Block, Cell, Paragraph, Row, Symbol, Table, Text
from jacketcalc.report.sections.jacket_sheet import jacket_sheet
from jacketcalc.report.sections.losses import losses_tables
from jacketcalc.report.traced import Pen, group, left, minus, right, row
from jacketcalc.show.comparison import SURFACE
from jacketcalc.show.reasons import said_solved
from jacketcalc.show.rows import ResultRow, machine_rows, stage_rows

_BARE: dict[Reference, str] = {
    "exhaust direct": "exhaust direct, from the valve to ambient",
    "exhaust through tube": "exhaust through its tube",
}


def results_section(pen: Pen) -> Iterator[Block]:
    """Yield the comparison, the split and the ratio of conductances."""
    found = pen.found
    for machine, name in ((found.bare, "without jackets"), (found.jacketed, "with jackets")):
        if machine.stalled:
            reach = say_reach(pen.case.machine, machine, pen.page.system)
            yield Paragraph(
                f"The machine {name} {say_stop(machine)}: it delivers nothing, and quantities of "
                f"a running machine do not exist. {reach[0].upper()}{reach[1:]}."
            )
        elif not machine.delivers:
            yield Paragraph(f"The machine {name} runs but delivers nothing: {IDLE}.")
    machines = [found.bare, found.jacketed, *([found.other.bare] if found.other else [])]
    if not all(machine.stalled for machine in machines):
        yield _comparison(pen)
    if pen.delivers:
        yield _split(pen)
        yield Paragraph(_conductance(pen))
        yield _curve(pen)
    yield from losses_tables(pen)
    if not found.jacketed.stalled:
        yield jacket_sheet(pen)


def _comparison(pen: Pen) -> Table:
    found = pen.found
    other = found.other
    columns = [left("Quantity", 2), left("Unit", 0), right("No jackets"), right("With jackets"),
               right("Change")]  # fmt: skip
    note = f"No jackets: {_BARE[pen.case.judgement.no_jackets]}."
    if other is not None:
        columns += [right("Other, no jackets"), right("Change")]
        note += f" Other, no jackets: {_BARE[other.reference]}."
    note += (
        " Changes are relative to the machine without jackets, of temperatures differences in K."
    )
    note += f" {SURFACE}"
    if pen.page.system != "SI":
        note = note.replace("in K.", f"in {pen.unit('temperature difference')}.")
    rows = [_line(pen, result) for result in machine_rows(pen.outputs)]
    for index, stage in enumerate(pen.case.machine.stages):
        rows.append(group(f"Stage {stage.name}"))
        jacket = found.jacketed.stages[index].jacket is not None
        results = stage_rows(pen.outputs, pen.case.machine, index, jacket=jacket)
        rows += [_line(pen, result) for result in results]
    return pen.table("results", "Machine with no jackets and with jackets", columns, rows, note)


def _line(pen: Pen, result: ResultRow) -> Row:
    found, output = pen.found, result.output
    machines = [("detail.bare", found.bare), ("detail.jacketed", found.jacketed)]
    if found.other is not None:
        machines.append(("detail.other.bare", found.other.bare))
    values = [result.read(o) for _, o in machines]
    paths = [result.path(where) for where, _ in machines]
    cells = pen.cells(values, output.dimension, output.digits, paths)
    if output.dimension == "rate":
        cells = [
            Cell(text="stalled") if o.stalled else c
            for (_, o), c in zip(machines, cells, strict=True)
        ]
    out = [cells[0], cells[1], _change(pen, output, values[1], values[0], cells[1], cells[0])]
    if found.other is not None:
        out += [cells[2], _change(pen, output, values[1], values[2], cells[1], cells[2])]
    return row(_name(output), pen.unit(output.dimension), *out)


def _name(output: Output) -> Text:
    """Return a result's label with its symbol, where the label does not end with it."""
    letter, index = output.symbol
    if not letter or output.label.endswith(f" {letter}"):
        return output.label
    return (f"{output.label}, ", Symbol(letter, index))


def _change(
    pen: Pen, output: Output, new: float | None, old: float | None, one: Cell, two: Cell
) -> Cell:
    """Return the change of a row: of temperatures, the difference of the printed numbers."""
    if output.change == "none" or new is None or old is None:
        return Cell(text="")
    if output.change == "difference":
        assert one.number is not None and two.number is not None
        unit = pen.unit(output.change_dimension)
        text = minus(fixed(one.number - two.number, 1, sign=True))
        full = (one.full or 0.0) - (two.full or 0.0)
        return Cell(text=f"{text}\u00a0{unit}", number=round(one.number - two.number, 1), full=full)
    if old == 0.0 or not math.isfinite(new / old):
        return Cell(text="–")
    return pen.percent(new / old - 1.0, "")


def _split(pen: Pen) -> Table:
    """Return the split: the printed parts add up to the printed whole."""
    found = pen.found
    named = (
        ("cooling alone, without the jackets' resistance", found.split.cooling_alone,
         "change.cooling_alone"),
        ("resistance alone, without their cooling", found.split.resistance_alone,
         "change.resistance_alone"),
    )  # fmt: skip
    fields = ("delivered_mass_flow", "mass_per_cycle", "cycle_rate")
    rows = []
    for label, change, path in named:
        if change is not None:
            cells = (pen.percent(getattr(change, f), f"{path}.{f}") for f in fields)
            rows.append(row(label, *cells))
    cooling, resistance = found.split.cooling_alone, found.split.resistance_alone
    if cooling is not None and resistance is not None:
        rest = [_rest(found.change, cooling, resistance, f) for f in fields]
        rows.append(row("from both acting together", *(pen.percent(v, "") for v in rest)))
    whole = [pen.percent(getattr(found.change, f), f"change.{f}") for f in fields]
    rows.append(row("the jackets", *whole, total=True))
    columns = (left("Where the change comes from", 2), right("Delivery"),
               right("Mass per cycle"), right("Cycle rate"))  # fmt: skip
    caption = (
        "Relative change against the machine without jackets, ",
        Symbol("δ"),
        ", and its parts",
    )
    return pen.table("split", caption, columns, rows)


def _rest(whole: Change, cooling: Change, resistance: Change, field: str) -> float:
    parts = [round(float(getattr(c, field)), 3) for c in (whole, cooling, resistance)]
    return parts[0] - parts[1] - parts[2]


def _conductance(pen: Pen) -> str:
    found = pen.found.conductance
    each = " and ".join(f"{ratio:.2f}" for ratio in found.each)
    text = (
        f"The ratio that decides in most machines is the sonic conductance of the exhaust passage, "
        f"tube and outlet included, over that of the directional control valve. Here it is {each}. "
    )
    if found.break_even is not None:
        return text + (
            f"At {found.break_even:.3f} this machine would break even ({said_solved(found)})."
        )
    return text + f"There is no break-even: {found.break_even_words}."


def _curve(pen: Pen) -> Table:
    rows = [
        row(
            pen.cell(ratio, "ratio", 2, f"detail.conductance.curve[{i}][0]"),
            pen.percent(change, f"detail.conductance.curve[{i}][1]"),
        )
        for i, (ratio, change) in enumerate(pen.found.conductance.curve)
    ]
    columns = (right("Passage over valve conductance"), right("Delivery, change"), left(""))
    return pen.table(
        "conductance",
        "Delivery against the conductance of the passage, all else equal",
        columns,
        [row(*r.cells, "") for r in rows],
    )


def profiles_section(pen: Pen) -> Iterator[Block]:
    """Yield the curves along the helix, of the pulses, of the cycles and of the walls."""
    found = pen.found
    if not pen.runs:
        yield Paragraph("Not drawn: a machine that stalls has no cycle.")
        return
    yield Paragraph(
        "The figures of this section show, in this order: the air along each jacket, the inside of "
        "each barrel, the exhaust pulses, and pressure against volume in each stage. Solid lines "
        "of the same colour belong to the same machine."
    )
    fed = {p.stage for p in found.jacketed_detail.passages}
    for stage in pen.case.machine.stages:
        if stage.name in fed:
            yield pen.figure(
                partial(draw_along, found, stage.name),
                f"Along the jacket of stage {stage.name} {_warming(pen, stage.name)}. (a) Air, "
                "barrel and shell; (b) pressure and (c) Mach number at the strongest phase of the "
                "pulse.",
                describe_along(found, stage.name),
            )
    yield pen.figure(
        partial(draw_wall, found),
        f"Inner surface of each barrel: how far the jacket cools the wall, mean {_walls(pen)}.",
        describe_wall(found),
    )
    yield pen.figure(
        partial(draw_pulse, found),
        f"Exhaust pulses at the drive ports, no jackets and with jackets: {_pushing(pen)}. "
        "Pressure (a, b), flow and temperature at the valve over the time from its reversal."
        if len(found.jacketed_detail.passages) > 1
        else f"Exhaust pulse at the drive ports, no jackets and with jackets: {_pushing(pen)}. "
        "Pressure, flow and temperature at the valve over the time from its reversal.",
        describe_pulse(found),
    )
    yield pen.figure(
        partial(draw_pv, found),
        "Pressure against volume in each stage over one cycle, no jackets and with jackets; the "
        "area inside a curve is the work put into the stage's "
        f"{pen.case.machine.gas.name} (table of results).",
        describe_pv(found),
    )


def _warming(pen: Pen, name: str) -> str:
    """Return what becomes of the air in a jacket."""
    jacket = next(s.jacket for s in pen.found.jacketed.stages if s.name == name)
    assert jacket is not None
    first, last = (
        pen.words(T, "temperature", 0)
        for T in (jacket.inlet_temperature, jacket.outlet_temperature)
    )
    heat = pen.words(jacket.heat, "power", 0)
    return f"the exhaust warms from {first} to {last} and takes {heat} from the barrel"


def _pushing(pen: Pen) -> str:
    """Return how far the exhaust is held up."""
    decimals = 2 if pen.page.system == "SI" else 1
    means = [pen.words(p, "pressure difference", decimals)
             for p in pen.found.jacketed.back_pressure_mean]  # fmt: skip
    stands = " and ".join(means)
    return f"with jackets the pressure at the valve is on average {stands} above ambient"


def _walls(pen: Pen) -> str:
    changes = [
        f"{pen.words(c.wall_temperature, 'temperature difference', 0, sign=True)} in stage {c.name}"
        for c in pen.found.change.stages
    ]
    return " and ".join(changes)
