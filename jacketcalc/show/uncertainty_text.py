"""What samples say of a verdict, as text."""

from __future__ import annotations

from jacketcalc import __version__
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.core.output_record import Output
from jacketcalc.inputs import Currency
from jacketcalc.number_text import MISSING, decimals_for, fixed, percent
from jacketcalc.show.page import BOLD, Page, between, join_blocks, printable, table_line, wrap
from jacketcalc.statistics.estimates import Estimate
from jacketcalc.statistics.summary import Summary
from jacketcalc.uncertainty.result import Headline, UncertaintyStudy
from jacketcalc.unit_display import find_display, to_display

_LABEL, _COLUMN = 34, 15
_NAMED = 6
"""Inputs that are named [-]."""
PAIRED = (
    "Both machines of a pair have the same inputs. Interval: probabilistically symmetric; u: "
    "standard uncertainty (JCGM 101)."
)


def make_uncertainty_text(study: UncertaintyStudy, *, color: bool = False) -> str:
    """Return the study in at most 80 columns."""
    page = Page(system=study.case.document.units, color=color)
    return join_blocks(
        [
            [between(printable(study.case.title), f"jacketcalc {__version__}"),
             *wrap(CAUTION_BRIEF)],
            _answer(study, page),
            _headlines(study, page),
            _limits(study, page),
            _shares(study, page),
            _closing(study, page),
        ]
    )  # fmt: skip


def _answer(study: UncertaintyStudy, page: Page) -> list[str]:
    by = study.case.judgement.by
    words = (
        f"The jackets pay with a probability of {_chance(study.pays)}, judged by {by}: "
        f"median {_gain(study.gain.median.value, by, page)}, {percent(study.level, 0, sign=False)} "
        f"interval {_gain(study.gain.low.value, by, page)} to "
        f"{_gain(study.gain.high.value, by, page)}, standard uncertainty "
        f"{_gain(study.gain.standard_uncertainty.value, by, page).lstrip('+')}."
    )
    if by != "delivery":
        words += " Positive is for the better."
    return wrap(page.prose(words))


def _chance(estimate: Estimate) -> str:
    """Return a probability with its sampling margin."""
    margin = max(estimate.margin(), 1e-3)
    return (
        f"{percent(estimate.value, 1, sign=False).removesuffix(' %')} % "
        f"(+-{fixed(100 * margin, 1)} points of sampling)"
    )


def _gain(value: float, by: Currency, page: Page) -> str:
    if by == "discharge temperature":
        shown = to_display(value, "temperature difference", page.system)
        return f"{fixed(shown, 1, sign=True)} {page.unit('temperature difference')}"
    return percent(value)


def _headlines(study: UncertaintyStudy, page: Page) -> list[str]:
    heads = ("median", "low", "high", "u")
    lines = [page.paint(table_line("", [(w, 11) for w in heads], _LABEL)[0], BOLD)]
    for headline in study.headlines:
        unit = page.unit(headline.output.dimension)
        lines.append(f"{headline.output.label} / {unit}" if unit else headline.output.label)
        for name, summary in (("no jackets", headline.no_jackets),
                              ("with jackets", headline.with_jackets)):  # fmt: skip
            lines += _values(f"  {name}", summary, headline.output, page)
        lines += _change(headline, page)
    return lines


def _values(label: str, summary: Summary | None, output: Output, page: Page) -> list[str]:
    if summary is None:
        return table_line(label, [(MISSING, 11)] * 4, _LABEL)
    shown = [to_display(e.value, output.dimension, page.system)
             for e in (summary.median, summary.low, summary.high)]  # fmt: skip
    size = find_display(output.dimension, page.system).size
    apart = summary.standard_uncertainty.value / size
    decimals = 1 if output.dimension == "temperature" else decimals_for(shown, output.digits)
    cells = [(fixed(v, decimals), 11) for v in (*shown, apart)]
    return table_line(label, cells, _LABEL)


def _change(headline: Headline, page: Page) -> list[str]:
    summary, output = headline.change, headline.output
    if summary is None:
        return table_line("  change", [(MISSING, 11)] * 4, _LABEL)
    each = (summary.median, summary.low, summary.high, summary.standard_uncertainty)
    if output.change == "relative":
        cells = [percent(e.value, sign=i < 3) for i, e in enumerate(each)]
        return table_line("  change", [(c, 11) for c in cells], _LABEL)
    unit = page.unit(output.change_dimension)
    values = [to_display(e.value, output.change_dimension, page.system) for e in each]
    cells = [f"{fixed(v, 1, sign=i < 3)} {unit}" for i, v in enumerate(values)]
    return table_line("  change", [(c, 11) for c in cells], _LABEL)


def _limits(study: UncertaintyStudy, page: Page) -> list[str]:
    heads = ("kept", "mended", "newly", "both")
    title = "LIMITS, probability in %"
    head = table_line("", [(w, 8) for w in heads], 48)[0]
    lines = [page.paint(f"{title}{head[len(title) :]}", BOLD)]
    for one in study.limits:
        each = (one.kept, one.mended, one.newly_broken, one.broken_in_both)
        cells = [(fixed(100 * e.value, 1), 8) for e in each]
        lines += table_line(f"  {printable(one.what)}", cells, 48)
    return lines if study.limits else []


def _shares(study: UncertaintyStudy, page: Page) -> list[str]:
    if not study.shares:
        return []
    lines = [page.head("WHAT CAUSES THE SPREAD of the judged change (first-order index)")]
    told = [share for share in study.shares if share.told]
    named = told[:_NAMED]
    for share in named:
        cells = [(f"{percent(share.first, 0, sign=False)}", 8),
                 (f"+-{fixed(100 * share.sampling_error, 0)}", 6)]  # fmt: skip
        lines += table_line(f"  {share.path}", cells, 48)
    return lines + wrap(_others(len(named), len(told), len(study.shares)), "  ", "  ")


def _others(named: int, told: int, every: int) -> str:
    """Say how many inputs are not named, and why."""
    smaller = f"{told - named} smaller {'one' if told - named == 1 else 'ones'}"
    below = every - told
    noise = f"{below} within twice the sampling error of nought"
    words = "; ".join(w for count, w in ((told - named, smaller), (below, noise)) if count)
    return f"Not listed: {words}." if words else ""


def _closing(study: UncertaintyStudy, page: Page) -> list[str]:
    words = (
        f"{study.samples} pairs of machines, {len(study.inputs)} uncertain inputs, scrambled Sobol "
        f"sequences, seed {study.seed}. {PAIRED}"
    )
    if study.failed:
        words += f" {study.failed} pairs did not settle; each counts as the median."
    if study.resting:
        words += (
            f" In {study.resting} pairs a machine stalls or delivers nothing; their change counts "
            "as 1 for the better, -1 for the worse, 0 where both do."
        )
    if not study.reached:
        words += " THE PRECISION ASKED FOR IS NOT REACHED."
    return wrap(page.prose(words))
