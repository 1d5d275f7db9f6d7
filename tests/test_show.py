"""The assessment as text and as JSON."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from changed import VARIANTS, in_units
from command_line import CASE, ROOT, laboratory
from hypothesis import given
from hypothesis import strategies as st

from jacketcalc.number_text import close_sum, decimals_for, fixed, percent
from jacketcalc.show.json_data import dump
from jacketcalc.show.page import WIDTH, Page, table_line, wrap
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import FORMAT, make_json, make_object

ESCAPE = re.compile(r"\x1b\[[0-9;]*m")
NUMBER = r"[+-]?\d+(?:\.\d+)?"
MACHINE = {"cycle_rate", "delivered_mass_flow", "drive_air_mass_flow", "stages", "ledger",
           "closure", "stalled"}  # fmt: skip
STAGE = {"name", "charge_temperature", "discharge_temperature", "peak_temperature",
         "mass_per_stroke", "volumetric_efficiency", "compression_work", "wall_temperature",
         "jacket"}  # fmt: skip
JACKET = {"heat", "inlet_temperature", "outlet_temperature", "back_pressure_mean",
          "back_pressure_peak", "sonic_conductance", "critical_pressure_ratio"}  # fmt: skip
ROWS = (
    "delivered air", "cycle rate", "drive air / delivered", "charge temperature",
    "discharge temperature", "peak temperature", "mass per stroke", "volumetric efficiency",
    "compression work", "wall, coldest", "wall, mean", "wall, hottest", "jacket heat",
    "exhaust at the port", "jacket inlet", "jacket vent", "back-pressure, mean",
    "back-pressure, peak", "equivalent C", "equivalent b",
)  # fmt: skip


def lines_of(text: str, head: str) -> list[str]:
    """Return the block that begins with a head."""
    blocks = [block.split("\n") for block in text.split("\n\n")]
    return next(block for block in blocks if block[0].startswith(head))


def numbers(line: str) -> list[float]:
    return [float(found) for found in re.findall(rf"(?<![\w.]){NUMBER}(?=\s|$)", line)]


@pytest.mark.parametrize("name", VARIANTS)
def test_text_keeps_to_80_columns_and_colour_adds_only_escapes(name: str) -> None:
    assessment = VARIANTS[name](laboratory())
    text = make_text(assessment)
    assert max(len(line) for line in text.split("\n")) <= WIDTH
    assert all(line == line.rstrip() for line in text.split("\n"))
    assert text.endswith("\n") and not text.endswith("\n\n")
    assert "\x1b" not in text and "nan" not in text and "inf " not in text
    coloured = make_text(assessment, color=True)
    assert "\x1b[" in coloured
    assert ESCAPE.sub("", coloured) == text
    plain = make_text(assessment, ascii_only=True)
    assert max(len(line) for line in plain.split("\n")) <= WIDTH
    if name != "letters":
        plain.encode("ascii")
        same = (re.sub("(dm|ft)3", r"\1³", plain), text.replace("°", "deg"))
        assert "".join(same[0].split()) == "".join(same[1].split())


def test_the_verdict_stands_first_and_the_next_command_last() -> None:
    found = laboratory()
    first, verdict, *_ = make_text(found).split("\n\n")
    assert first.startswith(found.case.title) and first.endswith("jacketcalc 0.1.0")
    assert " ".join(verdict.split()) == f"{found.verdict.answer.upper()}: {found.verdict.sentence}"
    last = make_text(found).rstrip("\n").split("\n")[-1]
    assert last.startswith("Next:  jacketcalc assess ")
    caution = next(note.text for note in found.notes if note.name == "caution")
    assert caution in " ".join(make_text(found).split())


def test_every_row_is_there_for_every_stage() -> None:
    text = make_text(laboratory())
    for row in ROWS[:3]:
        assert len(re.findall(rf"^{re.escape(row)} ", text, re.M)) == 1
    for row in ROWS[3:]:
        assert len(re.findall(rf"^  {re.escape(row)} ", text, re.M)) == 2, row


def test_printed_values_are_those_computed() -> None:
    found = laboratory()
    text = make_text(found)
    flow = numbers(next(line for line in text.split("\n") if line.startswith("delivered air")))
    assert flow[0] == pytest.approx(3600 * found.bare.delivered_mass_flow, rel=5e-4)
    assert flow[1] == pytest.approx(3600 * found.jacketed.delivered_mass_flow, rel=5e-4)
    assert flow[2] == pytest.approx(100 * found.change.delivered_mass_flow, abs=0.051)
    charge = numbers(next(line for line in text.split("\n") if "charge temperature" in line))
    assert charge[0] == pytest.approx(found.bare.stages[0].charge_temperature - 273.15, abs=0.051)
    assert charge[2] == pytest.approx(charge[1] - charge[0], abs=1e-9)
    inch = make_text(in_units(found, "inch-pound"))
    heat = numbers(next(line for line in inch.split("\n") if "charge temperature" in line))
    kelvin = found.bare.stages[0].charge_temperature
    assert heat[0] == pytest.approx(1.8 * kelvin - 459.67, abs=0.051)


def test_the_split_adds_up_as_printed() -> None:
    block = lines_of(make_text(laboratory()), "WHERE THE CHANGE COMES FROM")
    rows = [numbers(line) for line in block[3:]]
    assert len(rows) == 4
    for cooling, resistance, both, whole in zip(*rows, strict=True):
        assert round(cooling + resistance + both, 6) == whole


def test_the_ledger_adds_up_as_printed() -> None:
    found = laboratory()
    block = lines_of(make_text(found), "ENERGY LEDGER")
    flows = [numbers(line) for line in block[1:-3]]
    assert len(flows) == len(found.jacketed.ledger)
    for column in zip(*flows, strict=True):
        assert round(sum(column), 6) == 0.0
    assert "residual" in block[-3] and "mass" in block[-1]


def test_limits_bear_their_states_and_every_note_is_printed() -> None:
    found = laboratory()
    text = make_text(found)
    block = " ".join(" ".join(lines_of(text, "LIMITS")).split())
    for check in found.limits:
        assert f" {check.state} {check.what} " in block
    joined = " ".join(text.replace("°", "deg").split())
    for note in found.notes:
        assert note.text in joined


def test_units_stand_after_a_space_and_alone() -> None:
    for units in ("SI", "inch-pound"):
        text = make_text(in_units(laboratory(), units))
        assert not re.search(r"\d(%|°|degC|degF|K\b|kg/h|W\b)", text)
        assert not re.search(r"barg|psig|bar\(g\)", text)


def keys(value: Any) -> set[str]:
    return set(value)


def test_json_has_the_fields_of_its_format() -> None:
    found = json.loads(make_json(laboratory()))
    assert found["format"] == FORMAT == "jacketcalc-assessment-1"
    assert keys(found["case"]) == {"title", "sha256"}
    for name in ("bare", "jacketed"):
        machine = found[name]
        assert keys(machine) >= MACHINE
        assert keys(machine["closure"]) == {"energy", "mass"}
        for stage in machine["stages"]:
            assert keys(stage) >= STAGE
            assert keys(stage["wall_temperature"]) == {"min", "mean", "max"}
            assert stage["jacket"] is None if name == "bare" else keys(stage["jacket"]) >= JACKET
    assert keys(found["change"]) >= {"delivered_mass_flow", "cooling_alone", "resistance_alone"}
    assert found["conductance_ratio"] == laboratory().conductance.ratio
    assert keys(found["verdict"]) >= {"answer", "sentence"}
    assert found["verdict"]["answer"] in ("pays", "costs", "cannot tell")
    for span in found["band"].values():
        assert span["low"] <= span["value"] <= span["high"]
    assert all(keys(note) == {"name", "level", "text"} for note in found["notes"])
    wanted = {"bare", "jacketed", "other", "limits", "members", "inputs", "profiles"}
    assert keys(found["detail"]) >= wanted


def leaves(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict):
        for key, item in value.items():
            yield from leaves(item, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for item in value:
            yield from leaves(item, f"{path}[]")
    else:
        yield path, value


def test_every_number_is_finite_and_has_a_unit() -> None:
    found = json.loads(make_json(laboratory()))
    units = found.pop("units")
    for path, value in leaves(found):
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            continue
        assert math.isfinite(value)
        assert path in units or f"{path.rpartition('.')[0]}.*" in units, path
    assert units["bare.cycle_rate"] == "1/s"
    assert units["jacketed.stages[].jacket.sonic_conductance"] == "m3/(s Pa)"
    assert units["change.stages[].charge_temperature"] == "K"
    assert units["bare.ledger.*"] == "W"


def test_json_numbers_are_the_computed_ones_and_bytes_repeat() -> None:
    found = laboratory()
    text = make_json(found)
    assert text == make_json(found)
    assert text.encode("ascii").endswith(b"}\n")
    back = json.loads(text)
    assert back["jacketed"]["delivered_mass_flow"] == found.jacketed.delivered_mass_flow
    assert back["jacketed"]["ledger"] == found.jacketed.ledger
    profile = back["detail"]["profiles"]["jacketed"]["stages"][0]["pressure"]
    assert np.array_equal(profile, found.jacketed_detail.stages[0].pressure)
    assert back["detail"]["members"][1]["change"]["cycle_rate"] == (
        found.band.members[1].change.cycle_rate
    )
    assert list(back) == list(make_object(found))


def test_what_is_not_finite_becomes_null() -> None:
    found = laboratory()
    change = replace(found.change, drive_air_per_kg=float("inf"), cycle_rate=float("nan"))
    back = json.loads(make_json(replace(found, change=change)))
    assert back["change"]["drive_air_per_kg"] is None and back["change"]["cycle_rate"] is None


def test_readme_shows_what_is_printed() -> None:
    """Labels, not numbers: those move with the models."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = readme.split("```text\n")[1].split("\n```")[0].split("\n")
    real = make_text(laboratory()).split("\n")
    labels = {re.split(r"\s{2,}", line.strip())[0] for line in real}
    for line in shown:
        label = re.split(r"\s{2,}", line.strip())[0]
        if line != "..." and not re.search(r"\d", label):
            assert label in labels or label in " ".join(real), line
    assert "jacketcalc assess cases/impact_laboratory.toml" in readme
    tests = re.search(r"python (-m pytest [^\n]*)", readme)
    assert tests is not None
    assert tests[1] in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert CASE.exists()


