"""A study as text for a person: what is best first, then the tables."""

from __future__ import annotations

from jacketcalc import __version__
from jacketcalc.assessment.standing_words import describe_standings
from jacketcalc.show.choice_text import choice_block
from jacketcalc.show.gas_text import gas_block, say_gas_of_points
from jacketcalc.show.limit_text import limit_block
from jacketcalc.show.page import Page, between, join_blocks, printable, wrap
from jacketcalc.show.study_maps import map_blocks
from jacketcalc.show.study_tables import table_blocks
from jacketcalc.studies.choice import choose_all
from jacketcalc.studies.study_table import StudyTable
from jacketcalc.unit_display import say_quantity

_BARE = {
    "exhaust direct": "exhausted at the valve",
    "exhaust through tube": "exhausted through its tube",
}


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
        [between(printable(table.case.title), f"jacketcalc {__version__}"), *_subject(table)],
        _drawn(table, page),
        choice_block(table, choose_all(table), page),
        *(table_blocks(table, page) if flat else map_blocks(table, page)),
        limit_block(table, page),
        _gaps(table),
        gas_block(say_gas_of_points(table), page),
        _band(table, page),
    ]
    return join_blocks(blocks)


def _subject(table: StudyTable) -> list[str]:
    axes = " x ".join(f"{len(a.values)} of {a.path}" for a in table.axes)
    bare = _BARE[table.case.judgement.no_jackets]
    own = "" if table.bare else "; what is varied changes the machine without jackets too"
    held = ", ".join(f"{path} {text}" for path, text in table.held)
    within = f", with {held}" if held else ""
    return wrap(f"{axes}{within}, against the same machine bare, {bare}{own}")


def _drawn(table: StudyTable, page: Page) -> list[str]:
    """Say what the case as drawn does against every machine without jackets, at every rate."""
    words = describe_standings(table.case, table.standings, table.missing)
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
    lines = ["POINTS WITHOUT NUMBERS, OR WITHOUT SOME"]
    for words, places in found.items():
        shown = ", ".join(places[:8]) + (f" and {len(places) - 8} more" if len(places) > 8 else "")
        lines += wrap(f"{shown}: {printable(words)}", "  ", "    ")
    return lines


def _band(table: StudyTable, page: Page) -> list[str]:
    if len(table.members) == 1:
        return wrap(
            "Solved with the models of the case alone; what lies inside the model's own band is "
            "not known here (--band solves it)."
        )
    same = say_quantity(0.25, "temperature difference", page.system, 2)
    return wrap(
        f"Band: {', '.join(table.members)}. Points are compared in pairs under the same member; "
        "one is as good as another where members disagree about which is better, or where they "
        f"differ by less than {same} or 0.25 %."
    )
