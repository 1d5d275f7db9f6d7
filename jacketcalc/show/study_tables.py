"""A study of one entry as tables: the machine, then each stage and its jacket."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from jacketcalc.core.output_record import Owner
from jacketcalc.number_text import MISSING, decimals_for, fixed, percent
from jacketcalc.show.page import BOLD, WIDTH, Page, printable, wrap
from jacketcalc.studies.columns import COOLING_ALONE, RESISTANCE_ALONE, Numbers
from jacketcalc.studies.study_table import StudyRow, StudyTable
from jacketcalc.unit_display import to_display

_FIRST = 11
"""Columns of the varied value [-]."""


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


class TextBlock(NamedTuple):
    """A printed table."""

    title: str
    specs: tuple[Spec, ...]
    above: frozenset[str] = frozenset()
    """Machines that stand above the points: those of the `case`, and the `bare` one of all."""
    foot: str = ""
    """What stands below it."""
    sizes: bool = False
    """Whether it has numbers of machines that deliver nothing too."""


_GAP, _LEAST = 2, 8
"""Columns between two columns of a table, and fewest that one takes [-]."""
_CHANGE = (
    Spec("change.delivered_mass_flow", ("change", "from bare"), 11),
    Spec("band", ("its band", ""), 18),
)
_SPLIT = (
    Spec("change.delivered_mass_flow", ("change", "from bare"), 12),
    Spec(COOLING_ALONE, ("by cooling", "alone"), 14),
    Spec(RESISTANCE_ALONE, ("by resistance", "alone"), 16),
)
_AGAINST = (
    Spec("from_case.delivered_mass_flow", ("delivered", "air"), 13),
    Spec("from_case.mass_per_cycle", ("mass a", "cycle"), 13),
    Spec("from_case.cycle_rate", ("cycle", "rate"), 13),
    Spec("from_case.specific_air_consumption", ("drive air", "per kg"), 13),
    Spec("from_case.hottest_discharge", ("discharge", ""), 13),
)
_BOTH = (
    Spec("bare.delivered_mass_flow", ("bare", ""), 9),
    Spec("bare_from_case.delivered_mass_flow", ("change", "from case"), 11),
    Spec("delivered_mass_flow", ("jacketed", ""), 10),
    Spec("from_case.delivered_mass_flow", ("change", "from case"), 11),
    Spec("bare.hottest_discharge", ("hot, bare", ""), 13),
    Spec("hottest_discharge", ("hot, jacketed", ""), 15),
)
_CASE, _ALL = frozenset({"case"}), frozenset({"case", "bare"})


def table_blocks(table: StudyTable, page: Page) -> list[list[str]]:
    """Return the tables of a study of one entry."""
    specs = _specs(table, page, "machine", "")
    blocks = [TextBlock("MACHINE", (*specs[:1], *_CHANGE, *specs[1:]), _ALL)]
    if table.stands and table.stands[0]:
        blocks.append(_against(table))
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
            blocks.append(TextBlock(title, specs, foot=words, sizes=True))
    parts = [part for block in blocks for part in _fit(block)]
    lines = [_block(table, page, part) for part in parts]
    if not table.bare and table.stands and table.stands[0]:
        words = "bare: the row's machine without jackets; hot: mean discharge of its hottest stage"
        lines[next(i for i, part in enumerate(parts) if part.specs == _BOTH)] += wrap(words, "  ")
    return lines


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


def _fit(block: TextBlock) -> Iterator[TextBlock]:
    """Yield a table in as many parts as the page is wide for."""
    part: list[Spec] = []
    title = block.title
    for spec in block.specs:
        if _FIRST + sum(s.width for s in (*part, spec)) > WIDTH:
            yield block._replace(title=title, specs=tuple(part), foot="")
            part, title = [], f"{block.title}, continued"
        part.append(spec)
    yield block._replace(title=title, specs=tuple(part))


def _against(table: StudyTable) -> TextBlock:
    """Return what changes from the case as it stands, of both machines where both change."""
    if table.bare:
        title = "CHANGE FROM THE CASE AS IT STANDS, of the machine with jackets"
        return TextBlock(title, _AGAINST)
    title = "BARE AND JACKETED, each against the same machine of the case as it stands"
    return TextBlock(title, _BOTH, _CASE)


def _block(table: StudyTable, page: Page, block: TextBlock) -> list[str]:
    specs = block.specs
    upper = "".join(f"{spec.head[0]:>{spec.width}}" for spec in specs)
    lower = "".join(f"{spec.head[1] or _unit(table, page, spec):>{spec.width}}" for spec in specs)
    path = table.axes[0].path.rpartition(".")[2]
    lines = [page.paint(block.title, BOLD), f"{'':{_FIRST}}{upper}".rstrip(),
             f"{path:>{_FIRST}}{lower}".rstrip()]  # fmt: skip
    decimals = {spec.column: _decimals(table, page, spec) for spec in specs}
    for name, numbers in _above(table, block):
        cells = [_cell(numbers, None, s, decimals, table, page) for s in specs]
        lines.append(_line(name, cells, specs))
    for row in table.rows:
        if row.state != "solved" and not row.numbers:
            lines.append(f"{row.texts[0]:>{_FIRST}}  {row.state}")
            continue
        cells = [_cell(row.numbers, row, s, decimals, table, page) for s in specs]
        if row.state == "stalled" or (row.state == "idle" and not block.sizes):
            cells[0] = row.state
        lines.append(_line(row.texts[0], cells, specs))
    return lines + ([f"  {block.foot}"] if block.foot else [])


def _above(table: StudyTable, block: TextBlock) -> list[tuple[str, Numbers]]:
    """Return the machines that stand above the points."""
    found = []
    if "case" in block.above and table.stands and table.stands[0]:
        found.append(("the case", table.stands[0]))
    if "bare" in block.above and table.bare and table.bare[0]:
        found.append(("bare", table.bare[0]))
    return found


def _line(first: str, cells: Sequence[str], specs: Sequence[Spec]) -> str:
    row = "".join(f"{cell:>{spec.width}}" for cell, spec in zip(cells, specs, strict=True))
    return f"{first:>{_FIRST}}{row}".rstrip()


def _unit(table: StudyTable, page: Page, spec: Spec) -> str:
    if spec.column == "band":
        return ""
    return page.unit(table.column(spec.column).dimension)


def _shown(numbers: Numbers, spec: Spec, table: StudyTable, page: Page) -> float | None:
    value = numbers.get(spec.column)
    if value is None:
        return None
    return to_display(value, table.column(spec.column).dimension, page.system)


def _decimals(table: StudyTable, page: Page, spec: Spec) -> int:
    if spec.column == "band" or spec.column.startswith("turns."):
        return 1
    if table.column(spec.column).dimension == "temperature":
        return 1
    return decimals_for([_shown(row.numbers, spec, table, page) for row in table.rows], spec.digits)


def _cell(
    numbers: Numbers,
    row: StudyRow | None,
    spec: Spec,
    decimals: dict[str, int],
    table: StudyTable,
    page: Page,
) -> str:
    if spec.column == "band":
        ends = None if row is None else row.spread("change.delivered_mass_flow")
        if ends is None or len(table.members) == 1:
            return MISSING
        return f"{fixed(100 * ends[0], 1, sign=True)} to {fixed(100 * ends[1], 1, sign=True)}"
    column = table.column(spec.column)
    if not column.own and column.dimension == "percent":
        return percent(numbers.get(spec.column))
    if not column.own and column.dimension == "temperature difference":
        return fixed(_shown(numbers, spec, table, page), 1, sign=True)
    return fixed(_shown(numbers, spec, table, page), decimals[spec.column])
