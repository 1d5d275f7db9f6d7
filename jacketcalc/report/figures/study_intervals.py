"""From the samples of a verdict, and its model range, to the figure of their intervals."""

from __future__ import annotations

from collections.abc import Callable

from jacketcalc.assessment.result import Assessment
from jacketcalc.core.output_record import Output, Place
from jacketcalc.number_text import decimals_for
from jacketcalc.report.figures.intervals import IntervalRow, Intervals, Span
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.statistics.summary import Summary
from jacketcalc.uncertainty.result import Headline, UncertaintyStudy


def intervals(study: UncertaintyStudy, found: Assessment) -> Intervals:
    """Return the data of the figure.

    Parameters
    ----------
    study : samples of the verdict
    found : assessment of the same case, whose model range stands beside the samples
    """
    shown = Shown(study.case.document.units)
    rows = tuple(_row(headline, found, shown) for headline in study.headlines)
    return Intervals(level=study.level, rows=rows)


def _row(headline: Headline, found: Assessment, shown: Shown) -> IntervalRow:
    output = headline.output
    dimension = output.change_dimension

    def value(amount: float) -> float:
        return shown.value(amount, output.dimension)

    def change(amount: float) -> float:
        return change_shown(output, amount, shown)

    machines = (_span(headline.no_jackets, value), _span(headline.with_jackets, value))
    return IntervalRow(
        label=output.label,
        unit=shown.per(output.dimension),
        decimals=decimals_of(output, [span.middle for span in machines if span is not None]),
        no_jackets=machines[0],
        with_jackets=machines[1],
        change_unit="%" if output.change == "relative" else shown.unit(dimension),
        change=_span(headline.change, change),
        model_range=_model_range(output, found, change),
    )


def decimals_of(output: Output, values: list[float]) -> int:
    """Return the decimals in which a result is told, as in the tables [-]."""
    return 1 if output.dimension == "temperature" else decimals_for(values, output.digits)


def change_shown(output: Output, amount: float, shown: Shown) -> float:
    """Return a change in the unit shown: of a relative one, per cent [-]."""
    if output.change == "relative":
        return 100.0 * amount
    return shown.value(amount, output.change_dimension)


def _span(summary: Summary | None, convert: Callable[[float], float]) -> Span | None:
    if summary is None:
        return None
    low, middle, high = (convert(e.value) for e in (summary.low, summary.median, summary.high))
    return Span(low=low, middle=middle, high=high)


def _model_range(
    output: Output, found: Assessment, convert: Callable[[float], float]
) -> Span | None:  # fmt: skip
    """Return the nominal change and its ends over the members of the model range."""
    if not found.delivers:
        return None
    changes = [output.changed(m.jacketed, m.bare, Place()) for m in found.band.members]
    known = [convert(c) for c in changes if c is not None]
    if len(known) < len(changes):
        return None
    return Span(low=min(known), middle=known[0], high=max(known))
