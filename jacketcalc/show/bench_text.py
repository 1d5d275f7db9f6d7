"""Readings against the model, and which to take next, as text."""

from __future__ import annotations

from jacketcalc import __version__
from jacketcalc.assessment.result import Interval
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.inputs import Case
from jacketcalc.number_text import fixed, percent, significant
from jacketcalc.readings import DIMENSIONS, Reading
from jacketcalc.show.page import BOLD, Page, between, join_blocks, printable, table_line, wrap
from jacketcalc.uncertainty.plan_test import TestPlan
from jacketcalc.uncertainty.reconcile import (
    BENCHES,
    HELD_GAIN,
    HELD_UNKNOWNS,
    Compared,
    Explanation,
    Reconciliation,
)
from jacketcalc.unit_display import find_display, to_display

_WHAT = 38
_SHOWN = 12
"""Candidate readings that are listed [-]."""


def make_bench_text(found: Reconciliation, *, color: bool = False) -> str:
    """Return a reconciliation in at most 80 columns."""
    page = Page(system=found.case.document.units, color=color)
    return join_blocks(
        [
            _head(found.case),
            wrap(page.prose(_answer(found, page))),
            _readings(found, page),
            _singles(found, page),
            _joint(found, page),
            wrap(page.prose(_next(found))),
        ]
    )


def make_plan_text(plan: TestPlan, *, color: bool = False) -> str:
    """Return a plan of tests in at most 80 columns."""
    page = Page(system=plan.case.document.units, color=color)
    width = 48
    head = table_line("reading", [("alone", 12), ("in the plan", 14)], width)[0]
    lines = [page.paint(head, BOLD)]
    for one in plan.proposed[:_SHOWN]:
        number = f"{one.chosen}. " if one.chosen else "   "
        cells = [(_u(one.uncertainty_after, plan.case, page), 12),
                 (_u(one.after_chosen, plan.case, page) if one.chosen else "", 14)]  # fmt: skip
        lines += table_line(f"{number}{printable(one.reading.name)}", cells, width)
        lines += wrap(page.prose(f"{one.instrument}, u = {_amount(one.reading, page)}"), "     ")
    count = len(plan.case.readings)
    before = f"With the {count} readings of the case" if count else "Before any reading"
    words = (
        f"{before} the unknowns of a bench leave a standard uncertainty of "
        f"{_u(plan.before, plan.case, page)} of the judged change. A number in the table is what "
        "is left of it."
    )
    return join_blocks([_head(plan.case), wrap(words), lines])


def _u(value: float, case: Case, page: Page) -> str:
    if case.judgement.by == "discharge temperature":
        size = find_display("temperature difference", page.system).size
        return f"{fixed(value / size, 1)} {page.unit('temperature difference')}"
    return f"{fixed(100 * value, 2)} points"


def _head(case: Case) -> list[str]:
    title = between(printable(case.title), f"jacketcalc {__version__}")
    return [title, *wrap(CAUTION_BRIEF)]


def _gain(gain: Interval, case: Case, page: Page) -> str:
    if case.judgement.by == "discharge temperature":
        size = find_display("temperature difference", page.system).size
        low, value, high = (fixed(v / size, 1, sign=True) for v in
                            (gain.low, gain.value, gain.high))  # fmt: skip
        return f"{value} {page.unit('temperature difference')} ({low} to {high})"
    return f"{percent(gain.value)} ({percent(gain.low)} to {percent(gain.high)})"


def _answer(found: Reconciliation, page: Page) -> str:
    before = f"As stated: {_gain(found.nominal, found.case, page)}."
    if found.unexplained:
        return (
            f"NO PARAMETERS EXPLAIN THE READINGS (p = {significant(found.joint.p_value, 2)}): see "
            f"whether a reading, its uncertainty or its state is wrong. {before}"
        )
    after = f"After the readings: {found.joint.answer.upper()}, " \
        f"{_gain(found.joint.gain, found.case, page)}."  # fmt: skip
    answers = {one.answer for one in found.single if one.explains}
    words = f"{after} {before}"
    if len(answers | {found.joint.answer}) > 1:
        told = " or ".join(sorted(answer.upper() for answer in answers | {found.joint.answer}))
        words += f" THE READINGS DO NOT SETTLE IT: single explanations give {told}."
    return words


