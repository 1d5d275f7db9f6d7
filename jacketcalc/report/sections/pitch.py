"""The comparison of pitches, where it was asked for."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np

from jacketcalc.assessment.standing_words import describe_standings
from jacketcalc.number_text import fixed, true_minus
from jacketcalc.report.figures.study_tradeoff import tradeoff
from jacketcalc.report.figures.tradeoff import describe_tradeoff, draw_tradeoff
from jacketcalc.report.model import Block, Bullets, Cell, Paragraph
from jacketcalc.report.traced import Pen, left, minus, right, row
from jacketcalc.show.choice_text import describe_choice
from jacketcalc.show.gas_text import say_gas_of_points
from jacketcalc.studies.choice import Choice
from jacketcalc.studies.columns import fed
from jacketcalc.studies.dossier import PitchStudy
from jacketcalc.studies.study_table import StudyTable


def pitch_section(pen: Pen, pitches: PitchStudy | None) -> Iterator[Block]:
    """Yield figure and table of the comparison, or say that it was not run."""
    if pitches is None:
        yield Paragraph("The comparison of pitches was not run for this report (--with pitch).")
        return
    study = pitches.table
    verdict = pen.found.verdict
    words = describe_standings(pen.case, verdict.standings, verdict.missing)
    yield Paragraph(pen.prose(words))
    if not any(point.state == "solved" for point in study.rows):
        low, high = (pen.quantity(v, "length", 4) for v in _ends(study))
        yield Paragraph(
            f"Compared from {low} to {high} in {len(study.rows)} steps: at none of these pitches "
            "does the machine run."
        )
        return
    data = tradeoff(study, pitches.stage)
    if np.isfinite(data.change).any():
        yield pen.figure(
            partial(draw_tradeoff, data),
            "Temperature at start of compression in "
            f"stage {data.stage} and change of delivery against "
            "pitch; all jackets take the same pitch. Shaded: the model range, each pitch compared "
            "with the machine without jackets under the same model.",
            describe_tradeoff(data),
        )
    yield _table(pen, study)
    beyond = say_gas_of_points(study)
    if beyond:
        yield Bullets(tuple(minus(pen.page.prose(words)) for words in beyond))
    rows = [row(c.aim.name, _answer(pen, study, c)) for c in pitches.choices]
    yield pen.table("best pitches", "Best pitch for each aim, and what is as good",
                    (left("Aim", 1), left("Answer", 3)), rows)  # fmt: skip
    yield Paragraph(
        "One pitch is as good as another where members of the model range disagree about "
        "which is better, or where they differ by less than "
        f"{pen.words(0.25, 'temperature difference', 2)} or 0.25 %. These numbers come from a "
        "study of the same case (jacketcalc pitch) and stand in its own result, not in the JSON "
        "of the assessment."
    )


def _ends(study: StudyTable) -> tuple[float, float]:
    pitches = [point.values[0] for point in study.rows]
    return min(pitches), max(pitches)


def _table(pen: Pen, study: StudyTable) -> Block:
    stages = [s for s in study.case.machine.stages if fed(study.case.machine, s)]
    unit = pen.unit("temperature")
    columns = [
        left("State", 1),
        right(f"Pitch / {pen.unit('length')}"),
        right("Delivery / %", 1.0),
        right("Its model range / %", 1.4),
        right("Specific air consumption / %", 1.2),
        *(right(f"Start of compression {s.name} / {unit}", 1.2) for s in stages),
        *(right(f"Peak Mach, {s.name}", 1.0) for s in stages),
    ]
    rows = []
    for point in study.rows:
        n = point.numbers
        pitch = pen.cell(point.values[0], "length", 1 if pen.page.system == "SI" else 3, "")
        if not n:
            rows.append(row(point.reason or point.state, pitch, *["–"] * (len(columns) - 2)))
            continue
        ends = point.spread("change.delivered_mass_flow")
        band = "–" if ends is None else f"{_pp(ends[0])} to {_pp(ends[1])}"
        cells: list[Cell | str] = [_plus(n.get("change.delivered_mass_flow")), band,
                                   _plus(n.get("change.specific_air_consumption"))]  # fmt: skip
        cells += [pen.cell(n.get(f"compression_start_temperature.{s.name}"), "temperature", 1, "")
                  for s in stages]  # fmt: skip
        cells += [pen.cell(n.get(f"mach_peak.{s.name}"), "number", 2, "") for s in stages]
        state = f"{point.state}, gas beyond the table of air" if point.gas else point.state
        rows.append(row(state, pitch, *cells))
    return pen.table(
        "pitches",
        "Pitches compared: changes against the machine without jackets, and what else moves",
        columns,
        rows,
    )


def _answer(pen: Pen, study: StudyTable, choice: Choice) -> str:
    return minus(pen.page.prose(describe_choice(study, choice, pen.page)))


def _pp(value: float) -> str:
    return true_minus(fixed(100 * value, 1, sign=True))


def _plus(value: float | None) -> Cell:
    if value is None:
        return Cell(text="–")
    return Cell(text=_pp(value), number=round(100 * value, 1), full=100 * value)
