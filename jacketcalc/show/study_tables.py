"""A study of one entry as tables: the machine, then each stage and its jacket."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from jacketcalc.core.output_record import Owner
from jacketcalc.number_text import MISSING, decimals_for, fixed, percent
from jacketcalc.show.page import BOLD, WIDTH, Page, printable, shorten
from jacketcalc.show.study_sheet import DRAWN
from jacketcalc.studies.columns import (
    CHANGE,
    COOLING_ALONE,
    FROM_DRAWN,
    NO_JACKETS,
    NO_JACKETS_FROM_DRAWN,
    RESISTANCE_ALONE,
)
from jacketcalc.studies.study_table import StudyRow, StudyTable
from jacketcalc.unit_display import to_display

_FIRST, _LONGEST = 11, 20
"""Fewest and most columns of the varied value [-]."""


class Spec(NamedTuple):
    """A column of a printed table."""

    column: str
    """Column of the study."""
    head: tuple[str, str]
    """Two lines above it; an empty second line takes the unit."""
    width: int
    """Columns it takes [-]."""
    digits: int = 4
    """Significant digits of its largest number [-]."""
    ends: bool = False
    """Whether it shows the ends of the column's range in place of its number."""


class TextBlock(NamedTuple):
    """A printed table."""

    title: str
    specs: tuple[Spec, ...]
    above: frozenset[str] = frozenset()
    """Machines that stand above the points: the `drawn` design, and the `bare` one of all."""
    foot: str = ""
    """What stands below it."""
    sizes: bool = False
    """Whether it has numbers of machines that deliver nothing too."""


_GAP, _LEAST = 2, 8
"""Columns between two columns of a table, and fewest that one takes [-]."""
_FLOW, _AIR, _HOT = "delivered_mass_flow", "specific_air_consumption", "hottest_discharge"
_CHANGE = (
    Spec(f"{CHANGE}.{_FLOW}", ("from no", "jackets"), 9),
    Spec(f"{CHANGE}.{_FLOW}", ("range /", "%"), 17, ends=True),
    Spec(f"{FROM_DRAWN}.{_FLOW}", ("from", "drawn"), 10),
    Spec(f"{FROM_DRAWN}.{_FLOW}", ("range /", "%"), 17, ends=True),
)
_SPLIT = (
    Spec(f"{CHANGE}.{_FLOW}", ("change from", "no jackets"), 13),
    Spec(COOLING_ALONE, ("by cooling", "alone"), 14),
    Spec(RESISTANCE_ALONE, ("by resistance", "alone"), 16),
)
_AGAINST = (
    Spec(f"{FROM_DRAWN}.{_AIR}", ("drive air", "per kg"), 11),
    Spec(f"{FROM_DRAWN}.{_AIR}", ("range /", "%"), 15, ends=True),
    Spec(f"{FROM_DRAWN}.{_HOT}", ("discharge", ""), 11),
    Spec(f"{FROM_DRAWN}.{_HOT}", ("range /", ""), 15, ends=True),
    Spec(f"{FROM_DRAWN}.mass_per_cycle", ("mass a", "cycle"), 8),
    Spec(f"{FROM_DRAWN}.cycle_rate", ("cycle", "rate"), 8),
)
_BOTH = (
    Spec(f"{NO_JACKETS}.{_FLOW}", ("no jackets", ""), 11),
    Spec(f"{NO_JACKETS_FROM_DRAWN}.{_FLOW}", ("change", "from drawn"), 12),
    Spec(_FLOW, ("jackets", ""), 9),
    Spec(f"{FROM_DRAWN}.{_FLOW}", ("change", "from drawn"), 12),
    Spec(f"{NO_JACKETS}.{_HOT}", ("hottest,", "no jackets"), 12),
    Spec(_HOT, ("hottest,", "jackets"), 11),
)
_DRAWN, _ALL = frozenset({"drawn"}), frozenset({"drawn", "bare"})


def table_blocks(table: StudyTable, page: Page) -> list[list[str]]:
    """Return the tables of a study of one entry."""
    specs = _specs(table, page, "machine", "")
    flow = tuple(spec for spec in specs if spec.column == _FLOW)
    others = tuple(spec for spec in specs if spec.column != _FLOW)
    blocks = [TextBlock("DELIVERED AIR, and its paired changes", (*flow, *_CHANGE), _ALL)]
    blocks.append(TextBlock("MACHINE", others, _ALL))
    if table.drawn is not None and table.drawn.numbers:
        blocks += _against(table, page)
    if any(c.name == COOLING_ALONE for c in table.columns):
        title = "WHY DELIVERED AIR CHANGES: each part as if it were alone"
        words = "cooling: passages that resist nothing; resistance: that exchange no heat"
        blocks.append(TextBlock(title, _SPLIT, foot=words))
    for stage in table.case.machine.stages:
        name = printable(stage.name)
        specs = _specs(table, page, "stage", stage.name)
        blocks.append(TextBlock(f"STAGE {name}", specs, _ALL))
        turns = f"turns.{stage.name}"
        if any(c.name == turns for c in table.columns):
            unit = page.unit("pressure difference")
            title = f"JACKET {name}, back-pressure in {unit}"
            words = "velocity and h in the channel; Mach anywhere in tube, channel and outlet"
            specs = (Spec(turns, ("turns", " "), 8, 3), *_specs(table, page, "jacket", stage.name))
            blocks.append(TextBlock(title, specs, _DRAWN, foot=words, sizes=True))
    if len(table.members) == 1:
        blocks = [b._replace(specs=tuple(s for s in b.specs if not s.ends)) for b in blocks]
    first = _first(table)
    return [_block(table, page, part, first) for block in blocks for part in _fit(block, first)]


