"""From shares of the variance to their figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from jacketcalc.report.figures.indices import Bar, IndexRow

if TYPE_CHECKING:
    from jacketcalc.statistics.estimates import Estimate
    from jacketcalc.uncertainty.indices import Caused, InputShares, VarianceShares

MOST = 20
"""Inputs that are shown [-]."""


def indices(found: VarianceShares) -> tuple[IndexRow, ...]:
    """Return the data of the figure: those with a total index, and the others together."""
    rows = [_row(one.paths[0], one) for one in found.single[:MOST]]
    if found.together is not None:
        rows.append(_row(f"the {len(found.together.paths)} others together", found.together))
    return tuple(rows)


def _row(name: str, one: InputShares) -> IndexRow:
    return IndexRow(name=name, benefit=_bars(one.benefit), delivery=_bars(one.delivery))


def _bars(one: Caused) -> tuple[Bar, Bar]:
    return _bar(one.first), _bar(one.total)


def _bar(share: Estimate | None) -> Bar:
    if share is None:
        return Bar(share=float("nan"), error=float("nan"))
    return Bar(share=100.0 * share.value, error=100.0 * share.sampling_error)
