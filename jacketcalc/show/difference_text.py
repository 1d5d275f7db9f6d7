"""Two cases compared, as text: inputs that changed, headline numbers, and what each change does."""

from __future__ import annotations

import math

from jacketcalc import __version__
from jacketcalc.assessment.result import LimitCount
from jacketcalc.assessment.standing_words import say_change
from jacketcalc.assessment.summary import CURRENCIES
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.core.output_record import Output
from jacketcalc.number_text import MISSING, close_sum, decimals_for, fixed, percent
from jacketcalc.show.difference_rows import MACHINES, HeadlineRow, headline_rows
from jacketcalc.show.entry_text import say_changed
from jacketcalc.show.page import (
    BOLD,
    Page,
    between,
    join_blocks,
    printable,
    shorten,
    table_line,
    wrap,
)
from jacketcalc.show.standing_rows import judged_row
from jacketcalc.studies.case_difference import CaseDifference
from jacketcalc.unit_display import to_display

_LABEL, _UNIT, _COLUMN = 26, 8, 13
"""Columns of a label, of a unit and of a number [-]."""
_STEP, _PART = 38, 10
"""Columns of a step and of what it does [-]."""
_HARD_SPACE = "\N{NO-BREAK SPACE}"
_FOLLOWING = 12
"""Entries that follow from others which are named [-]."""
_HEADS = {"no_jackets": "NO JACKETS", "with_jackets": "WITH JACKETS"}


def make_difference_text(
    found: CaseDifference, *, color: bool = False, ascii_only: bool = False
) -> str:
    """Return a comparison of two cases in at most 80 columns, in the units of the second."""
    page = Page(system=found.now.case.document.units, color=color, ascii=ascii_only)
    return join_blocks(
        [
            [between("A and B compared", f"jacketcalc {__version__}"),
             *_names(found), *wrap(CAUTION_BRIEF)],
            _answers(found, page),
            _inputs(found, page),
            *(_numbers(found, machine, page) for machine in MACHINES),
            _gains(found, page),
            _walk(found, page),
        ]
    )  # fmt: skip


def _names(found: CaseDifference) -> list[str]:
    lines: list[str] = []
    for letter, one in (("A", found.was), ("B", found.now)):
        file = f" ({one.case.file})" if one.case.file not in ("", "-") else ""
        lines += wrap(printable(f"{one.case.title}{file}"), f"{letter}  ", "   ")
    return lines


def _answers(found: CaseDifference, page: Page) -> list[str]:
    lines: list[str] = []
    for letter, one in (("A", found.was), ("B", found.now)):
        head = one.verdict.headline
        told = wrap(page.prose(judged_row(one, page.system)), f"{letter}  {head}: ", "     ")
        lines += [f"{letter}  {page.tone(head)}{told[0][3 + len(head) :]}", *told[1:]]
        lines += wrap(_limits(one.verdict.limits), "     ", "     ")
    return lines


def _limits(count: LimitCount) -> str:
    broken = len(count.newly_broken) + len(count.broken_in_both)
    whole = broken + len(count.kept) + len(count.mended)
    return f"Limits with jackets: {broken} of {whole} broken, {len(count.mended)} mended."


def _inputs(found: CaseDifference, page: Page) -> list[str]:
    """Return the entries that changed; those that the program fills in follow from them."""
    typed = [entry for entry in found.entries if not entry.follows]
    follow = [entry.path for entry in found.entries if entry.follows]
    lines = [page.head("INPUTS", "  A -> B")]
    if not found.entries:
        return [*lines, "  No entry differs."]
    for entry in typed:
        text = page.prose(printable(f"{entry.path}  {say_changed(entry, page.system)}"))
        lines += wrap(text, "  ", "      ")
    if follow:
        more = f" and {len(follow) - _FOLLOWING} more" if len(follow) > _FOLLOWING else ""
        told = ", ".join(follow[:_FOLLOWING])
        lines += wrap(printable(f"Filled in, and follow: {told}{more}."), "  ", "    ")
    return lines


def _numbers(found: CaseDifference, machine: str, page: Page) -> list[str]:
    head = [("", _UNIT), *((word, _COLUMN) for word in ("A", "B", "change"))]
    lines = [page.paint(table_line(_HEADS[machine], head, _LABEL)[0], BOLD)]
    rows = [row for row in headline_rows(found.was, found.now) if row.machine == machine]
    return lines + [_line(row, page) for row in rows]


