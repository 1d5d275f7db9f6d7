"""What a search found, as text for a person."""

from __future__ import annotations

from collections.abc import Sequence

from jacketcalc import __version__
from jacketcalc.assessment.standing_words import describe_standings
from jacketcalc.cautions import CAUTION
from jacketcalc.number_text import fixed
from jacketcalc.show.choice_text import describe_choice
from jacketcalc.show.gas_text import gas_block, say_gas_of_search
from jacketcalc.show.optimum_verdict import against, headline, limits_said, sizes, steps_said
from jacketcalc.show.page import BOLD, Page, between, join_blocks, printable, wrap
from jacketcalc.show.study_text import unmade_lines
from jacketcalc.studies.choice import can_rise, choose_all
from jacketcalc.studies.optimum import LEVEL, LEVEL_KELVIN, Optimum
from jacketcalc.studies.trials import Trial
from jacketcalc.unit_display import format_quantity, to_display

_MOST = 12
"""Lines of the front that are printed [-]."""


def make_optimum_text(
    optimum: Optimum, *, color: bool = False, ascii_only: bool = False, file: str = ""
) -> str:
    """Return the best design, how flat it lies, and the front, in at most 80 columns.

    Parameters
    ----------
    optimum : what a search found
    color, ascii_only : as in `make_study_text`
    file : name of the file that holds the case of the best design, empty where there is none
    """
    page = Page(system=optimum.case.document.units, color=color, ascii=ascii_only)
    title = between(printable(optimum.case.title), f"jacketcalc {__version__}")
    return join_blocks(
        [
            [title],
            _best(optimum, page),
            _limits(optimum, page),
            gas_block(say_gas_of_search(optimum), page),
            _flatness(optimum, page),
            _front(optimum, page),
            _files(optimum, page, file),
            wrap(CAUTION),
        ]
    )


def _best(optimum: Optimum, page: Page) -> list[str]:
    best = optimum.best
    lines = [page.head(headline(optimum))]
    for sentence in against(optimum, page):
        lines += wrap(page.prose(sentence), "  ")
    scan = optimum.scan
    both = describe_standings(scan.case, scan.standings, scan.missing, "The best design")
    lines += wrap(page.prose(printable(both)), "  ") if both else []
    lines += ["", *wrap(sizes(optimum, best), "  ")]
    lines += wrap(page.prose(_numbers(best, page)), "  ")
    lines += wrap(page.prose(steps_said(optimum, page)), "  ")
    ends = [
        axis.path
        for axis, value in zip(optimum.axes, best.values, strict=True)
        if len(axis.values) > 1
        for end, can in zip((axis.values[0], axis.values[-1]), can_rise(axis), strict=True)
        if can and value == end
    ]
    if ends:
        lines += wrap(
            f"The best is at the end of the range of {', '.join(ends)}: a wider range may hold a "
            "better design.", "  ",
        )  # fmt: skip
    bounds = [
        f"{a.path} {a.texts[0]}" + (f" to {a.texts[-1]}" if len(a.texts) > 1 else "")
        for a in optimum.axes
    ]
    asked = f"Searched for {optimum.aim.name}: {', '.join(bounds)}."
    count = f"{len(optimum.tried)} designs were solved"
    if optimum.quick:
        count += ", most of them in coarse steps, the best and those beside it in full"
    lines += wrap(f"{asked} {count}.", "  ")
    return [*lines, *unmade_lines(optimum.case, page, "  ")]


def _limits(optimum: Optimum, page: Page) -> list[str]:
    said = limits_said(optimum, page)
    lines = [page.head("LIMITS")] if said else []
    for sentence in said:
        lines += wrap(page.prose(sentence), "  ", "    ")
    return lines


def _files(optimum: Optimum, page: Page, file: str) -> list[str]:
    where = file or "-o FOLDER writes it as optimise-best.toml"
    return [
        page.head("THE BEST DESIGN AS A CASE"),
        *wrap(f"{where}, SHA-256", "  "),
        f"  {optimum.best_case.sha256}",
        *wrap("The strength of its parts is not computed.", "  "),
    ]


