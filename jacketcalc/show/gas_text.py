"""Gas beyond the table of air, in the words of a study."""

from __future__ import annotations

from jacketcalc.assessment.gas_range import GasRange, say_beyond, widest
from jacketcalc.show.page import Page, printable, wrap
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.study_table import StudyTable
from jacketcalc.unit_display import System

_SHOWN = 8
"""Points that are named [-]."""
_TITLE = "GAS BEYOND THE PROPERTY TABLE"


def gas_words(gas: GasRange | None, system: System) -> str:
    """Say that gas leaves the table of air, nothing where it does not."""
    return f"gas {say_beyond(gas, system)}" if gas is not None else ""


def say_gas_of_points(table: StudyTable) -> list[str]:
    """Return what to know of a study's points, and of the case as drawn."""
    system = table.case.document.units
    out = [row for row in table.rows if row.gas is not None]
    lines = []
    if out:
        named = ", ".join(" x ".join(row.texts) for row in out[:_SHOWN])
        more = f" and {len(out) - _SHOWN} more" if len(out) > _SHOWN else ""
        words = gas_words(widest(row.gas for row in out), system)
        lines.append(f"{len(out)} of {len(table.rows)} points ({named}{more}): {words}")
    if table.gas is not None:
        lines.append(f"the case as drawn: {gas_words(table.gas, system)}")
    return lines


def say_gas_of_search(optimum: Optimum) -> list[str]:
    """Return what to know of the best design, the case as drawn and the machine without jackets."""
    system = optimum.case.document.units
    whose = (
        ("the best design", optimum.best.gas),
        ("the case as drawn", optimum.drawn.gas),
        ("the machine without jackets", optimum.bare_gas),
    )
    lines = [f"{who}: {gas_words(gas, system)}" for who, gas in whose if gas is not None]
    out = [trial for trial in optimum.tried if trial.gas is not None]
    if out:
        words = gas_words(widest(trial.gas for trial in out), system)
        lines.append(f"{len(out)} of {len(optimum.tried)} designs solved: {words}")
    return lines


def gas_block(sentences: list[str], page: Page) -> list[str]:
    """Return those sentences under their head, nothing where there are none."""
    lines = [page.head(_TITLE)] if sentences else []
    for sentence in sentences:
        lines += wrap(page.prose(printable(sentence)), "  ", "    ")
    return lines
