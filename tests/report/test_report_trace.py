"""Every number of the report comes from the JSON result: in tables, sentences and drawings.

Nothing here is compared with the program's own rounding: a printed number is looked for among
the result's numbers, converted with the units' definitions (1 bar = 100 kPa, 0 °C = 273.15 K,
BIPM SI brochure) and rounded to the digits printed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from figure_data import level_words
from report_reader import cells_of, main_report
from report_sample import found, report_of, result_of, stalled

from jacketcalc.report.figures.schematic import draw_schematic
from jacketcalc.report.figures.section import draw_section
from jacketcalc.report.figures.stage_part import solved_part
from jacketcalc.report.figures.unrolled import draw_stage
from jacketcalc.report.model import Cell, Paragraph, Table, plain
from jacketcalc.show.json_names import json_path

NAMES = ("hot", "single", "tight")
UNTRACED = {
    "results": ("Change",),
    "jacket data sheet": ("Jacket of first", "Jacket of second", "Jacket of main"),
    "split": ("Delivery", "Mass per cycle", "Cycle rate"),
    "limits": ("Margin / K",),
    "hand checks": ("Difference",),
    "grid": ("Number",),
    "verification": ("Checks", "Agree", "Own formula", "Doubtful", "Disagree"),
}
"""Columns whose numbers are made of numbers printed beside them, or count what is not a result."""
SIZES = {
    "°C": ("K", 1.0, 273.15),
    "K": ("K", 1.0, 0.0),
    "bar": ("Pa", 1e5, 0.0),
    "kg/h": ("kg/s", 1 / 3600, 0.0),
    "g/s": ("kg/s", 1e-3, 0.0),
    "W": ("W", 1.0, 0.0),
    "cm³": ("m3", 1e-6, 0.0),
    "m": ("m", 1.0, 0.0),
    "mm": ("m", 1e-3, 0.0),
}
"""Printed unit to the result's unit, its size and its zero in that unit."""
_WITH_UNIT = re.compile(r"([−-]?\d+(?:\.\d+)?)[ \u00a0](°C|bar|kg/h|g/s|cm³|K|W|mm|m)(?![\w/])")
_GEOMETRY = re.compile(r"\d+ mm|path [\d.]+ m")


def _cells(table: Table) -> Iterator[tuple[str, Cell]]:
    for row in table.rows:
        if row.group:
            continue
        for column, cell in zip(table.columns, row.cells, strict=True):
            yield plain(column.head), cell


@pytest.mark.parametrize("name", NAMES)
def test_every_number_of_a_table_has_a_place(name: str) -> None:
    """A number without a path stands only where it is made of its own row or counts."""
    for table in report_of(found(name)).tables():
        for head, cell in _cells(table):
            if cell.number is not None and not cell.path:
                assert head in UNTRACED.get(table.name, ()), (table.name, head, plain(cell.text))


def _walk(value: Any, path: str = "") -> Iterator[tuple[str, float]]:
    """Yield the result's numbers by their path in `units`; of a long row its ends and extremes."""
    if isinstance(value, dict):
        for key, item in value.items():
            star = path.rpartition(".")[2] in ("energy_balance", "closure")
            yield from _walk(item, f"{path}.{'*' if star else key}".removeprefix("."))
    elif isinstance(value, list):
        items = value
        if len(value) > 5 and all(isinstance(v, float) for v in value):
            items = [value[0], value[-1], min(value), max(value)]
        for item in items:
            yield from _walk(item, f"{path}[]")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path, float(value)


def _numbers(result: dict[str, Any]) -> dict[str, list[float]]:
    """Return the result's numbers by SI unit."""
    by_unit: dict[str, list[float]] = {}
    for path, number in _walk({k: v for k, v in result.items() if k != "units"}):
        by_unit.setdefault(result["units"].get(path, ""), []).append(number)
    for given in result["detail"]["inputs"]:
        if isinstance(given["value"], float):
            by_unit.setdefault(given["unit"], []).append(given["value"])
    return by_unit


def _strangers(text: str, numbers: dict[str, list[float]]) -> list[str]:
    """Return the numbers with a unit in a text that are not in the result."""
    strange = []
    for word in _WITH_UNIT.finditer(text):
        unit, size, zero = SIZES[word[2]]
        printed = word[1].replace("−", "-")
        half = 0.5 * 10.0 ** -len(printed.partition(".")[2]) * (1 + 1e-6)
        known = (abs((v - zero) / size - float(printed)) <= half for v in numbers.get(unit, ()))
        signless = (abs(-v / size - float(printed)) <= half for v in numbers.get(unit, ()))
        if not any(known) and not any(signless):
            strange.append(word[0])
    return strange


