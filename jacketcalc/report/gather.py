"""Puts a report together out of a result."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from jacketcalc import __version__
from jacketcalc.assessment.water_finding import water_of
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Outputs
from jacketcalc.inputs import Case
from jacketcalc.report.changes import changes_table
from jacketcalc.report.cover import make_cover
from jacketcalc.report.model import Block, Report, Section
from jacketcalc.report.sections.checks import checks_section, limits_section
from jacketcalc.report.sections.closing import (
    cautions_section,
    conclusion_section,
    purpose_section,
)
from jacketcalc.report.sections.energy import energy_section
from jacketcalc.report.sections.machine import drawings_section, inputs_section
from jacketcalc.report.sections.method import method_section
from jacketcalc.report.sections.pitch import pitch_section
from jacketcalc.report.sections.repeat import case_section, reproducibility_section
from jacketcalc.report.sections.results import profiles_section, results_section
from jacketcalc.report.sections.rivals import rivals_section
from jacketcalc.report.sections.sources import references_section
from jacketcalc.report.sections.uncertainty import uncertainty_section
from jacketcalc.report.traced import Pen
from jacketcalc.studies.dossier import Dossier
from jacketcalc.verification.published import Verification

if TYPE_CHECKING:
    from jacketcalc.fill.result import FillComparison
    from jacketcalc.uncertainty.sampled import Sampled


def gather(
    dossier: Dossier,
    verification: Verification,
    outputs: Outputs = OUTPUTS,
    previous: Case | None = None,
    sampled: Sampled | None = None,
    *,
    water: bool = False,
    fill: FillComparison | None = None,
) -> Report:
    """Return the report of a case.

    Parameters
    ----------
    dossier : all that was solved
    verification : published cases against the program
    outputs : results of a machine that are told
    previous : the case of the report before, whose differences are listed
    sampled : samples of the verdict, ranks of its inputs, readings; None where not asked for
    water : whether water is followed along the whole path
    fill : the filling of the receiver; None where not asked for
    """
    pen, found = Pen(dossier.found, outputs, dossier.ranges), dossier.found
    path = water_of(found) if water else None
    seed = None if sampled is None else sampled.study.seed
    parts: list[tuple[str, str, Callable[[], Iterator[Block]]]] = [
        ("1", "Purpose and acceptance criteria", lambda: purpose_section(pen)),
        ("2", "The machine", lambda: drawings_section(pen)),
        ("3", "Inputs and assumptions", lambda: inputs_section(pen)),
        ("4", "Cautions and limits of this report", lambda: cautions_section(pen)),
        ("5", "Method", lambda: method_section(pen)),
        ("6", "Results, no jackets and with jackets", lambda: results_section(pen)),
        ("7", "Energy", lambda: energy_section(pen)),
        ("8", "Profiles and cycles", lambda: profiles_section(pen)),
        ("9", _ways(dossier), lambda: _compared(pen, dossier)),
        ("10", "Limits, water and fill", lambda: limits_section(pen, path, fill)),
        ("11", "Uncertainty", lambda: uncertainty_section(pen, sampled)),
        ("12", "Checks", lambda: checks_section(pen, dossier.by_hand, verification)),
        ("13", "Conclusion", lambda: conclusion_section(pen)),
        ("14", "References", lambda: references_section(pen)),
        ("15", "Reproducibility", lambda: reproducibility_section(pen, dossier.grid, seed)),
        ("A", "The case file", lambda: case_section(pen)),
    ]
    sections = tuple(
        Section(number=number, title=title, blocks=tuple(make())) for number, title, make in parts
    )
    optional = (
        (dossier.pitches, "comparison of pitches (--with pitch)"),
        (sampled, "sampling of tolerances (--with uncertainty)"),
        (path, "water along the path (--with water)"),
        (dossier.rivals, "other ways than the jackets (--with rivals)"),
        (fill, "filling of the receiver over time (--with fill)"),
    )
    not_run = tuple(words for part, words in optional if part is None)
    document = found.case.document
    changes = changes_table(pen, previous) if previous is not None else None
    return Report(
        cover=make_cover(pen, dossier.by_hand, not_run, changes),
        sections=sections,
        number=document.number or "number not stated",
        revision=document.revision or "not stated",
        program=f"jacketcalc {__version__}",
        sha256=found.case.sha256,
    )


def _ways(dossier: Dossier) -> str:
    """Return the title of the section that compares designs."""
    return "Comparison of pitches" + (", and rivals" if dossier.rivals is not None else "")


def _compared(pen: Pen, dossier: Dossier) -> Iterator[Block]:
    """Yield the comparison of pitches, then that with other ways than the jackets."""
    yield from pitch_section(pen, dossier.pitches)
    yield from rivals_section(pen, dossier.rivals)