@given(st.lists(st.floats(-1e4, 1e4), max_size=20), st.integers(0, 3))
def test_rounded_parts_add_up_to_the_rounded_whole(values: list[float], decimals: int) -> None:
    parts = close_sum(values, decimals)
    unit = 10.0**-decimals
    assert all(abs(p - v) < unit * (1 + 1e-6) for p, v in zip(parts, values, strict=True))
    assert sum(parts) == pytest.approx(sum(values), abs=0.5 * unit * (1 + 1e-6))


@given(st.text(max_size=300))
def test_no_text_is_too_long_for_the_page(text: str) -> None:
    assert all(len(line) <= WIDTH for line in wrap(text, "  note: ", "    "))
    assert all(len(line) <= WIDTH for line in table_line(f"  {text}", [("1", 9)], 60))


def test_numbers_in_print() -> None:
    assert fixed(-0.0004, 2) == "0.00"
    assert fixed(None, 2) == fixed(float("inf"), 2) == "-"
    assert percent(0.128) == "+12.8 %" and percent(-0.0004) == "0.0 %"
    assert decimals_for([0.0, None], 3) == 0
    assert decimals_for([1234.5, 2.0], 4) == 0
    assert decimals_for([0.0123], 3) == 4


def test_units_are_spelt_for_the_terminal_at_hand() -> None:
    assert Page().unit("conductance") == "dm³/(s bar)"
    assert Page(ascii=True).unit("conductance") == "dm3/(s bar)"
    assert Page(system="inch-pound").unit("temperature") == "°F"
    assert Page().prose("20 degC in 3 degrees") == "20 °C in 3 degrees"


def test_lists_of_numbers_stay_on_one_line() -> None:
    assert dump({"a": [1.5, 2], "b": {}, "c": [[1], None]}) == (
        '{\n "a": [1.5, 2],\n "b": {},\n "c": [\n  [1],\n  null\n ]\n}'
    )
