"""An assessment as text for a person: the verdict first, then what it rests on."""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterator

from jacketcalc import __version__
from jacketcalc.assessment.result import Assessment, Note
from jacketcalc.assessment.verdict import summarise
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Outputs
from jacketcalc.show.balance import cold_block, energy_balance_block
from jacketcalc.show.comparison import comparison_block
from jacketcalc.show.page import WIDTH, Page, between, join_blocks, printable, wrap
from jacketcalc.show.reasons import band_block, limits_block, split_block


def make_text(
    assessment: Assessment,
    *,
    color: bool = False,
    ascii_only: bool = False,
    outputs: Outputs = OUTPUTS,
) -> str:
    """Return an assessment in at most 80 columns, in the units the case asks for.

    Parameters
    ----------
    assessment : what `assess` found
    color : add terminal escapes; without them the text is the same
    ascii_only : keep to ASCII, for terminals that show nothing else
    outputs : results of a machine that are told
    """
    page = Page(system=assessment.case.document.units, color=color, ascii=ascii_only)
    return join_blocks(
        [
            [between(printable(assessment.case.title), f"jacketcalc {__version__}")],
            _verdict(assessment, page),
            *_numbers(assessment, page, outputs),
            _notes(assessment.notes, page),
            _closing(assessment, page),
        ]
    )


def _numbers(assessment: Assessment, page: Page, outputs: Outputs) -> Iterator[list[str]]:
    """Yield what there is to show of machines that run; a stalled one has no numbers."""
    bare, jacketed = assessment.bare.stalled, assessment.jacketed.stalled
    if bare and jacketed:
        return
    yield wrap(page.prose(printable(summarise(assessment))))
    yield comparison_block(assessment, page, outputs)
    if assessment.delivers:
        yield split_block(assessment, page)
        yield band_block(assessment, page)
    if not jacketed:
        yield limits_block(assessment.limits, page)
    yield energy_balance_block(assessment, page)
    if not jacketed:
        yield cold_block(assessment, page)


def _verdict(assessment: Assessment, page: Page) -> list[str]:
    verdict = assessment.verdict
    word = verdict.headline.partition(",")[0]
    lines = wrap(page.prose(printable(f"{verdict.headline}: {verdict.sentence}")), "", "  ")
    lines[0] = page.tone(word) + lines[0][len(word) :]
    return lines


def _notes(notes: tuple[Note, ...], page: Page) -> list[str]:
    """Return warnings, then notes; the caution stands at the end of the page."""
    lines: list[str] = [page.head("NOTES")]
    told = [note for note in notes if note.name != "caution"]
    for note in told:
        mark = "warning: " if note.level == "warning" else "note: "
        wrapped = wrap(page.prose(printable(note.text)), f"  {mark}", "    ")
        wrapped[0] = wrapped[0].replace(mark[:-1], page.tone(mark[:-1]), 1)
        lines += wrapped
    return lines if told else [*lines, "  none"]


def _closing(assessment: Assessment, page: Page) -> list[str]:
    caution = [note.text for note in assessment.notes if note.name == "caution"]
    lines = [line for text in caution for line in wrap(text)]
    return [*lines, "", page.head("Next:") + f"  {_next_command(assessment.case.file)}"]


def _next_command(file: str) -> str:
    """Return the command that keeps every number; a name that does not fit is left out."""
    stem = os.path.splitext(os.path.basename(file))[0]
    name = shlex.quote(file)
    keep = shlex.quote(f"{stem}.json") if file != "-" else "result.json"
    command = f"jacketcalc assess {name} -o {keep}"
    if not name.isprintable() or len(command) > WIDTH - 8:
        return "jacketcalc assess CASE -o RESULT.json"
    return command
