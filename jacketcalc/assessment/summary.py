"""What a reader must see first, in one order for screen, JSON and the report's first page."""

from __future__ import annotations

from dataclasses import dataclass

from jacketcalc.assessment.next_step import NextStep, choose_steps
from jacketcalc.assessment.result import Assessment, Band, Interval, LimitCount
from jacketcalc.assessment.standing_words import judged_interval
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Output, Outputs, Place
from jacketcalc.inputs import Case, Currency

CURRENCIES: tuple[Currency, ...] = (
    "delivery",
    "specific air consumption",
    "discharge temperature",
)
FIRST_ROWS = (
    "delivered_mass_flow",
    "delivered_volume_flow",
    "specific_air_consumption",
    "hottest_discharge",
    "cycle_rate",
)
"""Results of the first table, by their keys in the catalogue."""
_SPANNED: dict[str, Currency] = {
    "delivered_mass_flow": "delivery",
    "specific_air_consumption": "specific air consumption",
    "hottest_discharge": "discharge temperature",
}
"""Rows whose range is that of a currency: a member that delivers nothing counts alike in both."""
HUMIDITY = tuple(
    f"supply.{key}" for key in ("pressure_dew_point", "humidity_class", "relative_humidity")
)
"""Entries that tell how humid the supply is, one of them."""
MOSTLY = 0.75
"""Share of assumed entries from which a case is said to be made of assumptions [-]."""


@dataclass(frozen=True, kw_only=True)
class Gain:
    """What the jackets change in one currency."""

    currency: Currency
    judged: bool
    """Whether the verdict judges by it."""
    change: Interval
    """Relative change [-], of the discharge temperature the difference [K]."""
    ranged: bool
    """Whether a model range was computed."""


@dataclass(frozen=True, kw_only=True)
class FirstRow:
    """One result of both machines."""

    output: Output
    with_jackets: float | None
    """In SI, None where there is none."""
    no_jackets: float | None
    """In SI, None where there is none."""
    change: Interval | None
    """Nominal change and its model range, in SI; None where there is none."""


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Where the numbers of the case come from."""

    count: int
    """Numbers and words of the case [-]."""
    assumed: int
    """Of these, assumed: by the case's own word, or filled in [-]."""
    filled_in: int
    """Of these, filled in by the program [-]."""
    dew_point_assumed: bool
    """Whether the dew point is one of them."""


@dataclass(frozen=True, kw_only=True)
class Summary:
    """The first screen's content."""

    caution: str
    gains: tuple[Gain, ...]
    """The currency that is judged first; empty where a machine delivers nothing."""
    limits: LimitCount
    inputs: Inputs
    rows: tuple[FirstRow, ...]
    steps: tuple[NextStep, ...]


def summarise_first(found: Assessment, outputs: Outputs = OUTPUTS) -> Summary:
    """Return what stands first of an assessment."""
    stated = found.verdict.standings[0]
    judged = found.verdict.judged_by
    order = sorted(CURRENCIES, key=lambda by: by != judged)
    gains = [
        Gain(currency=by, judged=by == judged, change=judged_interval(by, stated),
             ranged=stated.answer is not None)
        for by in order
    ]  # fmt: skip
    return Summary(
        caution=CAUTION_BRIEF,
        gains=tuple(gains) if found.delivers else (),
        limits=found.verdict.limits,
        inputs=count_inputs(found.case),
        rows=tuple(_row(o, found) for key in FIRST_ROWS for o in outputs if o.key == key),
        steps=choose_steps(found),
    )


def count_inputs(case: Case) -> Inputs:
    """Count what a case states of its machine and its question, and what of it is assumed."""
    given = [
        g
        for g in case.given
        if g.path != "title" and not g.path.startswith(("document.", "make.", "reading."))
    ]
    assumed = [g for g in given if g.assumed or g.source == "assumed"]
    return Inputs(
        count=len(given),
        assumed=len(assumed),
        filled_in=sum(g.assumed for g in given),
        dew_point_assumed=any(g.path in HUMIDITY for g in assumed),
    )


def is_made_of_assumptions(case: Case) -> bool:
    """Return whether most of what a case says is assumed."""
    counted = count_inputs(case)
    return counted.assumed >= MOSTLY * counted.count


def _row(output: Output, found: Assessment) -> FirstRow:
    place = Place()
    new, old = (None if o.stalled else output.read(o, place) for o in (found.jacketed, found.bare))
    return FirstRow(
        output=output, with_jackets=new, no_jackets=old,
        change=_change(output, found.band) if found.delivers else None,
    )  # fmt: skip


def _change(output: Output, band: Band) -> Interval | None:
    """Return the nominal change and its span over the members that have one."""
    if output.key in _SPANNED:
        return judged_interval(_SPANNED[output.key], band)
    each = [output.changed(m.jacketed, m.bare, Place()) for m in band.members]
    known = [change for change in each if change is not None]
    if not known or each[0] is None:
        return None
    return Interval(low=min(known), value=each[0], high=max(known))
