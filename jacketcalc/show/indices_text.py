"""Shares of the variance, as text."""

from __future__ import annotations

from collections.abc import Sequence

from jacketcalc.number_text import MISSING, fixed
from jacketcalc.show.page import BOLD, Page, shorten, wrap
from jacketcalc.statistics.estimates import Estimate
from jacketcalc.uncertainty.indices import InputShares, VarianceShares

SHOWN = 8
"""Inputs without a total index that are listed on screen [-]."""
NAME, CELL = 32, 12
"""Width of an input's name and of an index [-]."""


def indices_blocks(found: VarianceShares, page: Page, *, every: bool) -> list[list[str]]:
    """Return the blocks of a page that tell the indices."""
    rest = list(found.grouped) if every else [one for one in found.grouped if _told(one)][:SHOWN]
    heads = f"{'':<{NAME}}{'benefit':>{2 * CELL}}{'delivery':>{2 * CELL}}"
    kinds = "".join(f"{word:>{CELL}}" for word in ("first", "total") * 2)
    lines = [
        page.head("WHAT CAUSES THE SPREAD, % of the variance +- sampling error"),
        page.paint(heads, BOLD),
        page.paint(f"{'input':<{NAME}}{kinds}", BOLD),
        *(_line(one.paths[0], one) for one in found.single),
    ]
    if found.together is not None:
        lines.append(_line(f"the {len(found.together.paths)} others together", found.together))
        lines += [_line(f"  {one.paths[0]}", one) for one in rest]
    return [lines, wrap(page.prose(_words(found, len(found.grouped) - len(rest))))]


def _told(one: InputShares) -> bool:
    return any(s.first is not None and s.first.told for s in (one.benefit, one.delivery))


def _line(name: str, one: InputShares) -> str:
    each = (one.benefit.first, one.benefit.total, one.delivery.first, one.delivery.total)
    cells = "".join(f"{_share(s):>{CELL}}" for s in each)
    return f"{shorten(name, NAME - 1):<{NAME}}{cells}"


def _share(share: Estimate | None) -> str:
    if share is None:
        return MISSING
    return f"{fixed(100 * share.value, 1)} +-{fixed(100 * share.sampling_error, 1):>4}"


def first_sum(found: VarianceShares, output: str) -> float:
    """Return the sum of first-order indices of `benefit` or `delivery` [-]."""
    every = (*found.single, *found.grouped)
    firsts = [(one.benefit if output == "benefit" else one.delivery).first for one in every]
    return sum(share.value for share in firsts if share is not None)


def _words(found: VarianceShares, left: int) -> str:
    sums = _sums(found)
    words = (
        f"First: what would be gone of the variance if the input were known exactly{sums}. Total: "
        "what would stay if all others were known. Benefit: the judged change; delivery: with "
        f"jackets. {found.samples} pairs of machines for first order, {found.redrawn} for each "
        f"total, seed {found.seed}; at most {found.solutions} machine solutions, those of the ends "
        "below among them (machines that are alike are solved once)."
    )
    if left:
        words += f" {left} more inputs have a first order only; --all lists them."
    if found.together is not None and _large(found.together):
        words += " THE OTHERS MATTER TOGETHER: raise --totals to tell them apart."
    if found.failed:
        words += f" {found.failed} pairs did not settle; each counts as if it changed nothing."
    if found.resting:
        words += (
            f" In {found.resting} pairs a machine stalls or delivers nothing; their change counts "
            "as 1 for the better, -1 for the worse, 0 where both do."
        )
    return words


def _sums(found: VarianceShares) -> str:
    sums = [f"{fixed(100 * first_sum(found, name), 0)} %" for name in ("benefit", "delivery")]
    return f" (together {sums[0]} and {sums[1]})"


def _large(together: InputShares) -> bool:
    """Return whether the others cause more than a tenth of a variance."""
    each: Sequence[Estimate | None] = (together.benefit.total, together.delivery.total)
    return any(s is not None and s.told and s.value > 0.1 for s in each)
