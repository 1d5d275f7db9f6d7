"""Statements of the first screen, a word before each: limits, water, inputs, reasons, next."""

from __future__ import annotations

import os
import shlex
from collections.abc import Sequence

from jacketcalc.assessment.compressor import describe_share, supply_share
from jacketcalc.assessment.gas_notes import say_gas
from jacketcalc.assessment.loss_words import say_budget
from jacketcalc.assessment.next_step import NextStep, least_sure
from jacketcalc.assessment.result import Assessment, Fate, LimitCheck
from jacketcalc.assessment.standing_words import say_change, say_limit_short
from jacketcalc.assessment.summary import Inputs
from jacketcalc.assessment.water_finding import WaterFinding, water_of
from jacketcalc.assessment.water_path_words import ASSUMED, say_needs_short
from jacketcalc.assessment.water_words import list_water
from jacketcalc.core.outcome import Outcome
from jacketcalc.number_text import percent
from jacketcalc.show.page import WIDTH, Page, printable, wrap
from jacketcalc.unit_display import System, say_quantity

HEAD = 9
"""Columns of the word before a statement [-]."""
_MOST = 2
"""Lines of one statement, but of limits and reasons [-]."""
_NAMED = 1
"""Limits of one kind that are named [-]."""
_FILE = 32
"""Columns from which a file's name is left out of a command [-]."""
_FATES: tuple[Fate, ...] = ("newly broken", "broken in both", "mended")
_FULL = "With --full: everything that was found."
_LEFT_OUT = "Some of the machines did not settle: --full names them."


def headed(head: str, text: str, page: Page, most: int = _MOST) -> list[str]:
    """Return a statement, its head at the left and its later lines under its first."""
    lines = wrap(page.prose(printable(text)), " " * HEAD, most=most)
    return [page.head(head) + lines[0][len(head) :], *lines[1:]] if lines else []


def statements(
    assessment: Assessment, inputs: Inputs, page: Page, *, kinds: int, stall: bool
) -> list[str]:
    """Return limits, water, stall, inputs and what is left out.

    Parameters
    ----------
    assessment, inputs : what was found
    page : where it stands
    kinds : kinds of limits of which one is named
    stall : whether the pressure is told at which the machine stalls
    """
    lines: list[str] = []
    if not assessment.jacketed.stalled:
        lines += headed("LIMITS", say_limits(assessment, kinds), page, most=3 * _MOST)
        water = water_of(assessment) if inputs.dew_point_assumed else None
        words = say_water(assessment.jacketed, water, page.system)
        lines += headed("WATER", words, page, 2 * _MOST)
        lines += headed("STALL", _stall(assessment), page) if stall else []
    share = supply_share(assessment.case.machine, assessment.jacketed)
    if share is not None and not assessment.jacketed.stalled:
        lines += headed("AIR", describe_share(share, page.system), page)
    gas = say_gas(assessment.case.machine, page.system)
    lines += headed("GAS", f"{gas[:1].upper()}{gas[1:]}.", page) if gas else []
    lines += headed("INPUTS", say_inputs(inputs), page)
    lost = assessment.verdict.missing or any(n.name == "left-out" for n in assessment.notes)
    return lines + (headed("LEFT OUT", _LEFT_OUT, page) if lost else [])


def sentence(parts: Sequence[str]) -> str:
    """Return short statements as one sentence, empty without any."""
    text = "; ".join(parts)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def say_water(outcome: Outcome, found: WaterFinding | None, system: System) -> str:
    """Say where water appears; where the humidity is assumed, also how dry the supply must be.

    Parameters
    ----------
    outcome : the machine
    found : water along its path, where the humidity is assumed
    system : set of units
    """
    text = sentence(list_water(outcome, system))
    if found is None or not text:
        return text
    needed = say_needs_short(found, system)
    return f"{ASSUMED}: {text[0].lower()}{text[1:]}" + (f" Needed: {needed}." if needed else "")


def _stall(assessment: Assessment) -> str:
    found = assessment.jacketed
    at = say_quantity(found.stall_pressure, "pressure", assessment.case.document.units)
    return (
        f"At {at} in the receiver; drive force margin {percent(found.force_margin, 0, sign=False)}."
    )


