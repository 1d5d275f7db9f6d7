"""Every cell of every table is the same on the page, in the PDF and in the workbook.

The three files are read back by libraries that know nothing of the package (html.parser,
pdfplumber, openpyxl); numbers are brought to SI by Pint's own table of units and compared with
the JSON result.
"""

from __future__ import annotations

import io
import re
from functools import cache

import openpyxl
import pint
import pytest
from report_sample import found, result_of
from report_whole import whole_book, whole_page, whole_pdf, whole_report
from table_cells import Number, Rows, book_tables, page_tables, pdf_tables, squeeze

from jacketcalc.report.model import plain
from jacketcalc.report.xlsx import make_xlsx, number_format
from jacketcalc.show.json_names import json_path

_UNITS = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
_SPELT = {"°C": "degC", "dm³/(s·bar)": "dm**3/(s*bar)", "%": "percent"}
"""How Pint spells what it does not read as printed."""
_WITHOUT = ("Change",)
"""Columns whose numbers bear another unit than their row's."""
_CLOSED = ("results", "energy_balance", "grid check", "limits", "pressure budget", "split")
"""Tables with numbers that are printed as sums or differences of printed numbers: the workbook's
own can differ from those in the last digit."""


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
    names = [table.name for table in whole_report().tables()]
    for name, table, sheet in zip(names, page(), sheets, strict=True):
        assert len(table) == len(sheet), table[0]
        for row, cells in zip(table, sheet, strict=True):
            wanted = [squeeze(cell) for cell in row] + [""] * (len(cells) - len(row))
            for cell, printed in zip(cells, wanted, strict=True):
                close = name in _CLOSED and isinstance(cell, Number)
                same = seen(cell) == printed
                assert same or (close and _within_a_digit(seen(cell), printed)), (name, row)
            count += len(cells)
    assert count > 2000


def test_the_pdf_shows_every_cell_of_the_page() -> None:
    """Typst tags no empty cell: what stands in a row is compared in its order."""
    for table, printed in zip(page(), pdf_tables(whole_pdf()), strict=True):
        rows = [[squeeze(cell) for cell in row if squeeze(cell)] for row in table]
        other = [[squeeze(cell) for cell in row if squeeze(cell)] for row in printed]
        assert [row for row in other if row] == [row for row in rows if row]


def _within_a_digit(one: str, other: str) -> bool:
    """Return whether two printed numbers differ by one in their last digit at most."""
    numbers = [re.match(r"[+-]?\d+(?:\.(\d+))?", text) for text in (one, other)]
    first, second = numbers
    assert first is not None and second is not None, (one, other)
    step = 10.0 ** -len(first[1] or "")
    return abs(float(first[0]) - float(second[0])) < 1.5 * step and (
        one[first.end() :] == other[second.end() :]
    )


def test_stored_numbers_of_the_result_have_all_their_digits() -> None:
    """Read back in SI by Pint they are the JSON result's numbers to 1e-9, not rounded ones."""
    result = result_of(found("hot"))
    count = 0
    for table, sheet in zip(whole_report().tables(), book_tables(whole_book()), strict=True):
        heads = [plain(column.head) for column in table.columns]
        if table.name not in ("inputs", "results", "jacket data sheet"):
            continue
        for row, cells in zip(table.rows, sheet[1:], strict=True):
            for cell, stored, head in zip(row.cells, cells, heads, strict=False):
                if isinstance(stored, Number) and cell.path and head not in _WITHOUT:
                    unit = str(cells[heads.index("Unit")])
                    value = stored.value * (100.0 if "%" in stored.form else 1.0)
                    wanted = _expected(result, cell.path, unit)
                    assert value == pytest.approx(wanted, rel=1e-9, abs=1e-12), (head, unit)
                    count += 1
    assert count > 150


def test_a_sheet_has_filters_a_page_and_the_caution() -> None:
    """Read by openpyxl: paper 9 is A4 and 1 letter (ECMA-376 part 1, 18.3.1.63, from memory)."""
    for data, paper in ((whole_book(), 9), (make_xlsx(whole_report(), "us-letter"), 1)):
        book = openpyxl.load_workbook(io.BytesIO(data))
        assert "can ignite" in str(book.properties.description)
        for sheet, table in zip(book.worksheets[1:], whole_report().tables(), strict=True):
            assert int(sheet.page_setup.paperSize) == paper
            # One page wide is what a sheet without the attribute has; 0 high is as many as needed.
            assert sheet.page_setup.fitToWidth in (None, 1) and sheet.page_setup.fitToHeight == 0
            assert sheet.sheet_properties.pageSetUpPr.fitToPage
            assert sheet.print_title_rows == "$1:$3" and sheet.freeze_panes == "B4"
            assert "air can kill" in sheet.oddFooter.center.text
            wide = sheet.page_setup.orientation == "landscape"
            assert wide == (len(table.columns) >= 6)
            if len(table.rows) >= 3:
                last = openpyxl.utils.get_column_letter(len(table.columns))
                assert sheet.auto_filter.ref == f"A3:{last}{3 + len(table.rows)}"


def test_stored_numbers_in_their_units_are_the_result() -> None:
    """Number times unit, by Pint, is the JSON result's number in SI, to the digits printed."""
    result = result_of(found("hot"))
    count: dict[str, int] = {}
    for table, sheet in zip(whole_report().tables(), book_tables(whole_book()), strict=True):
        heads = [plain(column.head) for column in table.columns]
        if "Unit" not in heads or table.name in ("grid check", "summary"):
            continue
        for row, cells in zip(table.rows, sheet[1:], strict=True):
            for cell, stored, head in zip(row.cells, cells, heads, strict=False):
                if not isinstance(stored, Number) or not cell.path or head in _WITHOUT:
                    continue
                unit = str(cells[heads.index("Unit")])
                # Inputs are printed to four significant digits at least, without idle zeros.
                near = {"rel": 5e-4} if table.name == "inputs" else {"abs": _last_digit(stored)}
                wanted = pytest.approx(_expected(result, cell.path, unit), **near)
                value = stored.value * (100.0 if "%" in stored.form else 1.0)
                assert value == wanted, (table.name, plain(row.cells[1].text), unit)
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
        ("−5.2\u00a0%", -0.052, "-5.2 %"),
        ("+5.2\u00a0%", 0.052, "+5.2 %"),
        ("1.5\u202f×\u202f10⁻⁸", 1.5e-8, "1.5E-08"),
        ("−226\u00a0K", -226.0, "-226 K"),
    ],
)
def test_a_workbook_shows_a_number_as_it_is_printed(text: str, value: float, wanted: str) -> None:
    """Excel's number formats (ECMA-376, part 1, 18.8.30, from memory)."""
    assert Number(value, number_format(text)).shown == wanted
