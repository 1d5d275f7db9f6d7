"""What else could be done to the machine, where it was asked for."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from jacketcalc.report.figures.rivals import describe_rivals, draw_rivals
from jacketcalc.report.model import Block, Bullets, Paragraph, Row
from jacketcalc.report.rival_figures import rivals
from jacketcalc.report.traced import Pen, left, minus, right, row
from jacketcalc.show.rival_text import NOMINAL, say_best
from jacketcalc.studies.rival_table import RivalRow, RivalTable


def rivals_section(pen: Pen, table: RivalTable | None) -> Iterator[Block]:
    """Yield figure, table and what was assumed; nothing where it was not asked for."""
    if table is None:
        return
    yield Paragraph(pen.prose(f"Other ways than the jackets. {say_best(table)}"))
    data = rivals(table)
    yield pen.figure(
        partial(draw_rivals, data),
        "Rivals of the jackets against the machine as it stands. (a) Change of delivery; (b) "
        "hottest gas, the dashed line that of the machine as it stands.",
        describe_rivals(data),
    )
    yield _table(pen, table)
    told = [f"{r.name}: {r.assumed}." for r in table.rows if r.assumed and not r.paired]
    if told:
        yield Bullets(tuple(minus(pen.page.prose(words)) for words in told))
    left_out = f" Left out: {'; '.join(table.left_out)}." if table.left_out else ""
    yield Paragraph(
        pen.prose(f"{NOMINAL}{left_out}") + " These numbers come from a study of the same case "
        "(jacketcalc rivals) and stand in its own result, not in the JSON of the assessment."
    )


def _table(pen: Pen, table: RivalTable) -> Block:
    flow, degree = pen.per("hourly mass flow"), pen.unit("temperature")
    columns = (
        left("Machine", 2), right(f"Delivery / {flow}", 1), right("Change / %", 0.9),
        right(f"Specific air consumption / {pen.per('share')}", 1.2),
        right(f"Hottest gas / {degree}", 0.9), right(f"Hottest seal / {degree}", 0.9),
        right("Limits broken", 0.8),
    )  # fmt: skip
    rows = [_row(pen, table, one) for one in table.rows]
    return pen.table("rivals", "What else could be done, each against the machine as it stands",
                     columns, rows)  # fmt: skip


def _row(pen: Pen, table: RivalTable, one: RivalRow) -> Row:
    found, change = one.outcome, table.changes(one)
    if found is None:
        return row(f"{one.name}: {one.failure}", *["–"] * 6)
    if change is None:
        words = "stalls" if found.stalled else "delivers nothing"
        return row(f"{one.name}: {words}", *["–"] * 6)
    return row(
        one.name,
        pen.cell(found.delivered_mass_flow, "hourly mass flow", 3, ""),
        "" if one is table.stands else pen.cell(change.delivery, "percent", 1, "", sign=True),
        pen.cell(found.specific_air_consumption, "share", 2, ""),
        pen.cell(found.hottest_gas, "temperature", 0, ""),
        pen.cell(found.hottest_seal, "temperature", 0, ""),
        f"{len(one.broken)} of {one.limits}",
    )