@pytest.mark.parametrize("name", NAMES)
def test_words_of_drawings_are_the_result(name: str) -> None:
    """Schematic and sections: no temperature, pressure or flow that is not a field.

    The scale bar and the length of the path are geometry, measured in `test_figures.py`.
    """
    assessment = found(name)
    numbers = _numbers(result_of(assessment))
    inside = [T for s in assessment.jacketed_detail.stages for T in s.wall_inside]
    levels = {**numbers, "K": [*numbers["K"], *map(float, inside)]}
    assert not _strangers(level_words(draw_schematic(assessment)), numbers)
    for i, stage in enumerate(assessment.case.machine.stages):
        for figure in (draw_section, draw_stage):
            words = _GEOMETRY.sub("", level_words(figure(solved_part(assessment, i))))
            assert not _strangers(words, levels), stage.name


def test_a_number_that_is_not_in_the_result_is_seen() -> None:
    """The check above bites: a discharge temperature that is off is a stranger.

    Off by so much that it is not by chance another temperature of the result.
    """
    assessment = found("hot")
    numbers = _numbers(result_of(assessment))
    words = level_words(draw_schematic(assessment))
    assert len(_WITH_UNIT.findall(words)) > 20
    stage = assessment.jacketed.stages[-1]
    others = np.array(numbers["K"])
    steps = (stage.discharge_temperature + 1.1 * k for k in range(3, 90))
    free = next(T for T in steps if np.abs(others - T).min() > 1.0)
    moved = replace(stage, discharge_temperature=free)
    stages = (*assessment.jacketed.stages[:-1], moved)
    wrong = replace(assessment, jacketed=replace(assessment.jacketed, stages=stages))
    assert _strangers(level_words(draw_schematic(wrong)), numbers)


@pytest.mark.parametrize("name", NAMES)
def test_sentences_are_the_result(name: str) -> None:
    """First page, captions and paragraphs up to the method, and from the results on."""
    assessment = found(name)
    report = report_of(assessment)
    numbers = _numbers(result_of(assessment))
    kelvins = numbers["K"]
    differences = [a - b for a in kelvins for b in kelvins if abs(a - b) < 400.0]
    limits = {**numbers, "K": [*kelvins, *differences]}
    texts = [report.cover.about, report.cover.why]
    texts += [line for part in report.cover.statements for line in part.lines]
    texts += [t for head, lines in report.cover.notes if head == "What to do next" for t in lines]
    for section in report.sections:
        if section.number in ("5", "12", "14", "15", "A"):
            continue
        texts += [plain(b.text) for b in section.blocks if isinstance(b, Paragraph)]
        texts += [plain(b.caption) for b in section.blocks if hasattr(b, "alt")]
    assert not [s for text in texts for s in _strangers(text, numbers)]
    warned = [t for head, lines in report.cover.notes if head == "Warnings" for t in lines]
    assert not [s for text in warned for s in _strangers(text, limits)]


def test_a_stalled_machine_has_no_numbers() -> None:
    """What a stalled machine cannot have is not printed: no table of it, no margins, no steps."""
    report = report_of(stalled())
    names = {table.name for table in report.tables()}
    assert not names & {"results", "split", "energy_balance", "water", "grid check"}
    limits = next(t for t in report.tables() if t.name == "limits")
    assert {plain(row.cells[0].text) for row in limits.rows} == {"not judged"}
    steps = " ".join(dict(report.cover.notes)["What to do next"])
    assert "lower the receiver pressure" in steps and "Dry the supply" not in steps


def _look_up(result: Any, path: str) -> Any:
    """Follow a path such as `detail.bare.stages[0].jacket.heat`; those of balances hold spaces."""
    head, mark, key = json_path(path).partition(".energy_balance.")
    for step in re.findall(r"[^.\[\]]+|\[\d+\]", head):
        result = result[int(step[1:-1])] if step.startswith("[") else result[step]
    return result["energy_balance"][key] if mark else result


def test_every_traced_number_is_the_json_result() -> None:
    """Each cell with a path holds what the JSON result holds there."""
    assessment = found("hot")
    result = result_of(assessment)
    count = 0
    for table, cell in cells_of(main_report()):
        if cell.path and cell.value is not None:
            assert _look_up(result, cell.path) == cell.value, (table.name, cell.path)
            count += 1
    assert count > 200
