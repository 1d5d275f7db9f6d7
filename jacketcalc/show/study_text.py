"""A study as text for a person: what is best first, then the tables."""

from __future__ import annotations

from jacketcalc import __version__
from jacketcalc.assessment.standing import name_bare
from jacketcalc.assessment.standing_words import describe_standings
from jacketcalc.cautions import CAUTION
from jacketcalc.inputs import Case
from jacketcalc.makeable import list_unmade, say_unmade
from jacketcalc.show.choice_text import choice_block
from jacketcalc.show.gas_text import gas_block, say_gas_of_points
from jacketcalc.show.limit_text import limit_block
from jacketcalc.show.page import Page, between, join_blocks, printable, wrap
from jacketcalc.show.study_maps import map_blocks
from jacketcalc.show.study_tables import table_blocks
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.choice import choose_all
from jacketcalc.studies.drawn import say_drawn
from jacketcalc.studies.study_table import StudyTable
from jacketcalc.unit_display import say_quantity

_FEW = 4
"""Values of an entry that are all named [-]."""


def make_study_text(table: StudyTable, *, color: bool = False, ascii_only: bool = False) -> str:
    """Return a study in at most 80 columns, in the units the case asks for.

    Parameters
    ----------
    table : the study
    color : add terminal escapes; without them the text is the same
    ascii_only : keep to ASCII, for terminals that show nothing else
    """
    page = Page(system=table.case.document.units, color=color, ascii=ascii_only)
    flat = len(table.axes) == 1
    blocks = [
        [between(printable(table.case.title), f"jacketcalc {__version__}"), *_subject(table, page)],
        _drawn(table, page),
        choice_block(table, choose_all(table), page),
        *(table_blocks(table, page) if flat else map_blocks(table, page)),
        limit_block(table, page),
        _gaps(table),
        gas_block(say_gas_of_points(table), page),
        _members(table, page),
        wrap(CAUTION),
    ]
    return join_blocks(blocks)


def _subject(table: StudyTable, page: Page) -> list[str]:
    """Say what is varied, what the drawn design has, and what changes are set against."""
    axes = " x ".join(_varied(axis) for axis in table.axes)
    held = ", ".join(f"{path} {text}" for path, text in table.held)
    within = f", with {held}" if held else ""
    drawn = "; ".join(_say_drawn(table, axis) for axis in table.axes)
    bare = name_bare(table.case.machine, table.case.judgement.no_jackets)
    lines = wrap(page.prose(f"Varied: {axes}{within}. Drawn: {printable(drawn)}."))
    lines += wrap(f"No jackets: the same machine with {bare}.")
    lines += unmade_lines(table.drawn_case, page)
    if not table.bare:
        lines += wrap("What is varied changes the machine without jackets too.")
    return lines


def unmade_lines(case: Case, page: Page, first: str = "") -> list[str]:
    """Say what of the drawn design cannot be made, nothing where all can.

    Parameters
    ----------
    case : the case of the drawn design
    page : where it stands
    first : what stands before each line
    """
    unmade = say_unmade(list_unmade(case))
    if not unmade:
        return []
    words = f"The drawn design cannot be made with [make]: {unmade}."
    return wrap(page.prose(printable(words)), first)


def _varied(axis: Axis) -> str:
    """Return an entry with its values: all of a few, else their count and ends."""
    if axis.words or len(axis.texts) <= _FEW:
        return f"{axis.path} {', '.join(axis.texts)}"
    return f"{axis.path}, {len(axis.texts)} values from {axis.texts[0]} to {axis.texts[-1]}"


def _say_drawn(table: StudyTable, axis: Axis) -> str:
    words = say_drawn(table.drawn_case, axis) or "not stated"
    return words if len(table.axes) == 1 else f"{axis.path} {words}"


def _drawn(table: StudyTable, page: Page) -> list[str]:
    """Say what the case as drawn does against every machine without jackets, at every rate."""
    words = describe_standings(table.case, table.standings, table.missing, table.design)
    return wrap(page.prose(printable(words))) if words else []


def _gaps(table: StudyTable) -> list[str]:
    """Return why points have no numbers, equal reasons once."""
    found: dict[str, list[str]] = {}
    for row in table.rows:
        if row.state != "solved" or row.reason:
            words = f"{row.state}: {row.reason}" if row.state != "solved" else row.reason
            found.setdefault(words, []).append(" x ".join(row.texts))
    if not found:
        return []
    lines = ["POINTS THAT LACK NUMBERS"]
    for words, places in found.items():
        shown = ", ".join(places[:8]) + (f" and {len(places) - 8} more" if len(places) > 8 else "")
        lines += wrap(f"{shown}: {printable(words)}", "  ", "    ")
    return lines


def _members(table: StudyTable, page: Page) -> list[str]:
    """Say which members the model range has, and when two points are as good."""
    if len(table.members) == 1:
        return wrap(
            "Solved with the nominal models alone. The model range is not known here: --range "
            "solves it, and pitch without --quick does."
        )
    same = say_quantity(0.25, "temperature difference", page.system, 2)
    return wrap(
        f"Model range: {', '.join(table.members)}. Changes are paired: same model member for both "
        "machines. A point is as good as another where the members disagree about which is "
        f"better, or where the difference is less than {same} or 0.25 %."
    )
