"""The gas of the stages where it is not the supply's air: source, table, what it weighs."""

from __future__ import annotations

from collections.abc import Iterator

from jacketcalc.core.machine import flow_factor
from jacketcalc.gas.stage_gas import reference_density, stage_gas_table
from jacketcalc.report.model import Block, Heading, Paragraph, Row
from jacketcalc.report.sections.sources import mark
from jacketcalc.report.traced import Pen, left, right, row


def gas_blocks(pen: Pen) -> Iterator[Block]:
    """Yield a paragraph and a table of the gas; nothing where the stages draw supply air."""
    machine = pen.case.machine
    source, name = machine.source, machine.gas.name
    if source is None:
        return
    table = stage_gas_table(machine)
    fluid, span = table.fluid, table.span
    yield Heading("Gas of the stages")
    drive = "" if name == "air" else " The drive runs on air."
    yield Paragraph(
        f"The stages compress {name} from a bottle or line of its own, whose pressure and "
        f"temperature stay as they are; it is taken dry.{drive} Its properties are those of a real "
        f"gas {mark(pen.case, fluid.source)}, tabled from CoolProp; beyond the table it goes on as "
        "an ideal gas, and a note says so. Conductances of check valves are those of air; another "
        "gas passes as through the same ideal nozzle."
    )
    Z = [
        float(table.compressibility(T, p))
        for T, p in (
            (source.temperature, source.pressure),
            (machine.ambient.temperature, machine.receiver_pressure),
        )
    ]
    rows: list[Row] = [
        row("gas", "", name),
        row("source, absolute", "", f"{_p(pen, source.pressure)}, {_T(pen, source.temperature)}"),
        row("compressibility factor at the source", "", f"{Z[0]:.4f}"),
        row("the same in the receiver at ambient temperature", "", f"{Z[1]:.4f}"),
        row("density of its litre (ANR)", "kg/m³", f"{reference_density(name):.4g}"),
        row("mass through a choked check valve over air's", "", f"{flow_factor(name):.4g}"),
        row(
            "its table, temperature",
            "",
            f"{_T(pen, span.lowest_temperature)} to {_T(pen, span.highest_temperature)}",
        ),
        row(
            "its table, pressure",
            "",
            f"{_p(pen, span.lowest_pressure)} to {_p(pen, span.highest_pressure)}",
        ),
    ]
    columns = (left("Gas of the stages", 3), left("Unit", 0), right("Value", 2))
    yield pen.table("gas", "Gas of the stages and where it comes from", columns, rows)


def _p(pen: Pen, pressure: float) -> str:
    return pen.quantity(pressure, "pressure", 4)


def _T(pen: Pen, temperature: float) -> str:
    return pen.quantity(temperature, "temperature", 4)
