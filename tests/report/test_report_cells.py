"""Every cell of every table is the same on the page, in the PDF and in the workbook.

The three files are read back by libraries that know nothing of the package (html.parser,
pdfplumber, openpyxl); numbers are brought to SI by Pint's own table of units and compared with
the JSON result.
"""

from __future__ import annotations

import re
from functools import cache

import pint
import pytest
from report_sample import found, result_of
from report_whole import whole_book, whole_page, whole_pdf, whole_report
from table_cells import Number, Rows, book_tables, page_tables, pdf_tables, squeeze

from jacketcalc.report.model import plain
from jacketcalc.report.xlsx import number_format
from jacketcalc.show.json_names import json_path

_UNITS = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
_SPELT = {"°C": "degC", "dm³/(s·bar)": "dm**3/(s*bar)", "%": "percent"}
"""How Pint spells what it does not read as printed."""
_WITHOUT = ("Change",)
"""Columns whose numbers bear another unit than their row's."""


@cache
def page() -> list[Rows]:
    return page_tables(whole_page())


def seen(cell: str | Number) -> str:
    """Return what a reader of a workbook sees in a cell."""
    return squeeze(cell.shown if isinstance(cell, Number) else cell)


def test_the_report_has_all_its_tables() -> None:
    names = [table.name for table in whole_report().tables()]
    assert {"inputs", "results", "energy_balance", "pitches", "grid check", "verification"} <= set(
        names
    )
    assert len(page()) == len(names)


def test_the_workbook_shows_every_cell_of_the_page() -> None:
    sheets = book_tables(whole_book())
    assert len(sheets) == len(page())
    count = 0
    for table, sheet in zip(page(), sheets, strict=True):
        assert len(table) == len(sheet), table[0]
        for row, cells in zip(table, sheet, strict=True):
            wanted = [squeeze(cell) for cell in row] + [""] * (len(cells) - len(row))
            assert [seen(cell) for cell in cells] == wanted
            count += len(cells)
    assert count > 2000


def test_the_pdf_shows_every_cell_of_the_page() -> None:
    """Typst tags no empty cell: what stands in a row is compared in its order."""
    for table, printed in zip(page(), pdf_tables(whole_pdf()), strict=True):
        rows = [[squeeze(cell) for cell in row if squeeze(cell)] for row in table]
        other = [[squeeze(cell) for cell in row if squeeze(cell)] for row in printed]
        assert [row for row in other if row] == [row for row in rows if row]


def test_a_stored_number_is_the_printed_one() -> None:
    """No more digits, and no other unit, than a reader sees: formulas go on from what is shown."""
    count = 0
    for table, sheet in zip(page(), book_tables(whole_book()), strict=True):
        for row, cells in zip(table, sheet, strict=True):
            for words, cell in zip(row, cells, strict=False):
                if isinstance(cell, Number):
                    printed = squeeze(words.partition("\u00a0")[0])
                    assert cell.value == pytest.approx(float(printed), rel=1e-12), words
                    count += 1
    assert count > 400


def test_stored_numbers_in_their_units_are_the_result() -> None:
    """Number times unit, by Pint, is the JSON result's number in SI, to the digits printed."""
    result = result_of(found("hot"))
    count: dict[str, int] = {}
    for table, sheet in zip(whole_report().tables(), book_tables(whole_book()), strict=True):
        heads = [plain(column.head) for column in table.columns]
        if "Unit" not in heads or table.name == "grid check":
            continue
        for row, cells in zip(table.rows, sheet[1:], strict=True):
            for cell, stored, head in zip(row.cells, cells, heads, strict=False):
                if not isinstance(stored, Number) or not cell.path or head in _WITHOUT:
                    continue
                unit = str(cells[heads.index("Unit")])
                # Inputs are printed to four significant digits at least, without idle zeros.
                near = {"rel": 5e-4} if table.name == "inputs" else {"abs": _last_digit(stored)}
                wanted = pytest.approx(_expected(result, cell.path, unit), **near)
                assert stored.value == wanted, (table.name, plain(row.cells[1].text), unit)
                count[table.name] = count.get(table.name, 0) + 1
    assert count["inputs"] > 80 and count["results"] > 50


def _expected(result: object, path: str, unit: str) -> float:
    """Return the JSON result's number in a printed unit."""
    value = _look_up(result, json_path(path))
    if not unit:
        return value
    printed = _UNITS(_SPELT.get(unit, unit).replace("·", "*"))
    base = _UNITS.Quantity(value, printed.to_base_units().units)
    return float(base.to(printed.units).magnitude)


def _look_up(result: object, path: str) -> float:
    for step in re.findall(r"[^.\[\]]+|\[\d+\]", path):
        key = int(step[1:-1]) if step.startswith("[") else step
        result = result[key]  # type: ignore[index]
    assert isinstance(result, (int, float))
    return float(result)


def _last_digit(stored: Number) -> float:
    decimals = re.match(r"\+?0(?:\.(0+))?", stored.form)
    assert decimals is not None
    return 0.5000001 * 10.0 ** -len(decimals[1] or "")


@pytest.mark.parametrize(
    ("text", "value", "wanted"),
    [
        ("25", 25.0, "25"),
        ("−5.2\u00a0%", -5.2, "-5.2 %"),
        ("+5.2\u00a0%", 5.2, "+5.2 %"),
        ("1.5\u202f×\u202f10⁻⁸", 1.5e-8, "1.5E-08"),
        ("−226\u00a0K", -226.0, "-226 K"),
    ],
)
def test_a_workbook_shows_a_number_as_it_is_printed(text: str, value: float, wanted: str) -> None:
    """Excel's number formats (ECMA-376, part 1, 18.8.30, from memory)."""
    assert Number(value, number_format(text)).shown == wanted