def say_limits(assessment: Assessment, kinds: int) -> str:
    """Count the limits, and name the first of so many kinds that are broken or mended."""
    checks, system = assessment.limits, assessment.case.document.units
    if not checks:
        return "No limit is stated."
    if assessment.bare.stalled:
        broken = [check for check in checks if not check.kept]
        kept = f"{len(checks) - len(broken)} of {len(checks)} kept with jackets."
        return kept + _named("broken", broken if kinds else [], system)
    fates = {fate: [check for check in checks if check.fate == fate] for fate in _FATES}
    new, both, mended = (len(fates[fate]) for fate in _FATES)
    kept = f"{len(checks) - new - both - mended} of {len(checks)} kept."
    told = [_named(fate, found, system) for fate, found in fates.items() if found][:kinds]
    return f"{mended} mended, {new} newly broken, {both} broken in both; {kept}{''.join(told)}"


def _named(what: str, checks: Sequence[LimitCheck], system: System) -> str:
    """Name the first limits of a kind; empty without any."""
    told = "; ".join(say_limit_short(check, system) for check in checks[:_NAMED])
    more = f"; {len(checks) - _NAMED} more" if len(checks) > _NAMED else ""
    return f" {what[0].upper()}{what[1:]}: {told}{more}." if told else ""


def say_inputs(inputs: Inputs) -> str:
    """Say how much of a case is assumed."""
    filled = f" ({inputs.filled_in} filled in by the program)" if inputs.filled_in else ""
    return f"{inputs.assumed} of {inputs.count} assumed{filled}."


def why_lines(assessment: Assessment, page: Page, *, sure: bool = True) -> list[str]:
    """Return what adds up to the change of delivery, then the passage against the valve.

    Parameters
    ----------
    assessment : what was found
    page : where it stands
    sure : whether it is told what is known least
    """
    split, even = assessment.split, assessment.conductance
    parts = [None if c is None else round(c.delivered_mass_flow, 3)
             for c in (split.cooling_alone, split.resistance_alone)]  # fmt: skip
    words = [f"{name} {percent(part)}" for name, part in zip(
        ("cooling", "resistance"), parts, strict=True) if part is not None]  # fmt: skip
    whole = round(assessment.change.delivered_mass_flow, 3)
    if None not in parts:
        words.append(f"together {percent(whole - sum(p or 0.0 for p in parts))}")
    text = f"Delivery {percent(whole)}: {', '.join(words)}. " if words else ""
    text += f"C of the passage is {even.ratio:.2f} times the valve's; "
    text += (
        f"break-even at {even.break_even:.2f}."
        if even.break_even is not None
        else f"no break-even: {even.break_even_words}."
    )
    one = least_sure(assessment)
    if sure and one is not None and assessment.verdict.answer != "cannot tell":
        by = assessment.verdict.judged_by
        low, high = (say_change(by, v, page.system) for v in (one.change.low, one.change.high))
        text += f" Least sure: {one.name} ({low} to {high})."
    return headed("WHY", text, page, most=2 * _MOST)


def loss_lines(assessment: Assessment, page: Page) -> list[str]:
    """Return what each port's passage costs, after an answer that it does not pay, or may not."""
    if assessment.verdict.answer == "pays":
        return []
    budgets = assessment.jacketed_detail.pressure_budgets
    lines = [line for budget in budgets
             for line in headed("", say_budget(budget, page.system), page)]  # fmt: skip
    return [page.head("LOSS") + lines[0][len("LOSS") :], *lines[1:]] if lines else []


def next_lines(
    steps: Sequence[NextStep], file: str, page: Page, *, full: bool = False
) -> list[str]:
    """Return what to do next, each with its command, on the same line where it fits.

    Parameters
    ----------
    steps : what to do
    file : the case's file, empty where it is not named
    page : where it stands
    full : whether everything is told already
    """
    lines: list[str] = []
    for step in steps:
        command = f"jacketcalc {step.command.replace('CASE', _name(file))}"
        own = wrap(page.prose(printable(step.why)), " " * HEAD, most=_MOST)
        if step.command and len(own[-1]) + 2 + len(command) <= WIDTH:
            own[-1] += f"  {command}"
        elif step.command:
            own.append(_command(command, step.command))
        lines += own
    if not full and not any("--full" in step.command for step in steps):
        lines += wrap(_FULL, " " * HEAD)
    return [page.head("NEXT") + lines[0][len("NEXT") :], *lines[1:]]


def _command(command: str, words: str) -> str:
    """Return a command on a line of its own; a file's name that does not fit is left out."""
    lead = " " * (HEAD + 2)
    return f"{lead}{command}" if len(lead + command) <= WIDTH else f"{lead}jacketcalc {words}"


def _name(file: str) -> str:
    """Return a file's name as it is typed; CASE where it has none or is too long."""
    name = shlex.quote(file)
    fits = name.isprintable() and len(name) < _FILE
    return name if fits and os.path.basename(file) and file != "-" else "CASE"
