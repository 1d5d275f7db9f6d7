"""Where the energy goes: the energy balance as streams and as a table that adds up as printed."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from jacketcalc.assessment.water_words import say_cold
from jacketcalc.core.outcome import Outcome
from jacketcalc.number_text import close_sum, decimals_for, fixed, raised
from jacketcalc.report.figures.energy_balance import (
    describe_energy_balance,
    draw_energy_balance,
    split_energy_balance,
)
from jacketcalc.report.model import Block, Cell, Paragraph, Table
from jacketcalc.report.traced import Pen, left, minus, right, row


def energy_section(pen: Pen) -> Iterator[Block]:
    """Yield the flow diagram, the energy balance with its residual and the first-law bound."""
    found = pen.found
    if found.jacketed.stalled:
        yield Paragraph("No energy balance: the machine with jackets stalls.")
        return
    shown = pen.shown
    yield pen.figure(
        partial(draw_energy_balance, found.jacketed, shown),
        caption_energy_balance(found.jacketed, pen.case.machine.gas.name),
        describe_energy_balance(found.jacketed, shown),
    )
    yield _table(pen)
    if found.jacketed.cold is not None:
        yield Paragraph(pen.prose(say_cold(found.jacketed.cold, pen.case.document.units)))
    yield _closure(pen)


def caption_energy_balance(outcome: Outcome, gas: str = "air") -> str:
    """Say from where enthalpies count, and on which side supply and exhaust stand for it."""
    words = (
        "Energy into and out of the machine with jackets; enthalpies count from "
        f"{'air' if gas == 'air' else f'air and {gas}'} at ambient temperature and pressure."
    )
    if gas != "air":
        return words
    supply = [v for name, v in outcome.energy_balance.items() if name.endswith("supply")]
    if supply and max(supply) < 0.0:
        words += (
            " Supply air is worth its pressure, not its enthalpy: compressed air holds a little "
            "less than ambient air, so that what it brings is drawn as leaving."
        )
    elif supply and min(supply) > 0.0:
        words += " Supply air enters with the enthalpy it has above ambient air."
    exhaust = outcome.energy_balance.get("exhaust at outlets", 0.0)
    if exhaust > 0.0:
        words += " Exhaust holds less than ambient air, so that its leaving is drawn as an inflow."
    return words


def _table(pen: Pen) -> Table:
    both = (pen.found.bare, pen.found.jacketed)
    names = list(dict.fromkeys([*both[1].energy_balance, *both[0].energy_balance]))
    unit = pen.per("power")
    columns = [_column(pen, o, names, where) for o, where in
               zip(both, ("detail.bare", "detail.jacketed"), strict=True)]  # fmt: skip
    rows = [row(name, *(column[i] for column in columns)) for i, name in enumerate(names)]
    left_over = [
        Cell(text="–")
        if o.stalled
        else _tiny(pen.display(sum(o.energy_balance.values()), "power"), "")
        for o in both
    ]
    rows.append(row("residual, before rounding", *left_over, total=True))
    heads = (left("Flow into the machine, negative out of it", 3), right(f"No jackets / {unit}"),
             right(f"With jackets / {unit}"))  # fmt: skip
    return pen.table("energy_balance", "Energy balance", heads, rows,
                     "Rounded so that the printed column adds up to zero; the workbook holds "
                     "all digits.")  # fmt: skip


def _column(pen: Pen, outcome: Outcome, names: list[str], where: str) -> list[Cell]:
    if outcome.stalled:
        return [Cell(text="–") for _ in names]
    flows = [outcome.energy_balance.get(name) for name in names]
    values = [pen.display(v or 0.0, "power") for v in flows]
    decimals = min(1, decimals_for(values, 4))
    closed = close_sum(values, decimals)
    return [
        Cell(text="–")
        if flow is None
        else Cell(text=minus(fixed(v, decimals)), number=v, path=f"{where}.energy_balance.{name}",
                  value=flow, full=own)
        for name, flow, v, own in zip(names, flows, closed, values, strict=True)
    ]  # fmt: skip


def _tiny(value: float, path: str) -> Cell:
    """Return a residual: its size only, since its digits are rounding noise."""
    if value == 0.0:
        return Cell(text="0", number=0.0, path=path, value=value)
    size = next((k for k in range(3, 15) if abs(value) > 10.0**-k), 15) - 1
    if abs(value) > 1e-3:
        text = f"{value:.1e}"
        return Cell(text=minus(text), number=float(text), path=path, value=value)
    return Cell(text=f"< 10{raised(-size)}", path=path, value=value)


def _closure(pen: Pen) -> Table:
    both = (("detail.bare", pen.found.bare), ("detail.jacketed", pen.found.jacketed))

    def cells(field: str) -> list[Cell]:
        return [
            Cell(text="–") if o.stalled else _tiny(getattr(o, field), f"{where}.{field}")
            for where, o in both
        ]

    rows = [
        row("energy: sum of the energy balance over drive work", *cells("energy_closure")),
        row("mass: gained in a cycle over mass handled", *cells("mass_closure")),
        row("largest change of an unknown in the last iteration", *cells("residual")),
    ]
    columns = (left("Closure", 3), right("No jackets"), right("With jackets"))
    return pen.table("closure", "How well the solution closes", columns, rows)


def energy_line(pen: Pen) -> str:
    """Return the energy balance of the machine with jackets as a line that adds up as printed."""
    outcome = pen.found.jacketed
    if outcome.stalled:
        return "The machine with jackets stalls: no energy flows."
    into, out, total = split_energy_balance(outcome, pen.shown)

    def side(streams: object) -> str:
        assert isinstance(streams, list)
        ordered = sorted(streams, key=lambda s: -s.watts)
        return " + ".join(f"{s.name} {s.printed}" for s in ordered)

    return f"{total} in = {side(into)}; {total} out = {side(out)}."
