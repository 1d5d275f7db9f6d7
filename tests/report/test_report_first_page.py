"""The first page: what it is, the caution, the answer, limits by themselves, then the numbers."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from report_sample import found, report_of, stalled

from jacketcalc.assessment.result import LimitCount
from jacketcalc.report.html import make_html
from jacketcalc.report.model import plain

ANSWERS = {"PAYS", "DOES NOT PAY", "CANNOT TELL"}


@pytest.mark.parametrize("name", ["hot", "single", "tight"])
def test_statements_come_in_order(name: str) -> None:
    """Order of the first screen; the answer's words stand at the head of the whole page."""
    cover = report_of(found(name)).cover
    heads = [part.head for part in cover.statements]
    assert heads[0].removesuffix(" AT THE IMPOSED RATE").partition(" / ")[0] in ANSWERS
    assert [head.partition(":")[0] for head in heads[1:]] == ["LIMITS", "WATER AND FROST", "INPUTS"]
    text = make_html(report_of(found(name)))
    wanted = ["<h1>", "class=\"about\"", "class=\"caution\"", *heads, "Main numbers", "Why.",
              "What to do next"]  # fmt: skip
    places = [text.index(words) for words in wanted]
    assert places == sorted(places)


@pytest.mark.parametrize("name", ["hot", "single", "tight"])
def test_the_answer_has_its_range_and_a_line_for_each_other_quantity(name: str) -> None:
    """The numbers are those of the assessment's own band, in per cent and kelvin."""
    assessment = found(name)
    first, second, third, *_ = report_of(assessment).cover.statements[0].lines
    band = assessment.band
    for line, label, span, size in (
        (first, "Delivery", band.delivered_mass_flow, 100.0),
        (second, "Specific air consumption", band.specific_air_consumption, 100.0),
        (third, "Hottest discharge", band.discharge_temperature, 1.0),
    ):
        assert line.startswith(label)
        numbers = [float(v.replace("−", "-")) for v in re.findall(r"[+−]?\d+\.\d", line)]
        wanted = [size * v for v in (span.value, span.low, span.high)]
        assert numbers[:3] == pytest.approx(wanted, abs=0.051)


def test_a_broken_limit_is_never_in_the_colour_of_the_answer() -> None:
    """An answer that is good stands over limits that are not: two statements, two colours."""
    assessment = found("hot")
    count = LimitCount(kept=("a",), mended=("b",), newly_broken=("c",), broken_in_both=("d", "e"))
    verdict = replace(assessment.verdict, limits=count, answer="pays", headline="PAYS")
    answer, limits, *_ = report_of(replace(assessment, verdict=verdict)).cover.statements
    assert (answer.tone, limits.tone) == ("good", "bad")
    assert limits.head == "LIMITS: 2 of 5 kept with jackets"
    assert limits.lines == (
        "Mended by the jackets: 1 (b).",
        "Newly broken by the jackets: 1 (c).",
        "Broken in both machines: 2 (d; e).",
    )


def test_table_of_main_numbers() -> None:
    """Delivery in L/min (ANR) is mass over 1.185 kg/m3 (ISO 8778, as the glossary has it)."""
    assessment = found("hot")
    table = report_of(assessment).cover.numbers
    heads = [plain(column.head) for column in table.columns]
    assert heads == ["Quantity", "Unit", "No jackets", "With jackets", "Change",
                     "Model range of the change"]  # fmt: skip
    assert 4 <= len(table.rows) <= 5
    anr = next(row for row in table.rows if plain(row.cells[1].text) == "L/min (ANR)")
    machines = (assessment.bare, assessment.jacketed)
    for cell, machine in zip(anr.cells[2:4], machines, strict=True):
        litres = machine.delivered_mass_flow / 1.185 * 1000.0 * 60.0
        assert float(plain(cell.text)) == pytest.approx(litres, abs=0.0051)


def test_a_stalled_machine_has_an_answer_and_no_change() -> None:
    cover = report_of(stalled()).cover
    assert "no change can be stated" in cover.statements[0].lines[0]
    cells = [plain(cell.text) for row in cover.numbers.rows for cell in row.cells[2:]]
    assert set(cells[:4]) == {"–"}


def test_words_of_the_report_are_the_users() -> None:
    """No jackets and with jackets, as the glossary has them, in every table and caption."""
    report = report_of(found("hot"))
    told = [plain(column.head) for table in report.tables() for column in table.columns]
    told += [plain(table.caption) for table in report.tables()]
    told += [plain(b.caption) for b in report.blocks() if hasattr(b, "alt")]
    told += [b.alt for b in report.blocks() if hasattr(b, "alt")]
    wrong = re.compile(r"\b(bare|jacketed|as stated|surroundings|band)\b", re.I)
    assert not [text for text in told if wrong.search(text)]
