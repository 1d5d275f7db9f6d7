"""What the exhaust passages cost part by part, and what single changes of parts would do."""

from __future__ import annotations

from collections.abc import Sequence

from jacketcalc.assessment.loss_words import judged_now, name_ports, say_way
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.single_change import SingleChange
from jacketcalc.assessment.standing_words import say_change
from jacketcalc.core.pressure_budget import PressureBudget
from jacketcalc.number_text import close_sum, decimals_for, fixed
from jacketcalc.show.page import BOLD, Page, printable, table_line, wrap
from jacketcalc.unit_display import to_display

_PART, _NUMBER = 14, 12
"""Columns of a part and of its numbers [-]."""
_WHAT, _COLUMN = 44, 11
"""Columns of a change and of what it does [-]."""
WEIGHED = "Total pressure above ambient at the valve while it exhausts, weighed by mass."
"""What the parts of a budget add up to, in words."""


def budget_block(assessment: Assessment, page: Page) -> list[str]:
    """Return a table of the passages with jackets: each part's loss and its share."""
    budgets = assessment.jacketed_detail.pressure_budgets
    if not budgets:
        return []
    unit = page.unit("pressure difference")
    lines = [page.head("WHERE THE EXHAUST LOSES ITS PRESSURE")]
    heads = [(_name(budget), 2 * _NUMBER) for budget in budgets]
    units = [(word, _NUMBER) for _ in budgets for word in (unit, "%")]
    lines += [page.paint(table_line("", cells, _PART)[0], BOLD) for cells in (heads, units)]
    columns = [_columns(budget, page) for budget in budgets]
    names = list(dict.fromkeys(p.name for budget in budgets for p in budget.parts))
    for name in (*names, "together"):
        cells = [(cell, _NUMBER) for column in columns for cell in column.get(name, ("", ""))]
        lines += table_line(f"  {name}", cells, _PART)
    return [*lines, *wrap(WEIGHED, "  ")]


def _name(budget: PressureBudget) -> str:
    feeds = f", {printable(budget.stage)}" if budget.stage else ""
    return f"{name_ports(budget)}{feeds}"[: 2 * _NUMBER - 1]


def _columns(budget: PressureBudget, page: Page) -> dict[str, tuple[str, str]]:
    """Return loss and share of each part, rounded so that they add up as printed."""
    losses = [to_display(p.loss, "pressure difference", page.system) for p in budget.parts]
    decimals = decimals_for([sum(losses)], 3)
    parts = close_sum(losses, decimals)
    shares = close_sum([100.0 * p.share for p in budget.parts], 1)
    found: dict[str, tuple[str, str]] = {
        p.name: (fixed(loss, decimals), fixed(share, 1))
        for p, loss, share in zip(budget.parts, parts, shares, strict=True)
    }
    whole = fixed(sum(parts), decimals), fixed(sum(shares), 1)
    return {**found, "together": whole}


def changes_block(assessment: Assessment, page: Page) -> list[str]:
    """Return a table of the single changes that were tried, what gains most first."""
    if not assessment.tried:
        return []
    by = assessment.case.judgement.by
    lines = [page.head("ONE PART BY ONE SIZE"), *wrap(
        f"What the jackets change of the {by} with one part larger, all else as drawn; "
        "nominal models.", "  ")]  # fmt: skip
    return lines + _rows(assessment, assessment.tried, page)


def way_block(assessment: Assessment, page: Page) -> list[str]:
    """Return the way to jackets that pay, one change on top of the other."""
    if not assessment.way:
        return []
    lines = [page.head("WHAT WOULD MAKE THEM PAY"), *wrap(say_way(assessment), "  ")]
    return lines + _rows(assessment, assessment.way, page)


def _rows(assessment: Assessment, changes: Sequence[SingleChange], page: Page) -> list[str]:
    """Return the machine as drawn and changes of it, each with what the jackets then change."""
    by, system = assessment.case.judgement.by, page.system
    better = 1.0 if by == "delivery" else -1.0
    unit = page.unit("hourly mass flow")
    lines = []
    for words in (("jackets", "gain", "delivery"), ("change", "", unit)):
        lines.append(page.paint(table_line("", [(w, _COLUMN) for w in words], _WHAT)[0], BOLD))
    drawn = (judged_now(assessment), None, assessment.jacketed.delivered_mass_flow)
    rows: list[tuple[str, tuple[float, float | None, float]]] = [("as drawn", drawn)]
    rows += [(t.what, (t.change, t.gain, t.jacketed.delivered_mass_flow)) for t in changes]
    flows = [to_display(row[1][2], "hourly mass flow", system) for row in rows]
    decimals = decimals_for(flows, 4)
    for (what, (change, gain, _)), flow in zip(rows, flows, strict=True):
        cells = (
            page.prose(say_change(by, change, system)),
            "" if gain is None else page.prose(say_change(by, better * gain, system)),
            fixed(flow, decimals),
        )
        lines += table_line(f"  {what}", [(cell, _COLUMN) for cell in cells], _WHAT)
    return lines
