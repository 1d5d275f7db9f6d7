"""How sure the verdict is: the model range, and the samples of the inputs where asked for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from jacketcalc.core.output_record import DIFFERENCES, Output
from jacketcalc.number_text import fixed, percent
from jacketcalc.report.figures.study_intervals import decimals_of
from jacketcalc.report.model import Block, Cell, Heading, Paragraph, Row, Symbol, Table
from jacketcalc.report.sections.bench import bench_blocks
from jacketcalc.report.sections.checks import band_section
from jacketcalc.report.sections.uncertain_inputs import inputs_table
from jacketcalc.report.traced import Pen, group, left, minus, right, row
from jacketcalc.report.uncertainty_figures import interval_picture, tornado_picture
from jacketcalc.statistics.estimates import Estimate
from jacketcalc.statistics.summary import Summary
from jacketcalc.uncertainty.result import Headline, UncertaintyStudy

if TYPE_CHECKING:
    from jacketcalc.uncertainty.sampled import Sampled

SHARES = 10
"""Inputs whose shares are listed [-]."""
_FINER = 1
"""Decimals that a sampling error has more than its number [-]."""


def uncertainty_section(pen: Pen, sampled: Sampled | None) -> Iterator[Block]:
    """Yield the model range, then samples, ranks and readings, or that they were not run."""
    yield from band_section(pen)
    if sampled is None:
        yield Heading("Tolerances of the inputs")
        why = "--with uncertainty" if pen.delivers else "a machine delivers nothing"
        yield Paragraph(
            "Not run: the sampling of tolerances and the share of each input in the result's "
            f"uncertainty ({why}). The tolerances of section 3 are stated there and go no further."
        )
        return
    study = sampled.study
    yield Heading("Sampling of the inputs")
    yield Paragraph(_method(study))
    yield Paragraph(_answer(pen, study))
    yield _judged(pen, study)
    yield _headlines(pen, study)
    picture = interval_picture(study, pen.found)
    level = percent(study.level, 0, sign=False)
    yield pen.figure(
        picture.draw,
        f"Median and {minus(level)} coverage interval of the samples, no jackets and with jackets; "
        "at the right the change, and below it its model range, which is no probability.",
        picture.alt,
    )
    if study.limits:
        yield _limits(pen, study)
    yield Heading("Which input matters")
    if study.shares:
        yield _shares(pen, study)
    picture = tornado_picture(sampled.ranking)
    yield pen.figure(
        picture.draw,
        "Each input alone from the low to the high end of its 95 % interval, all others nominal: "
        "(a) the delivery with jackets, (b) the benefit of the jackets, which is the judged "
        "change, for the better positive. Bold: the input alone can change the answer.",
        picture.alt,
    )
    yield inputs_table(pen, study)
    if sampled.bench is not None:
        yield from bench_blocks(pen, sampled.bench)


def _method(study: UncertaintyStudy) -> str:
    replicates = study.gain.mean.replicates
    text = (
        f"Method: propagation of distributions (JCGM 101). {study.samples} pairs of machines, no "
        f"jackets and with jackets, were solved at the points of {replicates} independent "
        f"scrambled Sobol sequences in {len(study.inputs)} inputs, seed {study.seed}. Both "
        "machines of a pair have the same inputs, so that what moves both alike drops out of the "
        "change. Coverage intervals are probabilistically symmetric. A sampling error is the "
        "standard error of a number from the spread of the sequences: so far would another seed "
        "move it. The numbers stand in the JSON of jacketcalc uncertainty "
        f"--samples {study.samples} --seed {study.seed} --json, not in that of the assessment."
    )
    if study.failed:
        text += f" {study.failed} pairs did not settle."
    return text


def _answer(pen: Pen, study: UncertaintyStudy) -> str:
    margin = max(study.pays.margin(), 1e-3)
    return minus(
        f"Judged by {study.case.judgement.by}, the jackets pay with a probability of "
        f"{percent(study.pays.value, 1, sign=False)} (sampling: ± {fixed(100 * margin, 1)} "
        "percentage points, 95 %). It is the probability under the distributions below. Errors of "
        "the models' form are in it only as far as the factors on their laws stand for them."
    )


def _judged(pen: Pen, study: UncertaintyStudy) -> Table:
    """Return the judged change with the sampling error of each of its numbers."""
    kelvin = study.case.judgement.by == "discharge temperature"
    dimension = "temperature difference" if kelvin else "percent"
    unit, gain = pen.unit(dimension), study.gain
    decimals = 1 if kelvin else 2
    named: list[tuple[str, Estimate, bool]] = [
        ("expectation", gain.mean, True),
        ("median", gain.median, True),
        ("lower end of the coverage interval", gain.low, True),
        ("upper end of the coverage interval", gain.high, True),
        ("standard uncertainty", gain.standard_uncertainty, False),
    ]
    rows = [
        row(label, unit, pen.cell(e.value, dimension, decimals, "", sign=sign),
            pen.cell(e.sampling_error, dimension, decimals + _FINER, ""))
        for label, e, sign in named
    ]  # fmt: skip
    chance = study.pays
    rows.append(row("probability that the jackets pay", "%",
                    pen.cell(chance.value, "percent", 1, ""),
                    pen.cell(chance.sampling_error, "percent", 1 + _FINER, "")))  # fmt: skip
    level = percent(study.level, 0, sign=False)
    return pen.table(
        "judged change",
        f"The judged change ({study.case.judgement.by}) of {study.samples} pairs",
        (left("Quantity", 3), left("Unit", 0), right("Value"), right("Sampling error")),
        rows,
        f"Positive is for the better. Coverage probability {minus(level)}.",
    )


def _headlines(pen: Pen, study: UncertaintyStudy) -> Table:
    rows: list[Row] = []
    for one in study.headlines:
        per = pen.per(one.output.dimension)
        rows.append(group(f"{one.output.label} / {per}" if per else one.output.label))
        shown = [pen.display(s.median.value, one.output.dimension)
                 for s in (one.no_jackets, one.with_jackets) if s is not None]  # fmt: skip
        decimals = decimals_of(one.output, shown)
        for label, summary in (("no jackets", one.no_jackets), ("with jackets", one.with_jackets)):
            rows.append(_machine(pen, label, summary, one.output, decimals))
        rows.append(_change(pen, one))
    columns = (
        left("Quantity", 2),
        right(("Median ", Symbol("y", "0.5"))),
        right(("Lower end ", Symbol("y", "low"))),
        right(("Upper end ", Symbol("y", "high"))),
        right(("Standard uncertainty ", Symbol("u"), "(", Symbol("y"), ")")),
        right("Sampling error of the ends"),
    )
    level = percent(study.level, 0, sign=False)
    return pen.table(
        "samples", f"Main results: median, {minus(level)} coverage interval, standard uncertainty",
        columns, rows,
        "Sampling error of the ends: the larger of both. Changes are paired, pair by pair; of "
        "temperatures they are differences.",
    )  # fmt: skip


def _machine(pen: Pen, label: str, summary: Summary | None, output: Output, decimals: int) -> Row:
    if summary is None:
        return row(label, *["–"] * 5)
    apart = DIFFERENCES.get(output.dimension, output.dimension)
    cells = [pen.cell(e.value, output.dimension, decimals, "")
             for e in (summary.median, summary.low, summary.high)]  # fmt: skip
    spread = pen.cell(summary.standard_uncertainty.value, apart, decimals, "")
    return row(label, *cells, spread, _ends_error(pen, summary, apart, decimals))


def _change(pen: Pen, one: Headline) -> Row:
    dimension, summary = one.output.change_dimension, one.change
    label = f"change / {pen.unit(dimension)}"
    if summary is None:
        return row(label, *["–"] * 5)
    cells = [pen.cell(e.value, dimension, 1, "", sign=True)
             for e in (summary.median, summary.low, summary.high)]  # fmt: skip
    spread = pen.cell(summary.standard_uncertainty.value, dimension, 1, "")
    return row(label, *cells, spread, _ends_error(pen, summary, dimension, 1))


def _ends_error(pen: Pen, summary: Summary, dimension: str, decimals: int) -> Cell:
    error = max(summary.low.sampling_error, summary.high.sampling_error)
    return pen.cell(error, dimension, decimals + _FINER, "")


def _limits(pen: Pen, study: UncertaintyStudy) -> Table:
    rows = []
    for one in study.limits:
        each = (one.kept, one.mended, one.newly_broken, one.broken_in_both)
        error = max(e.sampling_error for e in each)
        cells = [pen.cell(e.value, "percent", 1, "") for e in each]
        rows.append(row(one.what, *cells, pen.cell(error, "percent", 1 + _FINER, "")))
    columns = (left("Limit", 3), right("Kept / %"), right("Mended / %"), right("Newly broken / %"),
               right("Broken in both / %"), right("Sampling error / %"))  # fmt: skip
    return pen.table(
        "limit chances", "Probability of each limit's fate", columns, rows,
        "Kept: in both machines. Mended: with jackets only. Sampling error: the largest of the "
        "row. Limits are a statement of their own and do not decide whether the jackets pay.",
    )  # fmt: skip


def _shares(pen: Pen, study: UncertaintyStudy) -> Table:
    told = [one for one in study.shares if one.told]
    rows = [
        row(one.path, pen.cell(one.first, "percent", 0, ""),
            pen.cell(one.sampling_error, "percent", 0, ""))
        for one in told[:SHARES]
    ]  # fmt: skip
    return pen.table(
        "shares", "The largest shares in the variance of the judged change",
        (left("Input", 3), right((Symbol("S", "i"), " / %")), right("Sampling error / %")), rows,
        ("First-order index ", Symbol("S", "i"), ": what would be gone of the variance ",
         Symbol("u"), "²(", Symbol("y"), ") if the input were known exactly, on average. "
         f"Not listed: {len(told) - len(rows)} smaller ones, and {len(study.shares) - len(told)} "
         "that are below twice their sampling error and so not told from nought."),
    )  # fmt: skip
