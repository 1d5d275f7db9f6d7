"""The first page: title block, verdict and the reasons for it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from jacketcalc import __version__
from jacketcalc.assessment.hand_check import HandCheck
from jacketcalc.assessment.notes import IDLE
from jacketcalc.assessment.result import Verdict
from jacketcalc.number_text import percent
from jacketcalc.report.figures.section import describe_section, draw_section
from jacketcalc.report.figures.stage_part import case_part
from jacketcalc.report.figures.why import describe_why, draw_why, why_words
from jacketcalc.report.model import Column, Cover, Figure, Row, Table
from jacketcalc.report.sections.checks import STATES, limits_table
from jacketcalc.report.sections.closing import next_steps
from jacketcalc.report.sections.energy import energy_line
from jacketcalc.report.sections.machine import assumption_ids
from jacketcalc.report.sections.method import outside_ranges
from jacketcalc.report.traced import Pen, left, minus, row

_BLANK_ROWS = 1
"""Rows of the revision table left to fill by hand [-]."""
STATUSES = ("draft", "contains assumptions to be confirmed", "checked", "superseded", "void")
"""Words a status can be; the program only ever gives the first two."""
_TONES = {"pays": "good", "does not pay": "bad", "cannot tell": "open"}


def status(pen: Pen) -> str:
    """Return the report's status; checking and approving is for persons."""
    return STATUSES[1] if assumption_ids(pen) else STATUSES[0]


def make_cover(pen: Pen, checks: Sequence[HandCheck], not_run: tuple[str, ...]) -> Cover:
    """Return the first page."""
    verdict = pen.found.verdict
    return Cover(
        title=pen.case.title,
        fields=_fields(pen),
        revisions=_revisions(pen),
        verdict=verdict.headline,
        tone=_tone(verdict),
        sentence=pen.prose(verdict.sentence) + _band(pen),
        abstract=_abstract(pen),
        picture=_picture(pen),
        limits=limits_table(pen, numbered=False),
        energy=energy_line(pen),
        notes=_notes(pen, checks, not_run),
    )


def _tone(verdict: Verdict) -> str:
    """Return the colour of an answer; none where it holds on a condition or breaks a limit."""
    plain = verdict.headline.partition(",")[0] == verdict.answer.upper()
    return _TONES[verdict.answer] if plain and not verdict.limits.newly_broken else "open"


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


def _revisions(pen: Pen) -> Table:
    document = pen.case.document
    rows: list[Row] = [
        row(document.revision, document.date, "this issue", "all"),
        *(row("", "", "", "") for _ in range(_BLANK_ROWS)),
    ]
    columns: tuple[Column, ...] = (left("Rev.", 1), left("Date", 1), left("Reason", 3),
                                   left("Pages affected", 1))  # fmt: skip
    return Table(number=0, name="revisions", caption="Revisions", columns=columns, rows=tuple(rows))


def _band(pen: Pen) -> str:
    found = pen.found
    if not pen.delivers:
        return ""
    band = found.band.delivered_mass_flow
    low, high = (minus(percent(v)) for v in (band.low, band.high))
    return f" Delivered flow over the model's whole band: {low} to {high}."


def _abstract(pen: Pen) -> tuple[tuple[str, str], ...]:
    case, found = pen.case, pen.found
    machine = case.machine
    jackets = sum(s.jacket is not None for s in machine.stages)
    supply = pen.quantity(machine.supply.pressure, "pressure", 4)
    receiver = pen.quantity(machine.receiver_pressure, "pressure", 4)
    what = (
        f"The effect of {'the jacket' if jackets == 1 else 'the jackets'} on delivered air, drive "
        f"air and temperatures, from {supply} supply to {receiver} receiver, absolute."
    )
    drive, hot = found.change.specific_air_consumption, found.band.discharge_temperature.value
    if not pen.delivers:
        result = "No change can be stated: a machine that stalls delivers nothing."
        if pen.runs:
            result = f"No change can be stated: nothing is delivered. {IDLE.capitalize()}."
    else:
        result = (
            f"Delivered air {minus(percent(found.change.delivered_mass_flow))}, drive air per "
            f"mass delivered {minus(percent(drive))}, hottest discharge "
            f"{pen.words(hot, 'temperature difference', 0, sign=True)}, jacketed against bare."
        )
    return (
        ("Question", "Does it pay to lead the cold drive exhaust through the jackets?"),
        ("What", what),
        ("Why", "To settle whether the jackets pay before they are made; judged by "
         f"{case.judgement.by}."),
        ("How", "Stroke cycle, exhaust passages and walls solved together, bare and jacketed by "
         "the same program (section 5)."),
        ("Result", result),
    )  # fmt: skip


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
        ("Do inputs or assumptions still need confirmation?", _open(pen)),
        ("Warnings", tuple(pen.prose(t) for t in warned) or ("none",)),
        ("Correlations outside their range", tuple(outside_ranges(pen)) or ("none",)),
        ("Decision rule", (found.verdict.rule, STATES)),
        ("Hand check", _hand(pen, checks)),
        ("What to do next", next_steps(pen)),
        ("Not run", not_run or ("nothing was left out",)),
        ("Caution", tuple(n.text for n in found.notes if n.name == "caution")),
        (
            "Made by",
            (f"jacketcalc {__version__}, case {pen.case.sha256[:16]}… (SHA-256), appendix A",),
        ),
    )


def _open(pen: Pen) -> tuple[str, ...]:
    marks = assumption_ids(pen)
    invented = sum(g.source == "invented" and not g.assumed for g in pen.case.given)
    if not marks and not invented:
        return ("No.",)
    names: dict[str, int] = {}
    for place in marks:
        key = pen.case.given[place].path.rpartition(".")[2].replace("_", " ")
        names[key] = names.get(key, 0) + 1
    listed = [f"{name} ({n})" if n > 1 else name for name, n in names.items()]
    most = 16
    text = "; ".join(listed[:most]) + (f"; {len(listed) - most} more" if len(listed) > most else "")
    lines = [f"Yes: A1 to A{len(marks)} (section 3): {text}."] if marks else ["Yes."]
    if invented:
        lines.append(f"{invented} inputs are invented: the machine is a made-up one.")
    return tuple(lines)


def _hand(pen: Pen, checks: Sequence[HandCheck]) -> tuple[str, ...]:
    if not checks:
        return ("none: the machine stalls",)
    first = checks[0]
    return (
        f"{first.what}: {pen.words(first.by_hand, 'power', 0)} by first law, program "
        f"{pen.words(first.found, 'power', 0)} ({minus(percent(first.difference))}).",
    )
