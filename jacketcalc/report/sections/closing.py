"""Purpose, conclusion and cautions."""

from __future__ import annotations

from collections.abc import Iterator

from jacketcalc.assessment.water_finding import Need, water_of
from jacketcalc.casefile.describe import field_at
from jacketcalc.report.model import Block, Bullets, Heading, Paragraph
from jacketcalc.report.sections.checks import what_drives
from jacketcalc.report.sections.method import outside_ranges
from jacketcalc.report.sections.sources import mark
from jacketcalc.report.traced import Pen

_CURRENCY = {
    "delivery": "the mass delivered into the receiver per hour",
    "specific air consumption": "the mass of drive air for each kilogram delivered",
    "discharge temperature": "the discharge temperature of the hottest stage",
}


def purpose_section(pen: Pen) -> Iterator[Block]:
    """Yield the question, the currency and the rule, before any result."""
    judgement = pen.case.judgement
    bare = {
        "exhaust direct": "its exhaust direct, from the valve to ambient",
        "exhaust through tube": "its exhaust through its tube",
    }
    yield Paragraph(
        "Does it pay to send the cold exhaust of the drive through helical jackets around the "
        "stages? The jackets cool walls and air; they also resist the exhaust, which slows the "
        f"strokes. They are compared with the same machine without jackets, "
        f"{bare[judgement.no_jackets]}."
    )
    yield Heading("Acceptance criteria")
    limit = pen.quantity(judgement.discharge_limit, "temperature", 4)
    yield Bullets(
        (
            f"Judged by {_CURRENCY[judgement.by]}. {pen.found.verdict.rule}",
            f"Mean discharge temperature of every stage: at most {limit}{_limit_origin(pen)}.",
            "Walls, seals and tubes: inside the service temperatures of their materials (table of "
            "materials).",
        )
    )
    yield Paragraph("Rule and limits are those of the case file (appendix A).")


def _limit_origin(pen: Pen) -> str:
    """Say who set the discharge limit: the case, or the source of the default."""
    path = "judge.discharge_limit"
    if not any(given.path == path and given.assumed for given in pen.case.given):
        return ", as the case states"
    field = field_at(path)
    return f" (filled in: {field.why} {mark(pen.case, field.cites)})"


def conclusion_section(pen: Pen) -> Iterator[Block]:
    """Yield the verdict and what to do next."""
    verdict = pen.found.verdict
    yield Paragraph(pen.prose(verdict.sentence), f"{verdict.headline}. ")
    yield Heading("What to do next")
    yield Bullets(next_steps(pen))


def next_steps(pen: Pen) -> tuple[str, ...]:
    """Return what follows from the result."""
    found = pen.found
    steps = []
    if not pen.runs:
        steps.append("Give the drive more force or lower the receiver pressure: a stalled machine "
                     "is not judged by its jackets.")  # fmt: skip
    elif not pen.delivers:
        steps.append("Lower the receiver pressure or the clearances: a machine that delivers "
                     "nothing is not judged by its jackets.")  # fmt: skip
    elif found.verdict.answer == "does not pay":
        steps.append("Make the passage wider (pitch, gap, tube, outlet) first, or build the "
                     "machine without jackets.")  # fmt: skip
    elif found.verdict.answer == "cannot tell":
        steps.append("Do not rely on this number: measure first. " + what_drives(pen))
    else:
        steps.append(
            "Confirm the assumptions (section 3) and measure before relying on the number. "
            + what_drives(pen)
        )
    failed = [c.what for c in found.limits if not c.kept]
    if failed:
        steps.append(f"Solve the limits that are not kept: {'; '.join(failed)}.")
    water = found.jacketed.water
    threatened = [
        stage.name
        for stage, one in zip(found.jacketed.stages, water.stages if water else (), strict=False)
        if one is not None and one.margin < 0 and pen.runs
    ]
    if threatened:
        needed = {need.key: need for need in water_of(found).needs}["stages"]
        steps.append(
            "Dry the supply air or drain the stages: water can condense in "
            f"{', '.join(threatened)}. {_dry_enough(needed)}"
        )
    if outside_ranges(pen):
        steps.append("Have the correlations used outside their range judged by a specialist.")
    return tuple(steps)


def _dry_enough(need: Need) -> str:
    """Say what dries the supply enough; its dew point stands with water along the path."""
    if need.humidity_class is None:
        return "No class of ISO 8573-1 is dry enough for that."
    return (
        f"Air of class {need.humidity_class} or drier by ISO 8573-1 keeps them dry ({need.dryer}; "
        "common practice, no source)."
    )


def cautions_section(pen: Pen) -> Iterator[Block]:
    """Yield the warnings and what the report does not cover."""
    caution = [n.text for n in pen.found.notes if n.name == "caution"]
    for text in caution:
        yield Paragraph(text, "Caution. ")
    yield Heading("Warnings and notes of this run")
    yield Bullets(
        tuple(
            f"{n.level.capitalize()}: {pen.prose(n.text).rstrip('.')}."
            for n in pen.found.notes
            if n.name != "caution"
        )
        or ("none",)
    )
    yield Heading("Correlations used outside their stated range")
    yield Bullets(tuple(f"{line}." for line in outside_ranges(pen)) or ("none",))
    yield Heading("What this report does not cover")
    yield Bullets(
        (
            "Strength, fatigue and sealing of any part; pressure equipment codes; noise.",
            "Oil in the air, wear, and the change of seals with temperature.",
            "Starting up: the machine is taken in its steady cycle, the receiver's pressure held.",
            "Heat of freezing and condensing water, and what ice does to the passage.",
            "Pressure waves in the tubes: each phase of a pulse is taken as steady (the note on "
            "quasi-steady pulses says what that costs); the peak of back-pressure leaves out the "
            "short surge as the valve opens.",
            "Leakage past pistons and check valves.",
        )
    )
