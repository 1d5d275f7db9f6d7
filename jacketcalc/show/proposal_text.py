"""Jackets that were proposed, as text: what they are, then the first screen of what they bring."""

from __future__ import annotations

import shlex

from jacketcalc import __version__
from jacketcalc.assessment.loss_words import say_best
from jacketcalc.assessment.summary import summarise_first
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.geometry import helix_lead, helix_turns
from jacketcalc.inputs import Exhaust, Jacket, Machine, Stage
from jacketcalc.number_text import percent
from jacketcalc.show.first_screen import answer_lines
from jacketcalc.show.first_statements import HEAD, headed, loss_lines, statements, why_lines
from jacketcalc.show.first_table import first_table
from jacketcalc.show.optimum_verdict import steps_of
from jacketcalc.show.page import WIDTH, Page, between, join_blocks, printable, wrap
from jacketcalc.show.study_text import unmade_lines
from jacketcalc.studies.propose import Proposal, RouteFound
from jacketcalc.unit_display import format_quantity

_NAME = 10
"""Columns of a stage's name [-]."""


def make_proposal_text(
    found: Proposal, *, color: bool = False, ascii_only: bool = False, file: str = ""
) -> str:
    """Return a proposal in at most 80 columns, in the units the case asks for.

    Parameters
    ----------
    found : what `propose` found
    color, ascii_only : as in `make_text`
    file : name of the file that holds the case, empty where it is not written
    """
    page = Page(system=found.case.document.units, color=color, ascii=ascii_only)
    assessment = found.assessment
    summary = summarise_first(assessment)
    title = between(printable(found.case.title), f"jacketcalc {__version__}")
    ranged = len(assessment.band.members) > 1
    return join_blocks(
        [
            [title, *wrap(CAUTION_BRIEF)],
            [*_jackets(found, page), *unmade_lines(found.best_case, page)],
            answer_lines(assessment, summary, page),
            statements(assessment, summary.inputs, page, kinds=2, stall=True),
            first_table(summary.rows, page, ranged=ranged) if assessment.delivers else [],
            [*([*why_lines(assessment, page), *loss_lines(assessment, page)]
               if assessment.delivers else []),
             *headed("SEARCH", _search(found, page), page, most=8),
             *_next(found, page, file)],
        ]
    )  # fmt: skip


def _jackets(found: Proposal, page: Page) -> list[str]:
    """Return the head, then a line or two for each jacket and for the tubes."""
    machine = found.best_case.machine
    pays = found.assessment.verdict.answer
    head = {
        "pays": "JACKETS PROPOSED",
        "does not pay": "NO JACKETS THAT PAY WERE FOUND; these come nearest",
        "cannot tell": "JACKETS PROPOSED; whether they pay is not certain",
    }[pays]
    lines = [page.head(head)]
    for stage in machine.stages:
        if stage.jacket is None:
            lines.append(f"  {printable(stage.name):<{_NAME}}none: there are two ports")
            continue
        fed = [str(n) for n, e in enumerate((machine.exhaust_1, machine.exhaust_2), 1)
               if e.to == stage.name]  # fmt: skip
        words = _say_jacket(stage, stage.jacket, page)
        ports = " and ".join(fed)
        words += f"; fed by port{'s' if len(fed) > 1 else ''} {ports}"
        lines += wrap(words, f"  {printable(stage.name):<{_NAME}}", " " * (_NAME + 2))
    lines += wrap(_say_tubes(machine, page), f"  {'tubes':<{_NAME}}", " " * (_NAME + 2))
    return lines


def _say_jacket(stage: Stage, jacket: Jacket, page: Page) -> str:
    turns = helix_turns(jacket.length, helix_lead(jacket.pitch, jacket.starts))
    sizes = {"pitch": jacket.pitch, "gap": jacket.gap, "rib": jacket.rib}
    said = ", ".join(f"{key} {_length(size, page)}" for key, size in sizes.items())
    starts = "1 start" if jacket.starts == 1 else f"{jacket.starts} starts"
    return (
        f"{said}, {starts}, {turns:.3g} turns over {_length(jacket.length, page)} from "
        f"{_length(jacket.offset, page)}"
    )


def _say_tubes(machine: Machine, page: Page) -> str:
    said = []
    for number, exhaust in enumerate((machine.exhaust_1, machine.exhaust_2), 1):
        said.append(f"port {number}: {_say_tube(exhaust, page)}")
    alike = {one.partition(": ")[2] for one in said}
    return f"both {alike.pop()}" if len(alike) == 1 else "; ".join(said)


def _say_tube(exhaust: Exhaust, page: Page) -> str:
    if exhaust.tube is None:
        return "none"
    return f"bore {_length(exhaust.tube.bore, page)}, {_length(exhaust.tube.length, page)} long"


def _length(size: float, page: Page) -> str:
    return format_quantity(size, "length", page.system, 4)


def _search(found: Proposal, page: Page) -> str:
    """Say what was looked at, and what the other way to lead the exhaust would bring."""
    coarse = "in coarse steps, the best and those beside it in full"
    words = f"{found.tried} designs, most {coarse}{', quick' if found.quick else ''}. "
    words += steps_of(found.variables, page)
    words += "".join(_say_exchanged(found, other, page) for other in found.routes[1:2])
    if found.let_go:
        names = ", ".join(bound.say(page.system) for bound in found.let_go)
        words += f" Not asked of it, as the machine breaks it without jackets: {names}."
    return words


def _say_exchanged(found: Proposal, other: RouteFound, page: Page) -> str:
    """Say what the best would deliver with its ports exchanged, and what that would break."""
    key = "delivered_mass_flow"
    best, own = found.routes[0].trial.numbers, other.trial.numbers
    exchanged = set(other.goals) == set(found.goals)
    what = "Ports exchanged" if exchanged else f"Next best, {' and '.join(other.goals)}"
    if key not in best or key not in own:
        return f" {what}: nothing ran."
    how = "not searched further" if found.quick else "searched alike"
    breaks = ", ".join(bound.say(page.system) for bound in other.broken)
    but = f", but {breaks}" if breaks else ""
    return f" {what}: {percent(own[key] / best[key] - 1.0)} delivery{but} ({how})."


def _next(found: Proposal, page: Page, file: str) -> list[str]:
    """Say what to do next: write the case, then go on from it."""
    name = shlex.quote(file) if file else "propose.toml"
    steps = [
        ("Everything that was found.", f"assess {name} --full"),
        ("What each pitch would do.", f"pitch {name}"),
    ]
    best = say_best(found.assessment)
    if best and found.assessment.verdict.answer != "pays":
        steps = [(best, ""), *steps[:1]]
    if not file:
        steps = [*steps[:1], ("Write the case.", f"propose CASE -o {name}")]
    lines: list[str] = []
    for why, command in steps:
        own = wrap(page.prose(why), " " * HEAD)
        shown = f"jacketcalc {command}" if command else ""
        if shown and len(own[-1]) + 2 + len(shown) <= WIDTH:
            own[-1] += f"  {shown}"
        elif shown:
            own.append(f"{'':<{HEAD}}  {shown}")
        lines += own
    return [page.head("NEXT") + lines[0][len("NEXT") :], *lines[1:]]
