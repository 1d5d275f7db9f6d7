"""A fill as text: both machines side by side."""

from __future__ import annotations

from collections.abc import Callable

from jacketcalc import __version__
from jacketcalc.assessment.gas_notes import say_gas
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.fill.result import Fill, FillComparison
from jacketcalc.fill.words import (
    NOTES,
    answer,
    change_of,
    describe_currency,
    describe_help,
)
from jacketcalc.number_text import decimals_for, fixed, percent
from jacketcalc.show.page import BOLD, Page, between, join_blocks, printable, wrap
from jacketcalc.unit_display import format_quantity, to_display

_LABEL, _UNIT, _COLUMNS = 27, 8, (13, 15, 12)
"""Columns of a label, of a unit, and of both machines and the change [-]."""
_MINUTE = 60.0
"""Seconds in a minute [s]."""

Number = Callable[[Fill], float]


def make_fill_text(found: FillComparison, *, color: bool = False, ascii_only: bool = False) -> str:
    """Return a fill in at most 80 columns."""
    page = Page(system=found.case.document.units, color=color, ascii=ascii_only)
    return join_blocks([
        _head(found, page),
        _answer(found, page),
        _table(found, page),
        _remarks(found, page),
        [line for note in NOTES for line in wrap(page.prose(note))],
    ])  # fmt: skip


def _head(found: FillComparison, page: Page) -> list[str]:
    title = between(printable(found.case.title), f"jacketcalc {__version__}")
    return [title, *wrap(CAUTION_BRIEF)]


def _answer(found: FillComparison, page: Page) -> list[str]:
    receiver = found.receiver
    said = (
        f"{format_quantity(receiver.volume, 'volume', page.system, 4)} from "
        f"{format_quantity(receiver.start_pressure, 'pressure', page.system, 4)} to "
        f"{format_quantity(found.target, 'pressure', page.system, 4)}: {answer(found)}"
    )
    return wrap(page.prose(said), page.head("FILL") + "     ", "         ")


def _table(found: FillComparison, page: Page) -> list[str]:
    heads = zip(("no jackets", "with jackets", "change"), _COLUMNS, strict=True)
    first = f"{'':{_LABEL + _UNIT}}"
    lines = [page.paint(first + "".join(f"{w:>{n}}" for w, n in heads), BOLD)]
    gas = "air" if found.case.machine.gas.name == "air" else "gas"
    rows: tuple[tuple[str, str, Number, int], ...] = (
        ("time", "min", lambda f: f.time / _MINUTE, 4),
        ("strokes", "", lambda f: f.strokes, 4),
        ("drive air", "mass", lambda f: f.drive_air, 4),
        ("drive air (ANR)", "L", lambda f: f.drive_air_volume / 1e-3, 4),
        (f"{gas} into the receiver", "mass", lambda f: f.delivered, 4),
        (f"drive air per {gas} filled", "share", lambda f: f.specific_air, 4),
    )
    for label, unit, number, digits in rows:
        lines.append(_share_row(label, unit, [number(f) for f in found.fills], digits, page))
    levels: tuple[tuple[str, Number], ...] = (
        (f"receiver's {gas} at the end", lambda f: f.temperature),
        ("hottest discharge", lambda f: f.hottest_discharge.temperature),
        ("hottest seal", lambda f: f.hottest_seal.temperature),
    )
    for label, value in levels:
        lines.append(_level_row(label, [value(f) for f in found.fills], "temperature", 0, page))
    settles = [f.rest_pressure for f in found.fills]
    lines.append(_level_row("receiver settles to", settles, "pressure", 1, page))
    return lines


def _share_row(label: str, unit: str, values: list[float], digits: int, page: Page) -> str:
    if unit in ("mass", "share"):
        values = [to_display(v, unit, page.system) for v in values]
        unit = page.unit(unit)
    decimals = decimals_for(values, digits)
    cells = [fixed(v, decimals) for v in values]
    return _line(label, unit, [*cells, percent(change_of(values[1], values[0]))])


def _level_row(label: str, values: list[float], dimension: str, decimals: int, page: Page) -> str:
    cells = [fixed(to_display(v, dimension, page.system), decimals) for v in values]
    difference = f"{dimension} difference"
    change = to_display(values[1] - values[0], difference, page.system)
    unit = page.unit(difference)
    return _line(
        label, page.unit(dimension), [*cells, f"{fixed(change, decimals, sign=True)} {unit}"]
    )


def _line(label: str, unit: str, cells: list[str]) -> str:
    row = "".join(f"{c:>{n}}" for c, n in zip(cells, _COLUMNS, strict=True))
    return f"{label:<{_LABEL}}{unit:<{_UNIT}}{row}".rstrip()


def _remarks(found: FillComparison, page: Page) -> list[str]:
    lines: list[str] = []
    for label, words in (
        ("GAS", _gas(found, page)),
        ("JACKETS", describe_help(found)),
        ("AIR", describe_currency(found)),
        ("HOTTEST", _when(found, page)),
        ("CHECKS", _checks(found)),
    ):
        if words:
            lines += wrap(page.prose(words), page.head(f"{label:<9}"), " " * 9)
    return lines


def _when(found: FillComparison, page: Page) -> str:
    said = []
    for name, fill in (("With jackets", found.with_jackets), ("without", found.no_jackets)):
        peaks = []
        for what, peak in (("discharge", fill.hottest_discharge), ("seal", fill.hottest_seal)):
            pressure = format_quantity(peak.pressure, "pressure", page.system, 4)
            peaks.append(
                f"{what}, {peak.stage}, after {fixed(peak.time / _MINUTE, 1)} min at {pressure}"
            )
        said.append(f"{name}: {'; '.join(peaks)}")
    return ". ".join((said[0], said[1][0].upper() + said[1][1:])) + "."


def _gas(found: FillComparison, page: Page) -> str:
    """Say what is filled, where it is not supply air; empty where it is."""
    said, name = say_gas(found.case.machine, page.system), found.case.machine.gas.name
    if not said or name == "air":
        return f"{said[:1].upper()}{said[1:]}." if said else ""
    return f"{said[:1].upper()}{said[1:]}. What the receiver holds at the start counts as {name}."


def _checks(found: FillComparison) -> str:
    mass = max(abs(fill.mass_closure) for fill in found.fills)
    energy = max(abs(fill.energy_closure) for fill in found.fills)
    steps = " and ".join(str(fill.steps) for fill in found.fills)
    cycles = " and ".join(f"{fill.cycles:.0f}" for fill in found.fills)
    taken = "air" if found.case.machine.gas.name == "air" else "air and gas"
    return (
        f"Mass closes to {mass:.0e} of the {taken} taken in, energy to {energy:.0e}; {steps} "
        f"steps of time stand for {cycles} cycles."
    )
