"""The first screen of an assessment: the answer, its limits and what to do next."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc import __version__
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.standing import name_bare
from jacketcalc.assessment.standing_words import (
    at_rate,
    differing,
    say_change,
    say_free_short,
    say_standing,
)
from jacketcalc.assessment.summary import Gain, Summary, summarise_first
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Outputs
from jacketcalc.show.first_statements import loss_lines, next_lines, statements, why_lines
from jacketcalc.show.first_table import first_table
from jacketcalc.show.page import WIDTH, Page, between, printable, wrap

MOST = 29
"""Lines of the first screen [-]."""
MORE = 4
"""Lines more of one that ends with assumptions, so that reasons stand above them [-]."""
_SENTENCE = 10
"""Lines of the sentence that stands where there are no changes [-]."""


@dataclass(frozen=True, kw_only=True)
class _Told:
    """What is told beside answer and table; what a case has too much of gives way."""

    file: bool = True
    """The case's file by its name, in commands."""
    steps: int = 2
    """Things to do next [-]."""
    kinds: int = 3
    """Kinds of limits of which one is named, the newly broken first [-]."""
    stall: bool = True
    why: bool = True
    sure: bool = True
    """What is known least."""
    loss: bool = True


_TOLD = (
    _Told(),
    _Told(file=False),
    _Told(file=False, steps=1),
    _Told(file=False, steps=1, kinds=1),
    _Told(file=False, steps=1, kinds=1, stall=False),
    _Told(file=False, steps=1, kinds=1, stall=False, why=False),
    _Told(file=False, steps=1, kinds=0, stall=False, why=False),
)
"""The first that keeps to the screen is shown; --full names the rest."""
_LOSING = (
    _Told(),
    _Told(file=False),
    _Told(file=False, sure=False),
    _Told(file=False, sure=False, stall=False),
    _Told(file=False, sure=False, stall=False, kinds=1),
    _Told(file=False, sure=False, stall=False, kinds=1, steps=1),
)
_UNBROKEN = (
    _Told(file=False, sure=False, stall=False, kinds=0),
    _Told(file=False, sure=False, stall=False, kinds=0, why=False),
    _Told(file=False, sure=False, stall=False, kinds=0, why=False, steps=1),
)
_LEAST = (
    _Told(file=False, stall=False, kinds=1, steps=1, loss=False),
    _Told(file=False, stall=False, kinds=1, steps=1, loss=False, why=False),
    _Told(file=False, stall=False, kinds=0, steps=1, loss=False, why=False),
)
"""The same where the jackets do not pay, or may not: what their passages cost gives way late. Names
of limits give way before it where no limit is newly broken."""


def first_screen(assessment: Assessment, page: Page, outputs: Outputs = OUTPUTS) -> list[list[str]]:
    """Return the blocks of lines of the first screen."""
    found = summarise_first(assessment, outputs)
    every = (_blocks(assessment, found, told, page) for told in _ladder(assessment))
    blocks: list[list[str]] = []
    most = MOST + (MORE if assessment.assumptions else 0)
    for blocks in every:
        if sum(map(len, blocks)) + len(blocks) - 1 <= most:
            break
    return blocks


def _ladder(assessment: Assessment) -> tuple[_Told, ...]:
    """Return what may be told, from all of it to the least."""
    if assessment.verdict.answer == "pays":
        return _TOLD
    mended = assessment.tried and not any(c.fate == "newly broken" for c in assessment.limits)
    return (*_LOSING, *(_UNBROKEN if mended else ()), *_LEAST)


def _blocks(assessment: Assessment, found: Summary, told: _Told, page: Page) -> list[list[str]]:
    title = between(printable(assessment.case.title), f"jacketcalc {__version__}")
    delivers, file = assessment.delivers, assessment.case.file if told.file else ""
    blocks = [
        [title, *wrap(found.caution)],
        answer_lines(assessment, found, page),
        statements(assessment, found.inputs, page, kinds=told.kinds, stall=told.stall),
        first_table(found.rows, page, ranged=len(assessment.band.members) > 1) if delivers else [],
        [*(why_lines(assessment, page, sure=told.sure) if told.why and delivers else []),
         *(loss_lines(assessment, page) if told.loss and delivers else []),
         *next_lines(found.steps[: told.steps], file, page)],
    ]  # fmt: skip
    return [block for block in blocks if block]


def answer_lines(assessment: Assessment, found: Summary, page: Page) -> list[str]:
    """Return the answer with its range, then a line for each of the other currencies."""
    case, verdict = assessment.case, assessment.verdict
    head = verdict.headline
    if not found.gains:
        text = wrap(page.prose(printable(f"{head}: {verdict.sentence}")), "", "  ", _SENTENCE)
        return [page.tone(head) + text[0][len(head) :], *text[1:]]
    first, *rest = _gains(found.gains, page)
    pad = " " * (len(head) + 2)
    if max(map(len, (first, *rest))) + len(pad) <= WIDTH:
        lines = [f"{page.tone(head)}: {first}", *(f"{pad}{line}" for line in rest)]
    else:
        lines = [page.tone(head), *(f"  {line}" for line in (first, *rest))]
    stated = at_rate(verdict.standings, "as stated")
    more = []
    if differing(case, stated):
        bare = name_bare(case.machine, stated[1].reference).removeprefix("the ")
        more.append(f"Against {bare}: {say_standing(case, stated[1])}.")
    more.append(say_free_short(case, verdict.standings))
    return lines + [line for text in more for line in wrap(page.prose(text), "  ")]


def _gains(gains: tuple[Gain, ...], page: Page) -> list[str]:
    """Return a line for each currency: the change, and its range where one was computed."""
    told = []
    for gain in gains:
        low, value, high = (
            page.prose(say_change(gain.currency, v, page.system))
            for v in (gain.change.low, gain.change.value, gain.change.high)
        )
        told.append((gain.currency, value, f"{low} to {high}" if gain.ranged else "no model range"))
    name, number = (max(len(row[i]) for row in told) for i in (0, 1))
    return [f"{by:<{name}}  {value:>{number}}  {span}" for by, value, span in told]
