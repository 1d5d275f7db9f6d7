"""What each part of an exhaust passage costs, and what one change of a part would do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from jacketcalc.assessment.loss_words import judged_now, name_ports, say_way
from jacketcalc.assessment.single_change import SingleChange
from jacketcalc.number_text import close_sum
from jacketcalc.report.model import Block, Cell, Paragraph, Row
from jacketcalc.report.traced import Pen, left, minus, right, row
from jacketcalc.show.losses import WEIGHED


def losses_tables(pen: Pen) -> Iterator[Block]:
    """Yield the budget of the passages and the single changes, where there are any."""
    found = pen.found
    if found.jacketed_detail.pressure_budgets:
        yield _budget(pen)
    if found.tried:
        yield _changes(pen, found.tried, "single changes", "single_changes",
                       "What one change of a part would do, best first")  # fmt: skip
    if found.way:
        yield Paragraph(pen.prose(say_way(found)))
        yield _changes(pen, found.way, "way to pay", "way_to_pay",
                       "What would make them pay, each change on top of those above")  # fmt: skip


def _budget(pen: Pen) -> Block:
    """Return the losses: the printed parts of a passage add up to the printed whole."""
    unit = pen.unit("pressure difference")
    columns = [left("Passage", 1.4), left("Part", 1), right(f"Loss / {unit}"), right("Share / %")]
    rows: list[Row] = []
    decimals = 2 if pen.page.system == "SI" else 1
    for i, budget in enumerate(pen.found.jacketed_detail.pressure_budgets):
        feeds = f", jacket of {budget.stage}" if budget.stage else ""
        path = f"pressure_budget[{i}]"
        shown = close_sum([pen.display(p.loss, "pressure difference") for p in budget.parts],
                          decimals)  # fmt: skip
        shares = close_sum([100.0 * p.share for p in budget.parts], 1)
        for k, (part, loss, share) in enumerate(zip(budget.parts, shown, shares, strict=True)):
            full = pen.display(part.loss, "pressure difference")
            at = f"{path}.parts[{k}]"
            rows.append(
                row(
                    f"{name_ports(budget)}{feeds}" if k == 0 else "",
                    part.name,
                    Cell(text=f"{loss:.{decimals}f}", number=loss, path=f"{at}.loss",
                         value=part.loss, full=full),
                    Cell(text=f"{share:.1f}", number=share, path=f"{at}.share",
                         value=part.share, full=100.0 * part.share),
                )
            )  # fmt: skip
        whole = pen.cell(budget.whole, "pressure difference", decimals, f"{path}.whole")
        rows.append(row("", "together", whole, "100.0", total=True))
    return pen.table("pressure budget", "Where the exhaust loses its pressure on its way through "
                     "tube and jacket", columns, rows, WEIGHED)  # fmt: skip


def _changes(
    pen: Pen, changes: Sequence[SingleChange], name: str, path: str, caption: str
) -> Block:
    """Return the machine as drawn and changes of it, each with what the jackets then change."""
    by, found = pen.case.judgement.by, pen.found
    flow = f"Delivery / {pen.per('hourly mass flow')}"
    columns = [left("One part by one size", 3), right("Change by the jackets", 1.2), right(flow, 1)]
    flows = [found.jacketed.delivered_mass_flow,
             *(one.jacketed.delivered_mass_flow for one in changes)]  # fmt: skip
    places = [f"{path}[{i}]" for i in range(len(changes))]
    paths = ["with_jackets.delivered_mass_flow", *(f"{at}.delivered_mass_flow" for at in places)]
    cells = pen.cells(flows, "hourly mass flow", 4, paths)
    rows = [row("as drawn", _judged(pen, judged_now(found), ""), cells[0])]
    for at, one, cell in zip(places, changes, cells[1:], strict=True):
        change = _judged(pen, one.change, f"{at}.change")
        rows.append(row(minus(pen.page.prose(one.what)), change, cell))
    note = f"Judged by {by}; nominal models; the machine without jackets has the same part."
    return pen.table(name, caption, columns, rows, note)


def _judged(pen: Pen, change: float, path: str) -> Cell:
    if pen.case.judgement.by != "discharge temperature":
        return pen.percent(change, path)
    cell = pen.cell(change, "temperature difference", 1, path, sign=True)
    unit = pen.unit("temperature difference")
    return Cell(text=f"{cell.text}\u00a0{unit}", number=cell.number, path=path, value=change,
                full=cell.full)  # fmt: skip
