"""A fill as text: both machines side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from jacketcalc import __version__
from jacketcalc.assessment.gas_notes import say_gas
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.fill.repeated import RepeatedFills
from jacketcalc.fill.result import Fill, FillComparison
from jacketcalc.fill.words import (
    NOTES,
    REPEATED,
    answer,
    change_of,
    describe_currency,
    describe_end,
    describe_help,
    describe_repeats,
    spell_time,
    what_is_filled,
)
from jacketcalc.inputs import Case
from jacketcalc.number_text import decimals_for, fixed, percent
from jacketcalc.show.page import BOLD, Page, between, join_blocks, printable, wrap
from jacketcalc.unit_display import format_quantity, to_display
from jacketcalc.units import FOOT

_LABEL, _UNIT, _COLUMNS = 27, 8, (13, 15, 12)
"""Columns of a label, of a unit, and of both machines and the change [-]."""
_MINUTE, _LITRE = 60.0, 1e-3
"""A minute [s] and a litre [m3]."""
PAIR = ("no jackets", "with jackets", "change")

Number = Callable[[Fill], float]
ROWS: tuple[tuple[str, str, Number], ...] = (
    ("time", "min", lambda f: f.time / _MINUTE),
    ("strokes", "", lambda f: f.strokes),
    ("drive air", "mass", lambda f: f.drive_air),
    ("drive air (ANR)", "free air", lambda f: f.drive_air_volume),
    ("gas into the receiver", "mass", lambda f: f.delivered),
    ("drive air per gas filled", "share", lambda f: f.specific_air),
)
"""Label, unit or dimension, and number of each row that is compared by its share."""
LEVELS: tuple[tuple[str, str, int, Number], ...] = (
    ("receiver's gas at the end", "temperature", 0, lambda f: f.temperature),
    ("hottest discharge", "temperature", 0, lambda f: f.hottest_discharge.temperature),
    ("hottest seal", "temperature", 0, lambda f: f.hottest_seal.temperature),
    ("receiver settles to", "pressure", 1, lambda f: f.rest_pressure),
)
"""Label, dimension, decimals and number of each row that is compared by its difference."""


def make_fill_text(found: FillComparison, *, color: bool = False, ascii_only: bool = False) -> str:
    """Return a fill in at most 80 columns."""
    page = Page(system=found.case.document.units, color=color, ascii=ascii_only)
    said = f"{what_is_filled(found.case, found.target)}: {answer(found)}"
    return join_blocks([
        _head(found.case),
        wrap(page.prose(said), page.head("FILL") + "     ", " " * 9),
        _table(found.fills, PAIR, page),
        _remarks(found, page),
        [line for note in NOTES for line in wrap(page.prose(note))],
    ])  # fmt: skip


def make_repeat_text(found: RepeatedFills, *, color: bool = False, ascii_only: bool = False) -> str:
    """Return repeated fills in at most 80 columns."""
    page = Page(system=found.case.document.units, color=color, ascii=ascii_only)
    said = (
        f"{what_is_filled(found.case, found.target)}, {found.count} times, with pauses of "
        f"{spell_time(found.pause)}. {describe_repeats(found)}"
    )
    last = f"number {found.count}"
    blocks = [_head(found.case), wrap(page.prose(said), page.head("FILLS") + "    ", " " * 9)]
    for name, series in found.named:
        head = page.head(name.upper())
        pair = (series.at(0), series.at(found.count - 1))
        blocks.append([head, *_table(pair, ("from cold", last, "change"), page)])
        ends = {describe_end(fill, page.system) for fill in pair if not fill.reached}
        blocks[-1] += [line for end in sorted(ends) for line in wrap(page.prose(end), "  ")]
    blocks.append([line for note in (REPEATED, *NOTES) for line in wrap(page.prose(note))])
    return join_blocks(blocks)


def _head(case: Case) -> list[str]:
    return [between(printable(case.title), f"jacketcalc {__version__}"), *wrap(CAUTION_BRIEF)]


def _table(fills: Sequence[Fill], heads: tuple[str, ...], page: Page) -> list[str]:
    """Return the rows of one fill, or of two and their change."""
    shown = zip(heads, _COLUMNS, strict=True) if len(fills) > 1 else [("", _COLUMNS[0])]
    first = f"{'':{_LABEL + _UNIT}}"
    lines = [page.paint(first + "".join(f"{w:>{n}}" for w, n in shown), BOLD)]
    if len(fills) == 1:
        lines = []
    for label, unit, number in ROWS:
        lines.append(_share_row(label, unit, [number(f) for f in fills], page))
    for label, dimension, decimals, number in LEVELS:
        lines.append(_level_row(label, [number(f) for f in fills], dimension, decimals, page))
    return lines


def _share_row(label: str, unit: str, values: list[float], page: Page) -> str:
    if unit in ("mass", "share"):
        values = [to_display(v, unit, page.system) for v in values]
        unit = page.unit(unit)
    elif unit == "free air":
        unit, size = ("L", _LITRE) if page.system == "SI" else ("ft3", FOOT**3)
        values = [v / size for v in values]
    decimals = decimals_for(values, 4)
    change = [percent(change_of(values[1], values[0]))] if len(values) > 1 else []
    return _line(label, unit, [*(fixed(v, decimals) for v in values), *change])


def _level_row(label: str, values: list[float], dimension: str, decimals: int, page: Page) -> str:
    cells = [fixed(to_display(v, dimension, page.system), decimals) for v in values]
    if len(values) > 1:
        difference = f"{dimension} difference"
        change = to_display(values[1] - values[0], difference, page.system)
        cells.append(f"{fixed(change, decimals, sign=True)} {page.unit(difference)}")
    return _line(label, page.unit(dimension), cells)


def _line(label: str, unit: str, cells: list[str]) -> str:
    row = "".join(f"{c:>{n}}" for c, n in zip(cells, _COLUMNS, strict=False))
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
    """Say when discharge and seal were hottest."""
    said = []
    for name, fill in (("With jackets: ", found.with_jackets), ("Without: ", found.no_jackets)):
        if fill is None:
            continue
        peaks = []
        for what, peak in (("discharge", fill.hottest_discharge), ("seal", fill.hottest_seal)):
            pressure = format_quantity(peak.pressure, "pressure", page.system, 4)
            peaks.append(f"{what} of {peak.stage} after {spell_time(peak.time)}, at {pressure}")
        text = "; ".join(peaks)
        told = name if found.with_jackets else ""
        said.append(f"{told}{text if told else text[0].upper() + text[1:]}.")
    return " ".join(said)


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
