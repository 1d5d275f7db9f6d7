"""What stands beside the limits, as text: gas at seals and tubes, oil, hoop stress, cautions."""

from __future__ import annotations

from jacketcalc import __version__
from jacketcalc.assessment.limit_context import (
    CAUTIONS,
    OIL,
    PRESSURE_CODE,
    LimitFigure,
    list_figures,
    list_seals,
    list_stresses,
    oil_figures,
)
from jacketcalc.assessment.result import Assessment
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.number_text import MISSING, fixed
from jacketcalc.show.page import BOLD, Page, between, join_blocks, printable, table_line, wrap
from jacketcalc.show.reasons import limits_block
from jacketcalc.unit_display import to_display
from jacketcalc.wall_stress import Wall

_WHAT = 44
"""Columns of what stands beside a limit [-]."""
_COLUMN = 9
"""Columns of a number [-]."""
_SEAL, _SEAL_COLUMN = 40, 10
"""Columns of a material, and of a margin [-]."""
_WALL = 30
"""Columns of a wall [-]."""


def make_limits_text(found: Assessment, *, color: bool = False) -> str:
    """Return limits, what stands beside them, and cautions, in at most 80 columns."""
    page = Page(system=found.case.document.units, color=color)
    head = [between(printable(found.case.title), f"jacketcalc {__version__}"),
            *wrap(CAUTION_BRIEF)]  # fmt: skip
    if found.jacketed.stalled:
        why = "The machine stalls: no temperatures stand against the limits."
        return join_blocks([head, wrap(why), stress_block(found, page), caution_block(page)])
    blocks = [
        head,
        limits_block(found.limits, page),
        figures_block(found, page),
        seals_block(found, page),
        stress_block(found, page),
        caution_block(page),
    ]
    return join_blocks(blocks)


def figures_block(found: Assessment, page: Page) -> list[str]:
    """Return every temperature that is not judged, with what it is held against."""
    figures = list_figures(found)
    if not figures:
        return []
    title = f"BESIDE THE LIMITS, not judged / {page.unit('temperature')}"
    heads = [(word, _COLUMN) for word in ("without", "with", "limit", "margin")]
    lines = [page.paint(table_line(title, heads, _WHAT)[0], BOLD)]
    for one in figures:
        lines += table_line(f"  {printable(one.what)}", _figure_cells(one, page), _WHAT)
    for source in dict.fromkeys(one.source for one in figures):
        lines += wrap(page.prose(printable(source)), "  source, ", "    ")
    return [*lines, *(wrap(OIL, "  ") if oil_figures(figures) else [])]


def _figure_cells(one: LimitFigure, page: Page) -> list[tuple[str, int]]:
    def shown(value: float | None) -> str:
        found = None if value is None else to_display(value, "temperature", page.system)
        return fixed(found, 0)

    margin = fixed(to_display(one.margin, "temperature difference", page.system), 0, sign=True)
    limit = f"{'max' if one.kind == 'at most' else 'min'} {shown(one.limit)}"
    return [(cell, _COLUMN) for cell in (shown(one.bare), shown(one.jacketed), limit, margin)]


def seals_block(found: Assessment, page: Page) -> list[str]:
    """Return margins of the usual materials of seals, hot and cold, at wall and at gas."""
    unit, difference = page.unit("temperature"), page.unit("temperature difference")
    title = f"SEALS, margins with jackets / {difference}"
    heads = [(word, _SEAL_COLUMN) for word in ("hot wall", "hot gas", "cold gas", "cold wall")]
    lines = [page.paint(table_line(title, heads, _SEAL)[0], BOLD)]
    for one in list_seals(found):
        ends = [fixed(to_display(T, "temperature", page.system), 0)
                for T in (one.lowest, one.highest)]  # fmt: skip
        margins = (one.hot_wall, one.hot_gas, one.cold_gas, one.cold_wall)
        cells = [(fixed(to_display(m, "temperature difference", page.system), 0, sign=True),
                  _SEAL_COLUMN) for m in margins]  # fmt: skip
        label = f"  {one.material}, serves {ends[0]} to {ends[1]} {unit}"
        lines += table_line(label, cells, _SEAL)
    for source in dict.fromkeys(one.source for one in list_seals(found)):
        lines += wrap(page.prose(source), "  source, ", "    ")
    words = "With jackets, the worst stage. A seal's own temperature lies between wall and gas."
    return [*lines, *wrap(words, "  ")]


def stress_block(found: Assessment, page: Page) -> list[str]:
    """Return the hoop stress of every round wall, and what it leaves to the pressure code."""
    unit = "MPa" if page.system == "SI" else page.unit("pressure difference")
    title = f"HOOP STRESS / {unit}, not judged"
    heads = (("t / d", 7), (page.unit("pressure difference"), 8), ("stress", 8), ("usual", 16))
    lines = [page.paint(f"{table_line(title, heads, _WALL)[0]}  formula", BOLD)]
    for wall in list_stresses(found):
        usual = MISSING if wall.usual is None else " to ".join(
            _stress(v, page) for v in wall.usual)  # fmt: skip
        cells = (
            (fixed(wall.thickness / wall.bore, 3), 7),
            (fixed(to_display(wall.pressure, "pressure difference", page.system), 1), 8),
            (_stress(wall.stress, page), 8),
            (usual, 16),
        )
        *above, last = table_line(f"  {printable(wall.name)}", cells, _WALL)
        lines += [*above, f"{last}  {_formula(wall)}"]
    words = (
        "t / d: wall over bore. Pressure above ambient. Up to a wall of a tenth of the radius the "
        "thin wall formula p d / (2 t) is taken, beyond it Lame's at the bore. usual: two thirds "
        "of the proof stress of the softest and the hardest usual condition."
    )
    return [*lines, *wrap(words, "  "), *wrap(PRESSURE_CODE, "  ")]


def _stress(value: float, page: Page) -> str:
    if page.system == "SI":
        return fixed(value / 1e6, 1 if value < 1e7 else 0)
    return fixed(to_display(value, "pressure difference", page.system), 0)


def _formula(wall: Wall) -> str:
    return "thin wall" if wall.is_thin else "Lame"


def caution_block(page: Page) -> list[str]:
    """Return the cautions that stand beside the limits."""
    lines = [page.head("CAUTIONS")]
    for words in CAUTIONS:
        lines += wrap(words, "  ")
    return lines
