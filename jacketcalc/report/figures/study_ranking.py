"""From a ranking of the inputs to its figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from jacketcalc.inputs import Case
from jacketcalc.number_text import true_minus
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.tornado import Moved, Tornado
from jacketcalc.unit_display import format_quantity, typeset_unit

if TYPE_CHECKING:
    from jacketcalc.uncertainty.rank import Effect, Ranking

MOST = 15
"""Inputs that are shown [-]."""


def tornado(ranking: Ranking, most: int = MOST) -> Tornado:
    """Return the data of the figure, the largest effects on the benefit first.

    Parameters
    ----------
    ranking : the ranking
    most : inputs that are shown [-]
    """
    case = ranking.case
    known = [effect for effect in ranking.effects if effect.gain is not None]
    return Tornado(
        by=case.judgement.by,
        unit=benefit_unit(case),
        nominal=benefit(ranking.nominal, case),
        moved=tuple(_moved(effect, ranking) for effect in known[:most]),
        left_out=len(ranking.effects) - len(known[:most]),
    )


def _moved(effect: Effect, ranking: Ranking) -> Moved:
    case = ranking.case
    assert effect.gain is not None and effect.delivery is not None
    # A machine that stalls delivers nothing, and its benefit is no number.
    low, high = (flow > -1.0 for flow in effect.delivery)
    nan = float("nan")
    flows = [100.0 * flow for flow in effect.delivery]
    gains = [benefit(gain - ranking.nominal, case) for gain in effect.gain]
    ends = [_end(v, effect.input.dimension, case) for v in (effect.low, effect.high)]
    return Moved(
        name=effect.input.path,
        low=_without_unit(*ends),
        high=ends[1],
        delivery=(flows[0] if low else nan, flows[1] if high else nan),
        benefit=(gains[0] if low else nan, gains[1] if high else nan),
        flips=effect.flips,
    )


def _end(value: float, dimension: str, case: Case) -> str:
    """Return an end of an input as print has it."""
    text, space, unit = format_quantity(value, dimension, case.document.units, 3).partition(" ")
    return f"{true_minus(text)}{space}{typeset_unit(unit, paper=True)}"


def _without_unit(low: str, high: str) -> str:
    """Drop the unit of the low end where the high end has the same."""
    number, _, unit = low.partition(" ")
    return number if unit == high.partition(" ")[2] else low


def benefit(gain: float, case: Case) -> float:
    """Return a judged change in the unit shown: per cent, or a temperature difference [-]."""
    if case.judgement.by == "discharge temperature":
        return Shown(case.document.units).value(gain, "temperature difference")
    return 100.0 * gain


def benefit_unit(case: Case) -> str:
    """Return the unit of the judged change."""
    if case.judgement.by == "discharge temperature":
        return Shown(case.document.units).unit("temperature difference")
    return "%"
