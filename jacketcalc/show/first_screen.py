"""The first screen of an assessment: the answer, its limits and what to do next."""

from __future__ import annotations

import os
import shlex

from jacketcalc import __version__
from jacketcalc.assessment.result import Assessment, Interval
from jacketcalc.assessment.standing_words import (
    at_rate,
    differing,
    say_change,
    say_limit_short,
    say_standing,
)
from jacketcalc.assessment.summary import FirstRow, Gain, Inputs, Summary, summarise_first
from jacketcalc.assessment.water_words import list_water
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Output, Outputs
from jacketcalc.number_text import MISSING, decimals_for, fixed, percent
from jacketcalc.show.page import BOLD, WIDTH, Page, between, printable, shorten, wrap
from jacketcalc.unit_display import say_quantity, to_display

_HEAD = 9
"""Columns of the word before a statement [-]."""
_LABEL, _UNIT = 25, 6
"""Columns of a label and of a unit in the table [-]."""
_COLUMNS = (10, 13, 9, 17)
"""Columns of no jackets, with jackets, change and range [-]."""
_NAMED = 1
"""Limits of one kind that are named [-]."""


def first_screen(assessment: Assessment, page: Page, outputs: Outputs = OUTPUTS) -> list[list[str]]:
    """Return the blocks of lines of the first screen."""
    found = summarise_first(assessment, outputs)
    return [
        [between(printable(assessment.case.title), f"jacketcalc {__version__}"),
         *wrap(found.caution)],
        _answer(assessment, found, page),
        _statements(assessment, found, page),
        _table(found, page) if assessment.delivers else [],
        [*_why(assessment, page), *_next(found, assessment.case.file, page)],
    ]  # fmt: skip


def headed(head: str, text: str, page: Page) -> list[str]:
    """Return a statement, its head at the left and its later lines under its first."""
    lines = wrap(page.prose(printable(text)), " " * _HEAD)
    return [page.head(head) + lines[0][len(head) :], *lines[1:]] if lines else []


def _answer(assessment: Assessment, found: Summary, page: Page) -> list[str]:
    """Return the answer with its range, then a line for each of the other currencies."""
    verdict = assessment.verdict
    if not found.gains:
        text = wrap(page.prose(printable(f"{verdict.headline}: {verdict.sentence}")), "", "  ")
        return [page.tone(verdict.headline) + text[0][len(verdict.headline) :], *text[1:]]
    width = max(len(gain.currency) for gain in found.gains)
    first, *rest = (_gain(gain, width, page) for gain in found.gains)
    head = verdict.headline
    lines = [f"{page.tone(head)}: {first}"]
    if len(head) + 2 + len(first) > WIDTH:
        lines = [page.tone(head), f"  {first}"]
    pad = "  " if len(lines) > 1 else " " * (len(head) + 2)
    lines += [f"{pad}{line}" for line in rest]
    stated = at_rate(verdict.standings, "as stated")
    if differing(assessment.case, stated):
        other = say_standing(assessment.case, stated[1])
        lines += wrap(page.prose(f"Against exhaust through its tube: {other}."), "  ")
    return lines


def _gain(gain: Gain, width: int, page: Page) -> str:
    change = gain.change
    low, value, high = (page.prose(say_change(gain.currency, v, page.system))
                        for v in (change.low, change.value, change.high))  # fmt: skip
    return f"{gain.currency:<{width}}  {value:>8}   {low} to {high}"


def _statements(assessment: Assessment, found: Summary, page: Page) -> list[str]:
    lines: list[str] = []
    if not assessment.jacketed.stalled:
        lines += headed("LIMITS", _limits(assessment), page)
        lines += headed("WATER", _sentence(list_water(assessment.jacketed, page.system)), page)
        lines += headed("STALL", _stall(assessment), page)
    return lines + headed("INPUTS", say_inputs(found.inputs), page)


def _sentence(parts: list[str]) -> str:
    text = "; ".join(parts)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _stall(assessment: Assessment) -> str:
    found = assessment.jacketed
    at = say_quantity(found.stall_pressure, "pressure", assessment.case.document.units)
    return (
        f"At {at} in the receiver; drive force margin {percent(found.force_margin, 0, sign=False)}."
    )


def _limits(assessment: Assessment) -> str:
    """Count the limits, and name those that are broken or mended."""
    count, system = assessment.verdict.limits, assessment.case.document.units
    checks = {check.what: check for check in assessment.limits}
    total = sum(map(len, (count.kept, count.mended, count.newly_broken, count.broken_in_both)))
    words = [
        f"{len(count.mended)} mended, {len(count.newly_broken)} newly broken, "
        f"{len(count.broken_in_both)} broken in both; {len(count.kept)} of {total} kept."
    ]
    for verb, names in (
        ("Newly broken", count.newly_broken),
        ("Broken in both", count.broken_in_both),
        ("Mended", count.mended),
    ):
        if names:
            more = f"; {len(names) - _NAMED} more" if len(names) > _NAMED else ""
            told = [say_limit_short(checks[name], system) for name in names[:_NAMED]]
            words.append(f"{verb}: {'; '.join(told)}{more}.")
    return " ".join(words)