def _numbers(trial: Trial, page: Page) -> str:
    flow = to_display(trial.numbers["delivered_mass_flow"], "hourly mass flow", page.system)
    hot = to_display(trial.numbers["hottest_discharge"], "temperature", page.system)
    peaks = [v for n, v in trial.numbers.items() if n.startswith("back_pressure_peak.")]
    peak = to_display(max(peaks), "pressure difference", page.system)
    frost = to_display(trial.numbers["frost_margin"], "temperature difference", page.system)
    return (
        f"{fixed(flow, 3)} {page.unit('hourly mass flow')}, "
        f"drive air {trial.numbers['specific_air_consumption']:.2f} {page.unit('share')}, "
        "hottest discharge "
        f"{fixed(hot, 0)} {page.unit('temperature')}, back-pressure peak {fixed(peak, 2)} "
        f"{page.unit('pressure difference')}, passage walls {fixed(frost, 0)} "
        f"{page.unit('temperature difference')} above the frost point"
    )


def _flatness(optimum: Optimum, page: Page) -> list[str]:
    axis = optimum.axes[0]
    if len(axis.values) == 1:
        return []
    low, high = (_round(value, optimum, page) for value in optimum.level)
    loss = f"{100 * LEVEL:.0f} %" if optimum.aim.relative else f"{LEVEL_KELVIN:.0f} K"
    held = ", ".join(f"{path} {text}" for path, text in optimum.scan.held)
    lines = [page.head("HOW MUCH THE SIZES MATTER")]
    reach = f"{axis.path} {low} to {high} is"
    if low == high:
        reach = f"No other {axis.path} that was solved is"
    within = f", with {held}" if held else ""
    lines += wrap(f"{reach} within {loss} of the best{within}.", "  ")
    choice = next(c for c in choose_all(optimum.scan) if c.aim == optimum.aim)
    words = page.prose(describe_choice(optimum.scan, choice, page))
    return [*lines, *wrap(f"Over the model range: {words}.", "  ")]


def _round(value: float, optimum: Optimum, page: Page) -> str:
    axis = optimum.axes[0]
    digits = 3 if axis.dimension == "length" else 4
    return format_quantity(value, axis.dimension, page.system, digits)


def _front(optimum: Optimum, page: Page) -> list[str]:
    if not optimum.front:
        return []
    units = (page.unit("hourly mass flow"), page.unit("temperature"))
    heads = [f"delivers/{units[0]}", f"discharge/{units[1]}"]
    names = [axis.path.rpartition(".")[2] for axis in optimum.axes]
    title = "BEST COMPROMISES between delivered air and discharge temperature"
    widths = [max(14, len(h) + 2) for h in heads] + [max(11, len(n) + 2) for n in names]
    lines = [page.paint(title, BOLD)]
    lines.append("".join(f"{h:>{w}}" for h, w in zip([*heads, *names], widths, strict=True)))
    for trial in thin(optimum.front, _MOST):
        flow = to_display(trial.numbers["delivered_mass_flow"], "hourly mass flow", page.system)
        hot = to_display(trial.numbers["hottest_discharge"], "temperature", page.system)
        cells = [fixed(flow, 3), fixed(hot, 1), *trial.texts]
        lines.append("".join(f"{c:>{w}}" for c, w in zip(cells, widths, strict=True)))
    if len(optimum.front) > _MOST:
        lines.append(f"  {_MOST} of {len(optimum.front)} best compromises are shown")
    return lines


def thin(front: Sequence[Trial], most: int) -> list[Trial]:
    """Return some of a front, evenly spread over discharge temperature, both ends among them."""
    if len(front) <= most:
        return list(front)
    first, last = (front[i].numbers["hottest_discharge"] for i in (0, -1))
    places = {0, len(front) - 1}
    for k in range(1, most - 1):
        wanted = first + (last - first) * k / (most - 1)
        free = [i for i in range(len(front)) if i not in places]
        places.add(min(free, key=lambda i: abs(front[i].numbers["hottest_discharge"] - wanted)))
    return [front[i] for i in sorted(places)]
