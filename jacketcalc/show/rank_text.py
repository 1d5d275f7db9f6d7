"""Which input matters, as text."""

from __future__ import annotations

from jacketcalc import __version__
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.number_text import MISSING, fixed, percent
from jacketcalc.show.indices_text import indices_blocks
from jacketcalc.show.page import BOLD, Page, between, join_blocks, printable, shorten, wrap
from jacketcalc.uncertainty.indices import VarianceShares
from jacketcalc.uncertainty.rank import Effect, Ranking
from jacketcalc.unit_display import format_quantity, to_display

SHOWN = 20
"""Inputs that are listed on screen [-]."""


def make_rank_text(
    ranking: Ranking, shares: VarianceShares | None = None, *, every: bool = False,
    color: bool = False,
) -> str:  # fmt: skip
    """Return a ranking in at most 80 columns; the largest effects, or every one.

    Parameters
    ----------
    ranking : the inputs, each alone from end to end
    shares : their shares of the variance, where they were asked for
    every : whether every input is listed
    color : whether heads stand out
    """
    page = Page(system=ranking.case.document.units, color=color)
    rows = ranking.effects if every else ranking.effects[:SHOWN]
    return join_blocks(
        [
            [between(printable(ranking.case.title), f"jacketcalc {__version__}"),
             *wrap(CAUTION_BRIEF)],
            wrap(page.prose(_words(ranking, page))),
            *([] if shares is None else indices_blocks(shares, page, every=every)),
            _table(ranking, rows, page),
            _ways(rows, page),
            wrap(_closing(ranking, rows)),
        ]
    )  # fmt: skip


def _words(ranking: Ranking, page: Page) -> str:
    by = ranking.case.judgement.by
    head = f"Nominal change of {by}: {_gain(ranking.nominal, ranking, page)}."
    flips = [e.input.path for e in ranking.effects if e.flips]
    if not flips:
        return f"{head} No input alone could flip the answer."
    named = ", ".join(flips[:5]) + (f" and {len(flips) - 5} more" if len(flips) > 5 else "")
    return f"{head} Alone, each of these could flip the answer: {named}."


def _gain(value: float, ranking: Ranking, page: Page) -> str:
    if ranking.case.judgement.by == "discharge temperature":
        shown = to_display(value, "temperature difference", page.system)
        return f"{fixed(shown, 1, sign=True)} {page.unit('temperature difference')}"
    return percent(value)


def _table(ranking: Ranking, rows: tuple[Effect, ...], page: Page) -> list[str]:
    head = f"{'input':<33}{'effect on delivery':>20}{'effect on benefit':>20}{'flips':>7}"
    lines = [page.paint(head, BOLD)]
    for one in rows:
        flow = _ends(one.delivery)
        gain = MISSING if one.gain is None else _two(
            [_gain(g - ranking.nominal, ranking, page) for g in one.gain])  # fmt: skip
        name, flips = shorten(one.input.path, 32), "yes" if one.flips else "no"
        lines.append(f"{name:<33}{flow:>20}{gain:>20}{flips:>7}")
    return lines


def _ends(values: tuple[float, float] | None) -> str:
    return MISSING if values is None else _two([percent(v) for v in values])


def _two(texts: list[str]) -> str:
    first, last = texts
    unit = last.rpartition(" ")[2]
    return f"{first.removesuffix(f' {unit}')} .. {last}"


def _ways(rows: tuple[Effect, ...], page: Page) -> list[str]:
    lines = [page.head("TO KNOW IT BETTER, the five that matter most")]
    for one in [row for row in rows if row.gain is not None][:5]:
        ends = " to ".join(
            format_quantity(v, one.input.dimension, page.system, 3) for v in (one.low, one.high)
        )
        text = f"{one.input.path}: {ends} ({one.input.origin}). {one.way}."
        lines += wrap(page.prose(text), "  ", "    ")
    return lines


def _closing(ranking: Ranking, rows: tuple[Effect, ...]) -> str:
    left = len(ranking.effects) - len(rows)
    more = f" {left} smaller ones are left out here; --all lists them." if left else ""
    return (
        "Each input goes from the low to the high end of its 95 % interval, all others nominal. "
        f"Benefit: the judged change, for the better positive.{more}"
    )
