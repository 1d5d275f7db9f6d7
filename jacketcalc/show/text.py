"""An assessment as text for a person: one screen, and behind it everything that was found."""

from __future__ import annotations

from collections.abc import Iterator

from jacketcalc.assessment.result import Assessment, Note
from jacketcalc.assessment.verdict import summarise
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Outputs
from jacketcalc.show.assumption_lines import assumption_lines
from jacketcalc.show.balance import cold_block, energy_balance_block
from jacketcalc.show.comparison import comparison_block
from jacketcalc.show.first_screen import first_screen
from jacketcalc.show.limit_context_text import caution_block, figures_block, stress_block
from jacketcalc.show.losses import budget_block, changes_block, way_block
from jacketcalc.show.page import Page, join_blocks, printable, wrap
from jacketcalc.show.reasons import band_block, limits_block, split_block


def make_text(
    assessment: Assessment,
    *,
    full: bool = False,
    color: bool = False,
    ascii_only: bool = False,
    outputs: Outputs = OUTPUTS,
) -> str:
    """Return an assessment in at most 80 columns, in the units the case asks for.

    Parameters
    ----------
    assessment : what `assess` found
    full : everything that was found, behind the first screen
    color : add terminal escapes; without them the text is the same
    ascii_only : keep to ASCII, for terminals that show nothing else
    outputs : results of a machine that are told
    """
    page = Page(system=assessment.case.document.units, color=color, ascii=ascii_only)
    blocks = first_screen(assessment, page, outputs)
    if full:
        blocks += [*_numbers(assessment, page, outputs), _notes(assessment.notes, page)]
    blocks.append(assumption_lines(assessment, page))
    return join_blocks(blocks)


def _numbers(assessment: Assessment, page: Page, outputs: Outputs) -> Iterator[list[str]]:
    """Yield what there is to show of machines that run; a stalled one has no numbers."""
    bare, jacketed = assessment.bare.stalled, assessment.jacketed.stalled
    if bare and jacketed:
        return
    yield wrap(page.prose(printable(assessment.verdict.sentence)))
    yield wrap(page.prose(printable(summarise(assessment))))
    yield comparison_block(assessment, page, outputs)
    if assessment.delivers:
        yield split_block(assessment, page)
        yield band_block(assessment, page)
    if not jacketed:
        yield budget_block(assessment, page)
    yield changes_block(assessment, page)
    yield way_block(assessment, page)
    if not jacketed:
        yield limits_block(assessment.limits, page)
        yield figures_block(assessment, page)
        yield stress_block(assessment, page)
        yield caution_block(page)
    yield energy_balance_block(assessment, page)
    if not jacketed:
        yield cold_block(assessment, page)


def _notes(notes: tuple[Note, ...], page: Page) -> list[str]:
    """Return warnings, then notes; the caution stands on the first screen."""
    lines: list[str] = [page.head("NOTES")]
    told = [note for note in notes if note.name != "caution"]
    for note in told:
        mark = "warning: " if note.level == "warning" else "note: "
        wrapped = wrap(page.prose(printable(note.text)), f"  {mark}", "    ")
        wrapped[0] = wrapped[0].replace(mark[:-1], page.tone(mark[:-1]), 1)
        lines += wrapped
    return lines if told else [*lines, "  none"]
