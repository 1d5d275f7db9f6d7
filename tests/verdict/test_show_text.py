"""All of an assessment as text: every row of every stage, sums that add up as printed."""

from __future__ import annotations

import re

import pytest
from changed import VARIANTS, in_units
from command_line import laboratory
from hypothesis import given
from hypothesis import strategies as st

from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.verdict import summarise
from jacketcalc.cautions import CAUTION_BRIEF
from jacketcalc.show.page import WIDTH, Page, table_line, wrap
from jacketcalc.show.text import make_text

ESCAPE = re.compile(r"\x1b\[[0-9;]*m")
NUMBER = r"[+-]?\d+(?:\.\d+)?"
ROWS = (
    "delivery", "delivery (ANR)", "cycle rate", "drive air", "drive air (ANR)",
    "specific air consumption", "temperature at start of compression", "discharge temperature",
    "peak temperature", "mass per stroke", "volumetric efficiency", "indicated work",
    "wall, coldest", "wall, mean", "wall, hottest", "jacket heat", "exhaust at the port",
    "jacket inlet", "jacket outlet", "back-pressure, mean", "back-pressure, peak", "equivalent C",
    "equivalent b",
)  # fmt: skip


def lines_of(text: str, head: str) -> list[str]:
    """Return the block that begins with a head."""
    blocks = [block.split("\n") for block in text.split("\n\n")]
    return next(block for block in blocks if block[0].startswith(head))


def numbers(line: str) -> list[float]:
    return [float(found) for found in re.findall(rf"(?<![\w.]){NUMBER}(?=\s|$)", line)]


def behind(assessment: Assessment) -> str:
    """Return what --full prints behind the first screen."""
    return make_text(assessment, full=True)[len(make_text(assessment)) + 1 :]


def charged(text: str) -> list[float]:
    """Return the row of the temperature at start of compression, whose label takes two lines."""
    first = text.index("temperature at start of\n")
    return numbers(text[first:].split("\n")[1])


@pytest.mark.parametrize("name", VARIANTS)
def test_text_keeps_to_80_columns_and_colour_adds_only_escapes(name: str) -> None:
    assessment = VARIANTS[name](laboratory())
    text = make_text(assessment, full=True)
    assert max(len(line) for line in text.split("\n")) <= WIDTH
    assert all(line == line.rstrip() for line in text.split("\n"))
    assert text.endswith("\n") and not text.endswith("\n\n")
    assert "\x1b" not in text and "nan" not in text and "inf " not in text
    coloured = make_text(assessment, full=True, color=True)
    assert "\x1b[" in coloured
    assert ESCAPE.sub("", coloured) == text
    plain = make_text(assessment, full=True, ascii_only=True)
    assert max(len(line) for line in plain.split("\n")) <= WIDTH
    if name != "letters":
        plain.encode("ascii")
        same = (re.sub("(dm|ft)3", r"\1³", plain), text.replace("°", "deg"))
        assert "".join(same[0].split()) == "".join(same[1].split())


def test_the_first_screen_stands_first_and_the_sentence_behind_it() -> None:
    found = laboratory()
    screen, whole = make_text(found), make_text(found, full=True)
    assert whole.startswith(screen)
    sentence, more, *_ = whole[len(screen) + 1 :].split("\n\n")
    told = " ".join(f"{sentence} {more}".replace("°", "deg").split())
    assert told == f"{found.verdict.sentence} {summarise(found)}"


def test_every_row_is_there_for_every_stage() -> None:
    text = behind(laboratory()).partition("WHERE THE CHANGE COMES FROM")[0]
    for row in ROWS[:6]:
        assert len(re.findall(rf"^{re.escape(row)} +[a-zA-Z1]+/[a-zA-Z]+ ", text, re.M)) == 1, row
    for row in ROWS[6:]:
        label = re.escape(row).replace("\\ ", r"\s+")  # a long label takes two lines
        assert len(re.findall(rf"^  {label} ", text, re.M)) == 2, row


def test_printed_values_are_those_computed() -> None:
    found = laboratory()
    text = behind(found)
    flow = numbers(next(line for line in text.split("\n") if line.startswith("delivery  ")))
    assert flow[0] == pytest.approx(3600 * found.bare.delivered_mass_flow, rel=5e-4)
    assert flow[1] == pytest.approx(3600 * found.jacketed.delivered_mass_flow, rel=5e-4)
    assert flow[2] == pytest.approx(100 * found.change.delivered_mass_flow, abs=0.051)
    charge = charged(text)
    assert charge[0] == pytest.approx(
        found.bare.stages[0].compression_start_temperature - 273.15, abs=0.051
    )
    assert charge[2] == pytest.approx(charge[1] - charge[0], abs=1e-9)
    heat = charged(behind(in_units(found, "inch-pound")))
    kelvin = found.bare.stages[0].compression_start_temperature
    assert heat[0] == pytest.approx(1.8 * kelvin - 459.67, abs=0.051)


def test_the_split_adds_up_as_printed() -> None:
    block = lines_of(behind(laboratory()), "WHERE THE CHANGE COMES FROM")
    rows = [numbers(line) for line in block[3:]]
    assert len(rows) == 4
    for cooling, resistance, both, whole in zip(*rows, strict=True):
        assert round(cooling + resistance + both, 6) == whole


def test_the_energy_balance_adds_up_as_printed() -> None:
    found = laboratory()
    block = lines_of(behind(found), "ENERGY BALANCE")
    flows = [numbers(line) for line in block[1:-3]]
    assert len(flows) == len(found.jacketed.energy_balance)
    for column in zip(*flows, strict=True):
        assert round(sum(column), 6) == 0.0
    assert "residual" in block[-3] and "mass" in block[-1]


def test_limits_bear_their_states_and_every_note_is_printed() -> None:
    found = laboratory()
    text = behind(found)
    block = " ".join(" ".join(lines_of(text, "LIMITS")).split())
    for check in found.limits:
        assert f" {check.state} {check.what} " in block
    joined = " ".join(text.replace("°", "deg").split())
    for note in found.notes:
        assert note.text in joined or note.name == "caution"
    assert CAUTION_BRIEF in " ".join(make_text(found).split())


def test_units_stand_after_a_space_and_alone() -> None:
    for units in ("SI", "inch-pound"):
        text = make_text(in_units(laboratory(), units), full=True)
        assert not re.search(r"\d(%|°|degC|degF|K\b|kg/h|W\b)", text)
        assert not re.search(r"barg|psig|bar\(g\)", text)


@given(st.text(max_size=300))
def test_no_text_is_too_long_for_the_page(text: str) -> None:
    assert all(len(line) <= WIDTH for line in wrap(text, "  note: ", "    "))
    assert all(len(line) <= WIDTH for line in table_line(f"  {text}", [("1", 9)], 60))


def test_units_are_spelt_for_the_terminal_at_hand() -> None:
    assert Page().unit("conductance") == "dm³/(s bar)"
    assert Page(ascii=True).unit("conductance") == "dm3/(s bar)"
    assert Page(system="inch-pound").unit("temperature") == "°F"
    assert Page().prose("20 degC in 3 degrees") == "20 °C in 3 degrees"
