"""Water along the path as text: a table of places, then how dry the supply must be."""

from __future__ import annotations

from jacketcalc import __version__
from jacketcalc.assessment.as_it_is import has_jackets
from jacketcalc.assessment.water_finding import Need, WaterFinding
from jacketcalc.assessment.water_path_words import (
    NEEDED,
    PATH_NOTES,
    floor_to,
    say_entering,
    say_ice,
    say_latent,
    say_snow,
    say_supply,
)
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.findings.water_path import WaterPlace
from jacketcalc.number_text import MISSING, fixed, percent, significant
from jacketcalc.show.page import BOLD, Page, between, join_blocks, printable, table_line, wrap
from jacketcalc.unit_display import format_quantity, to_display

NEAR = 5.0
"""Margin up to which it is told where and when a place comes nearest to water [K]."""
_LABEL = 27
"""Columns of a place [-]."""
_COLUMNS = (("at", 5), ("p", 6), ("point", 6), ("margin", 7), ("none", 7), ("needed", 7),
            ("most", 9), ("ice", 6))  # fmt: skip
"""Heads of the numbers beside it, and their columns [-]."""
_GOAL, _POINT, _CLASS = 27, 9, 7
"""Columns of what stays dry, of a dew point, and of a class [-]."""
LEGEND = (
    "point: frost or dew point at the pressure there and then. margin: how far wall or air is "
    "above it, with jackets and with none. needed: dew point of the supply up to which the place "
    "stays dry. most: water that leaves there at most. ice: hours until it has blocked {share} of "
    "the cross-section, at the least."
)


def make_water_text(found: WaterFinding, *, share: float, color: bool = False) -> str:
    """Return water along the path in at most 80 columns.

    Parameters
    ----------
    found : water in both machines
    share : share of a cross-section to whose blocking hours are counted [-]
    color : add terminal escapes
    """
    page = Page(system=found.case.document.units, color=color)
    return join_blocks(
        [
            [between(printable(found.case.title), f"jacketcalc {__version__}"),
             *wrap(CAUTION_BRIEF)],
            wrap(page.prose(say_supply(found, page.system))),
            path_block(found, share, page),
            needs_block(found, page),
            closing_block(found, share, page),
        ]
    )  # fmt: skip


def path_block(found: WaterFinding, share: float, page: Page) -> list[str]:
    """Return the table of places of the machine with jackets."""
    path = found.jacketed
    if path is None:
        return wrap("The machine stalls: no air passes, and no water with it.")
    temperature, difference = page.unit("temperature"), page.unit("temperature difference")
    units = (temperature, page.unit("pressure"), temperature, difference, difference, temperature,
             page.unit("water flow"), "h")  # fmt: skip
    lines = [page.head(line) for line in table_line("WATER ALONG THE PATH", _COLUMNS, _LABEL)]
    widths = [width for _, width in _COLUMNS]
    lines += table_line("", zip(units, widths, strict=True), _LABEL)
    for place in path.places:
        label = page.prose(printable(_label(place, page)))
        cells = zip(_cells(found, place, share, page), widths, strict=True)
        first, *more = table_line(f"  {label}", cells, _LABEL)
        lines += [first, *more]
    return [*lines, *wrap(LEGEND.format(share=percent(share, 0, sign=False)), "  ")]


def _label(place: WaterPlace, page: Page) -> str:
    """Name a place; where it is wet or nearly so, also where in it, and when."""
    near = place.nearest
    if near.margin > NEAR:
        return place.name
    at = "" if near.distance is None else (
        f", {format_quantity(near.distance, 'length', page.system, 3)} from {near.origin}"
    )  # fmt: skip
    return f"{place.name}{at}, {near.moment}"


def _cells(found: WaterFinding, place: WaterPlace, share: float, page: Page) -> list[str]:
    near, twin, hours = place.nearest, found.twin(place), place.hours(share)

    def shown(value: float | None, dimension: str, decimals: int, *, sign: bool = False) -> str:
        if value is None:
            return MISSING
        return fixed(to_display(value, dimension, page.system), decimals, sign=sign)

    return [
        shown(near.temperature, "temperature", 0),
        shown(near.pressure, "pressure", 1 if near.pressure < 100e5 else 0),
        shown(near.point, "temperature", 0),
        shown(near.margin, "temperature difference", 1, sign=True),
        shown(twin.nearest.margin if twin else None, "temperature difference", 1, sign=True),
        _needed(place.dew_point_needed, found, page),
        _amount(place, page),
        MISSING if hours is None or place.part != "passage wall" else _hours(hours),
    ]


def _hours(hours: float) -> str:
    return fixed(hours, 0) if hours >= 10.0 else significant(hours, 2)


def _amount(place: WaterPlace, page: Page) -> str:
    if not place.wet:
        return "0"
    return significant(to_display(place.most, "water flow", page.system), 2)


def _needed(point: float, found: WaterFinding, page: Page, decimals: int = 0) -> str:
    if point >= found.case.machine.supply.temperature:
        return "any"
    # Rounded down: a dew point a little lower does, one a little higher does not.
    return fixed(floor_to(to_display(point, "temperature", page.system), decimals), decimals)


def needs_block(found: WaterFinding, page: Page) -> list[str]:
    """Return how dry the supply must be, with and without jackets."""
    needs = {need.key: need for need in found.needs}
    bare = {need.key: need for need in found.needs_bare}
    if not needs:
        return []
    title = f"HOW DRY THE SUPPLY / {page.unit('temperature')}"
    own = "jackets" if has_jackets(found.case.machine) else "as it is"
    heads = ((own, _POINT), ("none", _POINT), ("class", _CLASS))
    lines = [page.paint(f"{table_line(title, heads, _GOAL)[0]}  dryer", BOLD)]
    for key, need in needs.items():
        cells = (
            (_needed(need.dew_point, found, page, 1), _POINT),
            (_needed(bare[key].dew_point, found, page, 1) if key in bare else MISSING, _POINT),
            (_class(need), _CLASS),
        )
        *above, last = table_line(f"  {need.name}", cells, _GOAL)
        lines += [*above, f"{last}  {'none' if need.any_will_do else need.dryer}"]
    return [*lines, *wrap(NEEDED, "  ")]


def _class(need: Need) -> str:
    if need.any_will_do:
        return "any"
    return MISSING if need.humidity_class is None else str(need.humidity_class)


def closing_block(found: WaterFinding, share: float, page: Page) -> list[str]:
    """Return water that enters, ice, snow, latent heat, and what the numbers leave out."""
    told = (
        say_entering(found, page.system),
        say_ice(found, share),
        say_snow(found, share, page.system),
        say_latent(found, page.system),
        *PATH_NOTES,
    )
    return [line for words in told if words for line in wrap(page.prose(printable(words)))]