def _line(row: HeadlineRow, page: Page) -> str:
    output = row.output
    shown = [None if v is None else to_display(v, output.dimension, page.system)
             for v in (row.was, row.now)]  # fmt: skip
    decimals = 1 if output.dimension == "temperature" else decimals_for(shown, output.digits)
    cells = [*(fixed(v, decimals) for v in shown), _change(output, row.change, page)]
    unit = page.unit(output.dimension)
    label = f"{shorten(output.label, _LABEL - 1):<{_LABEL}}{unit:<{_UNIT}}"
    return (label + "".join(f"{cell:>{_COLUMN}}" for cell in cells)).rstrip()


def _change(output: Output, change: float | None, page: Page) -> str:
    if change is None or not math.isfinite(change):
        return MISSING
    if output.change == "relative":
        return percent(change)
    # A share changes by points: its per cent would be read as a share of itself.
    unit = "points" if output.change_dimension == "percent" else page.unit(output.change_dimension)
    shown = to_display(change, output.change_dimension, page.system)
    return f"{fixed(shown, 1, sign=True)} {unit}"


def _gains(found: CaseDifference, page: Page) -> list[str]:
    """Return what the jackets change in either case, with the model range."""
    lines = [page.head("WHAT THE JACKETS CHANGE, and its model range")]
    for by in CURRENCIES:
        for letter, one in (("A", found.was), ("B", found.now)):
            if not one.delivers:
                lines.append(f"  {by:<25}{letter}  a machine stalls or delivers nothing")
                continue
            change = one.verdict.standings[0]
            interval = {
                "delivery": change.delivered_mass_flow,
                "specific air consumption": change.specific_air_consumption,
                "discharge temperature": change.discharge_temperature,
            }[by]
            low, value, high = (
                page.prose(say_change(by, v, page.system))
                for v in (interval.low, interval.value, interval.high)
            )
            lines.append(f"  {by:<25}{letter} {value:>10}   {low} to {high}")
    return lines


def _walk(found: CaseDifference, page: Page) -> list[str]:
    """Return what each step does with jackets, and each alone, in shares of what A delivers."""
    heads = ("delivery", "alone", "jackets'", "hottest"), ("", "in A", "gain", "discharge")
    if not found.walk:
        return wrap(f"No walk from A to B: {found.left_out}.")
    lines = wrap(
        "STEP BY STEP from A to B, one changed input after the other, nominal models, with "
        "jackets: each on top of those before, and alone in A. Shares are of A's delivery; the "
        "gain is what the jackets change, in points."
    )
    lines[0] = page.head(lines[0][:12]) + lines[0][12:]
    for words in heads:
        cells = [(word, _PART) for word in words]
        lines.append(page.paint(table_line("", cells, _STEP)[0], BOLD))
    if not found.parts:
        return [*lines, "  A machine stalls or delivers nothing: there are no shares."]
    return lines + _steps(found, page)


def _steps(found: CaseDifference, page: Page) -> list[str]:
    """Return the lines of a walk; printed parts add up to the printed whole."""
    parts, unit = found.parts, page.unit("temperature difference")
    flows = close_sum([100 * part.delivery for part in parts], 1)
    gains = close_sum([100 * part.gain for part in parts], 1)
    kelvin = [to_display(p.hottest, "temperature difference", page.system) for p in parts]
    hottest = close_sum(kelvin, 1)
    rows = [
        (_unbroken(part.names), flow, percent(part.alone), gain, rise)
        for part, flow, gain, rise in zip(parts, flows, gains, hottest, strict=True)
    ]
    rows.append(("together", sum(flows), "", sum(gains), sum(hottest)))
    lines: list[str] = []
    for name, flow, alone, gain, rise in rows:
        cells = (f"{fixed(flow, 1, sign=True)} %", alone, fixed(gain, 1, sign=True),
                 f"{fixed(rise, 1, sign=True)} {unit}")  # fmt: skip
        told = table_line(f"  {name}", [(cell, _PART) for cell in cells], _STEP)
        lines += [line.replace(_HARD_SPACE, " ") for line in told]
    return lines


def _unbroken(names: tuple[str, ...]) -> str:
    """Return the names of steps; what was typed stays on one line."""
    told = printable(", ".join(names))
    for text in (one.partition(" ")[2] for one in names):
        for typed in printable(text).split(" -> "):
            told = told.replace(typed, typed.replace(" ", _HARD_SPACE))
    return told
