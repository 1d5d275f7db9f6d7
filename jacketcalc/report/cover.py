"""The first page: title block, what it is, the answer, limits, water, numbers and the reasons."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from jacketcalc import __version__
from jacketcalc.assessment.hand_check import HandCheck
from jacketcalc.number_text import percent
from jacketcalc.report.cover_numbers import numbers_table
from jacketcalc.report.cover_statements import make_statements
from jacketcalc.report.figures.section import describe_section, draw_section
from jacketcalc.report.figures.stage_part import case_part
from jacketcalc.report.figures.why import describe_why, draw_why, why_words
from jacketcalc.report.model import Column, Cover, Figure, Row, Table
from jacketcalc.report.sections.closing import next_steps
from jacketcalc.report.sections.energy import energy_line
from jacketcalc.report.sections.machine import assumption_ids
from jacketcalc.report.sections.method import outside_ranges
from jacketcalc.report.traced import Pen, left, minus, row

_BLANK_ROWS = 1
"""Rows of the revision table left to fill by hand [-]."""
STATUSES = ("draft", "contains assumptions to be confirmed", "checked", "superseded", "void")
"""Words a status can be; the program only ever gives the first two."""


def status(pen: Pen) -> str:
    """Return the report's status; checking and approving is for persons."""
    return STATUSES[1] if assumption_ids(pen) else STATUSES[0]


def make_cover(
    pen: Pen, checks: Sequence[HandCheck], not_run: tuple[str, ...], changes: Table | None = None
) -> Cover:
    """Return the first page.

    Parameters
    ----------
    pen : writes the numbers
    checks : numbers worked out by hand
    not_run : what the report leaves out
    changes : what has changed since the previous case
    """
    return Cover(
        title=pen.case.title,
        fields=_fields(pen),
        author=pen.case.document.author,
        revisions=_revisions(pen, changes),
        changes=changes,
        about=_about(pen),
        caution=caution_of(pen),
        statements=make_statements(pen),
        numbers=numbers_table(pen),
        picture=_picture(pen),
        why=pen.prose(pen.found.verdict.sentence),
        notes=_notes(pen, checks, not_run),
    )


def caution_of(pen: Pen) -> str:
    """Return the caution of the whole report."""
    return " ".join(n.text for n in pen.found.notes if n.name == "caution")


def _fields(pen: Pen) -> tuple[tuple[str, str], ...]:
    document = pen.case.document
    return (
        ("Legal owner", document.owner),
        ("Identification number", document.number),
        ("Revision", document.revision),
        ("Date of issue", document.date),
        ("Document type", "thermal calculation"),
        ("Status", status(pen)),
        ("Creator", document.author),
        ("Checked by", document.checker),
        ("Approved by", document.approver),
    )


def _revisions(pen: Pen, changes: Table | None) -> Table:
    document = pen.case.document
    reason = "this issue"
    if changes is not None:
        reason += ": changes of the case in the next table" if changes.rows else ": same case"
    rows: list[Row] = [
        row(document.revision, document.date, reason, "all"),
        *(row("", "", "", "") for _ in range(_BLANK_ROWS)),
    ]
    columns: tuple[Column, ...] = (left("Rev.", 1), left("Date", 1), left("Reason", 3),
                                   left("Pages affected", 1))  # fmt: skip
    return Table(number=0, name="revisions", caption="Revisions", columns=columns, rows=tuple(rows))


def _about(pen: Pen) -> str:
    machine = pen.case.machine
    stages, jackets = len(machine.stages), sum(s.jacket is not None for s in machine.stages)
    supply = pen.quantity(machine.supply.pressure, "pressure", 4)
    receiver = pen.quantity(machine.receiver_pressure, "pressure", 4)
    count = {1: "one stage", 2: "two stages", 3: "three stages"}.get(stages, f"{stages} stages")
    way = f"from {supply} supply to {receiver} receiver"
    if machine.source is not None:
        at = pen.quantity(machine.source.pressure, "pressure", 4)
        way = f"driven at {supply}, {machine.gas.name} from a source at {at} to {receiver} receiver"
    which = "a helical jacket" if jackets == 1 else f"{jackets} helical jackets"
    return (
        f"An air-driven pressure booster with {count}, {way} (absolute). Question: "
        f"does it pay to lead the cold exhaust of the drive through {which}? "
        f"Judged by {pen.case.judgement.by}. Both machines, no jackets and with jackets, are "
        "solved by the same program: stroke cycle, exhaust passages and walls together (section 5)."
    )


def _picture(pen: Pen) -> Figure:
    found = pen.found
    if not pen.delivers:
        part = case_part(pen.case, len(pen.case.machine.stages) - 1)
        why = "delivers nothing" if pen.runs else "stalls"
        caption = f"Stage {part.stage.name} as the case has it; the machine {why}."
        alt = describe_section(part)
        return Figure(number=0, caption=caption, alt=alt, draw=partial(draw_section, part))
    return Figure(
        number=0,
        caption=why_words(found),
        alt=describe_why(found),
        draw=partial(draw_why, found),
    )


def _notes(
    pen: Pen, checks: Sequence[HandCheck], not_run: tuple[str, ...]
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    found = pen.found
    warned = [n.text for n in found.notes if n.level == "warning"]
    return (
        ("What to do next", next_steps(pen)),
        ("Warnings", tuple(pen.prose(t) for t in warned) or ("none",)),
        ("Correlations outside their range", tuple(outside_ranges(pen)) or ("none",)),
        ("Decision rule", (found.verdict.rule,)),
        ("Energy", (energy_line(pen),)),
        ("Hand check", _hand(pen, checks)),
        ("Not run", ("; ".join(not_run) or "nothing was left out",)),
        (
            "Made by",
            (f"jacketcalc {__version__}, case {pen.case.sha256[:16]}… (SHA-256), appendix A",),
        ),
    )


def _hand(pen: Pen, checks: Sequence[HandCheck]) -> tuple[str, ...]:
    if not checks:
        return ("none: the machine stalls",)
    first = checks[0]
    return (
        f"{first.what}: {pen.words(first.by_hand, 'power', 0)} by first law, program "
        f"{pen.words(first.found, 'power', 0)} ({minus(percent(first.difference))}).",
    )