def say_inputs(inputs: Inputs) -> str:
    """Say how much of a case is assumed."""
    dew = " The dew point is ASSUMED." if inputs.dew_point_assumed else ""
    return (
        f"{inputs.assumed} of {inputs.count} are assumed, {inputs.filled_in} of these filled in "
        f"by the program.{dew}"
    )


def _table(found: Summary, page: Page) -> list[str]:
    heads = zip(("no jackets", "with jackets", "change", "model range"), _COLUMNS, strict=True)
    first = f"{'':{_LABEL + _UNIT}}"
    lines = [page.paint(first + "".join(f"{w:>{n}}" for w, n in heads), BOLD)]
    for row in found.rows:
        lines += _row(row, page)
    return lines


def _row(row: FirstRow, page: Page) -> list[str]:
    output = row.output
    values = [None if v is None else to_display(v, output.dimension, page.system)
              for v in (row.no_jackets, row.with_jackets)]  # fmt: skip
    decimals = 0 if output.dimension == "temperature" else decimals_for(values, output.digits)
    cells = [fixed(v, decimals) for v in values]
    cells += ["", ""] if row.change is None else _span(output, row.change, page)
    unit = page.unit(output.dimension)
    label = f"{shorten(output.label, _LABEL - 1):<{_LABEL}}{unit:<{_UNIT}}"
    # A long unit takes from the space before the first number.
    space = _LABEL + _UNIT + _COLUMNS[0] - len(label)
    widths = (space, *_COLUMNS[1:])
    return [label + "".join(f"{c:>{n}}" for c, n in zip(cells, widths, strict=True)).rstrip()]


def _span(output: Output, change: Interval, page: Page) -> list[str]:
    """Return a change and its range, with its unit behind each."""
    if output.change == "relative":
        low, value, high = (percent(v) for v in (change.low, change.value, change.high))
        return [value, f"{low.removesuffix(' %')} to {high}" if MISSING not in (low, high) else ""]
    unit = page.unit(output.change_dimension)
    decimals = 0 if output.dimension == "temperature" else 1
    low, value, high = (
        fixed(to_display(v, output.change_dimension, page.system), decimals, sign=True)
        for v in (change.low, change.value, change.high)
    )
    return [f"{value} {unit}".rstrip(), f"{low} to {high} {unit}".rstrip()]


def _why(assessment: Assessment, page: Page) -> list[str]:
    """Return cooling, resistance and both, then the passage against the valve."""
    if not assessment.delivers:
        return []
    split, even = assessment.split, assessment.conductance
    parts = [None if c is None else round(c.delivered_mass_flow, 3)
             for c in (split.cooling_alone, split.resistance_alone)]  # fmt: skip
    words = [f"{name} {percent(part)}" for name, part in zip(
        ("Cooling", "resistance"), parts, strict=True) if part is not None]  # fmt: skip
    if None not in parts:
        whole = round(assessment.change.delivered_mass_flow, 3)
        words.append(f"both together {percent(whole - sum(p or 0.0 for p in parts))}")
    text = f"{', '.join(words)} of delivery." if words else ""
    text += f" C of the passage is {even.ratio:.2f} times the valve's; "
    text += (
        f"break-even at {even.break_even:.2f}."
        if even.break_even is not None
        else f"no break-even: {even.break_even_words}."
    )
    return headed("WHY", text.strip(), page)


def _next(found: Summary, file: str, page: Page) -> list[str]:
    lines: list[str] = []
    for step in found.steps:
        lines += headed("" if lines else "NEXT", step.why, page)
        command = f"jacketcalc {step.command.replace('CASE', _name(file))}"
        if step.command and len(lines[-1]) + 2 + len(command) <= WIDTH:
            lines[-1] += f"  {command}"
        elif step.command:
            lines.append(_command(command, step.command))
    if any("--full" in step.command for step in found.steps):
        return lines
    return [*lines, *headed("", "With --full: everything that was found.", page)]


def _command(command: str, words: str) -> str:
    """Return a command on a line of its own; a file's name that does not fit is left out."""
    lead = " " * (_HEAD + 2)
    return f"{lead}{command}" if len(lead + command) <= WIDTH else f"{lead}jacketcalc {words}"


def _name(file: str) -> str:
    """Return a file's name as it is typed; CASE where it does not fit on a line."""
    name = shlex.quote(file)
    return name if name.isprintable() and len(name) < 32 and os.path.basename(file) else "CASE"