def _first(table: StudyTable) -> int:
    """Return the columns that the varied value takes."""
    return max(_FIRST, min(_LONGEST, 1 + max(map(len, table.axes[0].texts))))


def _specs(table: StudyTable, page: Page, owner: Owner, stage: str) -> tuple[Spec, ...]:
    """Return the columns of the results that have a heading for them."""
    found = []
    for column in table.columns:
        output = column.output
        if output is None or column.stage != stage or output.heading == ("", ""):
            continue
        if output.owner == owner or (owner == "jacket" and output.owner == "port"):
            words = (*output.heading, "" if output.heading[1] else page.unit(output.dimension))
            width = max(_LEAST, max(map(len, words)) + _GAP)
            found.append(Spec(column.name, output.heading, width, output.digits))
    return tuple(found)


def _fit(block: TextBlock, first: int) -> Iterator[TextBlock]:
    """Yield a table in as many parts as the page is wide for."""
    part: list[Spec] = []
    title = block.title
    for spec in block.specs:
        if first + sum(s.width for s in (*part, spec)) > WIDTH:
            yield block._replace(title=title, specs=tuple(part), foot="")
            part, title = [], f"{block.title}, continued"
        part.append(spec)
    yield block._replace(title=title, specs=tuple(part))


def _against(table: StudyTable, page: Page) -> list[TextBlock]:
    """Return what changes from the drawn design, of both machines where both change."""
    unit = page.unit("temperature difference")
    specs = tuple(
        spec._replace(head=(spec.head[0], spec.head[1] or unit)) if spec.ends else spec
        for spec in _AGAINST
    )
    own = TextBlock("CHANGE FROM THE DRAWN DESIGN, with jackets", specs)
    if table.bare:
        return [own]
    title = "NO JACKETS AND JACKETS, each against the drawn design"
    return [TextBlock(title, _BOTH, _DRAWN), own]


def _block(table: StudyTable, page: Page, block: TextBlock, first: int) -> list[str]:
    specs = block.specs
    upper = "".join(f"{spec.head[0]:>{spec.width}}" for spec in specs)
    lower = "".join(f"{spec.head[1] or _unit(table, page, spec):>{spec.width}}" for spec in specs)
    path = shorten(table.axes[0].path.rpartition(".")[2], first)
    lines = [page.paint(block.title, BOLD), f"{'':{first}}{upper}".rstrip(),
             f"{path:>{first}}{lower}".rstrip()]  # fmt: skip
    decimals = {spec.column: _decimals(table, page, spec) for spec in specs}
    for name, row in [*_above(table, block), *((row.texts[0], row) for row in table.rows)]:
        label = page.prose(shorten(name, first))
        if row.state != "solved" and not row.numbers:
            lines.append(f"{label:>{first}}  {row.state}")
            continue
        cells = [_cell(row, s, decimals, table, page) for s in specs]
        if row.state == "stalled" or (row.state == "idle" and not block.sizes):
            cells[0] = row.state
        line = "".join(f"{cell:>{spec.width}}" for cell, spec in zip(cells, specs, strict=True))
        lines.append(f"{label:>{first}}{line}".rstrip())
    return lines + ([f"  {block.foot}"] if block.foot else [])


def _above(table: StudyTable, block: TextBlock) -> list[tuple[str, StudyRow]]:
    """Return the machines that stand above the points."""
    found = []
    if "drawn" in block.above and table.drawn is not None:
        found.append((DRAWN, table.drawn))
    if "bare" in block.above and table.bare and table.bare[0]:
        row = StudyRow(values=(), texts=(), state="solved", members=table.bare[:1])
        found.append(("no jackets", row))
    return found


def _unit(table: StudyTable, page: Page, spec: Spec) -> str:
    return page.unit(table.column(spec.column).dimension)


def _shown(value: float | None, spec: Spec, table: StudyTable, page: Page) -> float | None:
    if value is None:
        return None
    return to_display(value, table.column(spec.column).dimension, page.system)


def _decimals(table: StudyTable, page: Page, spec: Spec) -> int:
    if spec.ends or spec.column.startswith("turns."):
        return 1
    if table.column(spec.column).dimension == "temperature":
        return 1
    found = [_shown(row.numbers.get(spec.column), spec, table, page) for row in table.rows]
    return decimals_for(found, spec.digits)


def _cell(
    row: StudyRow, spec: Spec, decimals: dict[str, int], table: StudyTable, page: Page
) -> str:
    column = table.column(spec.column)
    if spec.ends:
        ends = row.spread(spec.column)
        if ends is None:
            return MISSING
        low, high = (fixed(_shown(end, spec, table, page), 1, sign=True) for end in ends)
        return f"{low} to {high}"
    value = row.numbers.get(spec.column)
    if not column.own and column.dimension == "percent":
        return percent(value)
    if not column.own and column.dimension == "temperature difference":
        return fixed(_shown(value, spec, table, page), 1, sign=True)
    return fixed(_shown(value, spec, table, page), decimals[spec.column])
