"""The assessment as JSON: its fields, finite numbers with units, the same bytes again."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
from changed import VARIANTS
from command_line import laboratory

from jacketcalc.show.json_data import dump
from jacketcalc.show.to_json import FORMAT, make_json, make_object

MACHINE = {"cycle_rate", "delivered_mass_flow", "drive_air_mass_flow", "stages", "energy_balance",
           "closure", "stalled"}  # fmt: skip
STAGE = {"name", "compression_start_temperature", "discharge_temperature", "peak_temperature",
         "mass_per_stroke", "volumetric_efficiency", "indicated_work", "wall_temperature",
         "jacket"}  # fmt: skip
JACKET = {"heat", "inlet_temperature", "outlet_temperature", "back_pressure_mean",
          "back_pressure_peak", "sonic_conductance", "critical_back_pressure_ratio"}  # fmt: skip


def keys(value: Any) -> set[str]:
    return set(value)


def test_json_has_the_fields_of_its_format() -> None:
    found = json.loads(make_json(laboratory()))
    assert found["format"] == FORMAT == "jacketcalc-assessment-2"
    assert keys(found["case"]) == {"title", "sha256"}
    for name in ("no_jackets", "with_jackets"):
        machine = found[name]
        assert keys(machine) >= MACHINE
        assert keys(machine["closure"]) == {"energy", "mass"}
        for stage in machine["stages"]:
            assert keys(stage) >= STAGE
            assert keys(stage["wall_temperature"]) == {"min", "mean", "max"}
            assert (
                stage["jacket"] is None if name == "no_jackets" else keys(stage["jacket"]) >= JACKET
            )
    assert keys(found["change"]) >= {"delivered_mass_flow", "cooling_alone", "resistance_alone"}
    assert found["conductance_ratio"] == laboratory().conductance.ratio
    assert keys(found["verdict"]) >= {"answer", "sentence"}
    assert found["verdict"]["answer"] in ("pays", "does not pay", "cannot tell")
    for span in found["model_range"].values():
        assert span["low"] <= span["value"] <= span["high"]
    assert all(keys(note) == {"name", "level", "text"} for note in found["notes"])
    wanted = {"no_jackets", "with_jackets", "other", "limits", "members", "inputs", "profiles"}
    assert keys(found["detail"]) >= wanted


def test_json_begins_with_what_the_first_screen_says() -> None:
    """In the order of the screen: caution, answer, gains, limits, water, inputs, table, next."""
    found = json.loads(make_json(laboratory()))
    assert list(found)[:11] == [
        "format", "program", "case", "caution", "verdict", "gains", "limits", "water", "inputs",
        "first_table", "next",
    ]  # fmt: skip


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
    assert units["no_jackets.cycle_rate"] == "1/s"
    assert units["with_jackets.stages[].jacket.sonic_conductance"] == "m3/(s Pa)"
    assert units["change.stages[].compression_start_temperature"] == "K"
    assert units["no_jackets.energy_balance.*"] == "W"
    assert units["gains[].change.*"] == "its `unit`"
    assert [gain["unit"] for gain in found["gains"]] == ["-", "-", "K"]
    assert {row["unit"] for row in found["first_table"]} == {"kg/s", "m3/s", "-", "K", "1/s"}
    assert {row["change_unit"] for row in found["first_table"]} == {"-", "K"}


def test_json_numbers_are_the_computed_ones_and_bytes_repeat() -> None:
    found = laboratory()
    text = make_json(found)
    assert text == make_json(found)
    assert text.encode("ascii").endswith(b"}\n")
    back = json.loads(text)
    assert back["with_jackets"]["delivered_mass_flow"] == found.jacketed.delivered_mass_flow
    assert back["with_jackets"]["energy_balance"] == found.jacketed.energy_balance
    profile = back["detail"]["profiles"]["with_jackets"]["stages"][0]["pressure"]
    assert np.array_equal(profile, found.jacketed_detail.stages[0].pressure)
    assert back["detail"]["members"][1]["change"]["cycle_rate"] == (
        found.band.members[1].change.cycle_rate
    )
    assert list(back) == list(make_object(found))


def test_what_is_not_finite_becomes_null() -> None:
    found = laboratory()
    change = replace(found.change, specific_air_consumption=float("inf"), cycle_rate=float("nan"))
    back = json.loads(make_json(replace(found, change=change)))
    assert (
        back["change"]["specific_air_consumption"] is None and back["change"]["cycle_rate"] is None
    )
    idle = json.loads(make_json(VARIANTS["jacketed idles"](found)))["first_table"]
    air = next(row for row in idle if row["key"] == "specific_air_consumption")
    assert air["with_jackets"] is None and air["change"] is None
    assert air["no_jackets"] == found.bare.specific_air_consumption


def test_lists_of_numbers_stay_on_one_line() -> None:
    assert dump({"a": [1.5, 2], "b": {}, "c": [[1], None]}) == (
        '{\n "a": [1.5, 2],\n "b": {},\n "c": [\n  [1],\n  null\n ]\n}'
    )