def _amount(reading: Reading, page: Page) -> str:
    return _number(reading, reading.standard_uncertainty, page, spread=True)


def _number(reading: Reading, value: float, page: Page, *, spread: bool = False) -> str:
    dimension = DIMENSIONS[reading.kind]
    if spread and dimension in ("temperature", "pressure"):
        dimension = f"{dimension} difference"
    shown = to_display(value, dimension, page.system)
    return f"{significant(shown, 3 if spread else 4)} {page.unit(dimension)}".rstrip()


def _readings(found: Reconciliation, page: Page) -> list[str]:
    heads = (("read", 10), ("as stated", 12), ("fitted", 10), ("residual", 10))
    lines = [page.paint(table_line("", heads, _WHAT)[0], BOLD)]
    for one in found.compared:
        lines += _row(one, page)
    lines += wrap("Residual: reading less prediction, over the joint standard uncertainty of both.",
                  "  ")  # fmt: skip
    return lines


def _row(one: Compared, page: Page) -> list[str]:
    cells = [(_number(one.reading, one.reading.value, page), 10),
             (_number(one.reading, one.predicted, page), 12),
             (_number(one.reading, one.fitted, page), 10),
             (fixed(one.residual, 1, sign=True), 10)]  # fmt: skip
    return table_line(printable(one.reading.name), cells, _WHAT)


def _singles(found: Reconciliation, page: Page) -> list[str]:
    title = "ONE EXPLANATION ALONE"
    head = table_line("", [("value (95 %)", 26), ("chi-square", 12), ("p", 8)], 22)[0]
    lines = [page.paint(f"{title}{head[len(title) :]}", BOLD)]
    for one in found.single:
        lines += _explanation(one, found.case, page)
    return lines


def _explanation(one: Explanation, case: Case, page: Page) -> list[str]:
    value = one.values[0]
    shown = f"{fixed(value.value, 2)} ({fixed(value.low, 2)} to {fixed(value.high, 2)})"
    p = "< 0.001" if one.p_value < 1e-3 else fixed(one.p_value, 3)
    lines = table_line(f"  {one.name}", [(shown, 26), (fixed(one.chi_square, 1), 12), (p, 8)], 22)
    if one.explains:
        words = f"would explain them; then {one.answer}, {_gain(one.gain, case, page)}"
        lines += wrap(page.prose(words), "    ")
    return lines


def _joint(found: Reconciliation, page: Page) -> list[str]:
    joint = found.joint
    p = significant(joint.p_value, 2)
    title = f"ALL TOGETHER, with their priors: chi-square {fixed(joint.chi_square, 1)}, p = {p}"
    lines = [page.head(title)]
    for unknown, value in zip(joint.unknowns, joint.values, strict=True):
        shown = f"{fixed(value.value, 2)} ({fixed(value.low, 2)} to {fixed(value.high, 2)})"
        kind = "times what is stated" if unknown.factor else "the value itself"
        lines += table_line(f"  {unknown.name}", [(shown, 24), (f"  {kind}", 24)], 24)
    return [*lines, *wrap(page.prose(_held(joint)), "  ")]


def _held(joint: Explanation) -> str:
    """Say what the intervals are, and how often such ones held the truth."""
    if joint.posterior is None:
        return (
            "95 % intervals come from slopes at the likeliest values: the model has no solution at "
            "too many others. Where a prior has limits, such intervals hold the truth less often "
            "than they say."
        )
    gain, worst, best = (percent(v, 0, sign=False).removesuffix(" %")
                         for v in (HELD_GAIN, *HELD_UNKNOWNS))  # fmt: skip
    return (
        "95 % intervals hold the whole distribution, limits of priors and bends of the model with "
        f"it. On {BENCHES} synthetic benches they held the truth in {gain} % (judged change) and "
        f"in {worst} to {best} % (unknowns)."
    )


def _next(found: Reconciliation) -> str:
    part = found.parting
    if part is None:
        return "Next: `jacketcalc plan-test` names the readings that would narrow the answer most."
    return (
        f"To tell {' and '.join((', '.join(part.names[:-1]), part.names[-1]))} apart, read: "
        f"{part.reading.name} ({part.instrument}); they lie {fixed(part.apart, 1)} u apart there. "
        "`jacketcalc plan-test` names the readings that would narrow the answer most."
    )
