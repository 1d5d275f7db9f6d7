"""What a case leaves out is filled in as the template says, and said.

Expected numbers are worked out by hand from the comments of the template.
"""

from __future__ import annotations

from typing import Any

import pytest
from broken import FULL, make_removals
from case_problems import find_problems

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.inputs import Given

BAR = 1e5
CONDUCTANCE = 1e-8
"""1 dm3/(s bar) [m3/(s Pa)]."""
PISTON_AREA = 3.14159265 / 4 * 0.032**2
SECOND_VALVE = 3.14159265 / 4 * 0.014**2 / 60
"""Effective area of the second stage's suction valve [m2]."""
AROUND = 3.14159265 * (0.032 + 2 * 0.004 + 0.008)
CHANNEL = 0.008 * 0.027 * AROUND / (AROUND**2 + 0.030**2) ** 0.5

FILLED: dict[str, float | str | None] = {
    "document.owner": None,
    "document.number": None,
    "document.revision": None,
    "document.date": None,
    "document.author": None,
    "document.checker": None,
    "document.approver": None,
    "document.units": "SI",
    "judge.by": "delivery",
    "judge.no_jackets": "exhaust direct",
    "judge.discharge_limit": 423.15,
    "make.step": 0.0,
    "make.smallest_rib": 0.0,
    "make.least_turns": 0.0,
    "make.cutter_widths": None,
    "make.tube_bores": None,
    "ambient.pressure": 1.01325 * BAR,
    "ambient.film_factor": 1.0,
    "ambient.film_factor_low": 0.7,
    "ambient.film_factor_high": 2.5,
    "supply.pressure_dew_point": 276.15,
    "supply.line.b": 0.3,
    "compressor.capacity": None,
    "compressor.when_short": "rests",
    "valve.supply_path.b": 0.3,
    "valve.exhaust_path.b": 0.3,
    "valve.pause": 0.0,
    "valve.cycle_rate": None,
    "drive.friction": 60.0,
    "drive.friction_share": 0.05,
    "drive.cylinders": None,
    "stage.first.barrel_length": 0.120 * 1.05 + 0.0384,
    "stage.first.head_thickness": 0.010,
    "stage.first.piston_length": 1.2 * 0.032,
    "stage.first.seal_friction": 0.03,
    "stage.first.flange_conductance": 1.0,
    # A nozzle of 5.020 mm2 passes 1 dm3/(s bar): ISO 6358-1, computed.
    "stage.first.inlet.C": PISTON_AREA / 60 / 5.020e-6 * CONDUCTANCE,
    "stage.first.inlet.b": 0.3,
    "stage.first.inlet.cracking_pressure": 0.05 * BAR,
    # 2 and 1 dm3/(s bar), of 5.020 mm2 each; the head plate and half a bore.
    "stage.first.inlet.port_bore": (4 / 3.14159265 * 2 * 2 * 5.020e-6) ** 0.5,
    "stage.first.inlet.port_length": 0.010 + 0.016,
    "stage.first.delivery.C": PISTON_AREA / 120 / 5.020e-6 * CONDUCTANCE,
    "stage.first.delivery.b": 0.3,
    "stage.first.delivery.cracking_pressure": 0.1 * BAR,
    "stage.first.delivery.port_bore": (4 / 3.14159265 * 2 * 5.020e-6) ** 0.5,
    "stage.first.delivery.port_length": 0.010 + 0.016,
    "stage.first.jacket.starts": 1.0,
    # A single start asks for no feed and needs no gallery.
    "stage.first.jacket.feed": None,
    "stage.first.jacket.gallery_width": None,
    "stage.first.jacket.inlet_bore": 0.012,
    "stage.first.jacket.offset": 0.0,
    "stage.first.jacket.inlet_at": "head",
    "stage.first.jacket.tip_clearance": 1e-4,
    "stage.first.jacket.roughness": 3e-6,
    "stage.first.jacket.inlet_loss": 0.5,
    "stage.first.jacket.outlet_loss": 0.5,
    "stage.first.jacket.outlet_bore": (4 / 3.14159265 * 1.5 * CHANNEL) ** 0.5,
    "stage.second.line.heat_loss": 0.1,
    "stage.second.line.bore": (4 / 3.14159265 * 4 * SECOND_VALVE) ** 0.5,
    "stage.second.line.length": 15e-6 / (4 * SECOND_VALVE),
    "stage.second.jacket.offset": 0.0,
    "receiver.volume": None,
    "receiver.from": 1.01325 * BAR,
    "receiver.material": "carbon steel",
    "receiver.diameter": (4 * 0.050 / 6 / 3.14159265) ** (1 / 3),
    "receiver.surface": 4 * 0.050 / 0.220 + 3.14159265 / 2 * 0.220**2,
    "receiver.wall_mass": 1.2 * 50 * 300 / 200,
    "receiver.cooled_by": "air",
    # Nothing is bathed.
    "receiver.bath_temperature": None,
    "exhaust.port_1.to": "atmosphere",
    "exhaust.port_1.silencer.b": 0.3,
    "exhaust.port_2.to": "atmosphere",
    "exhaust.port_2.tube.roughness": 2e-6,
    "exhaust.port_2.tube.fitting_loss": 1.5,
    "models.jacket": "nominal",
    "models.cylinder": "gas spring",
    "models.mixing": 0.25,
    "models.in_cylinder_factor": 1.0,
    "models.jacket_factor": 1.0,
    "materials.my_steel.emissivity": 0.8,
    "materials.my_steel.lowest": 233.15,
    "materials.my_steel.highest": 373.15,
    "materials.my_steel.density": 7850.0,
    "materials.my_steel.specific_heat": 480.0,
}
"""Entry to what fills it in [SI], None where nothing does."""

STATED = {given.path: given for given in read_case_text(FULL).given}
REMOVALS = dict(make_removals())


def _where_from(given: Given) -> tuple[Any, ...]:
    return given.value, given.text, given.tolerance, given.assumed


def test_every_entry_that_need_not_stand_is_expected() -> None:
    words = {path for path in REMOVALS if path.endswith((".source", ".reference"))}
    assert set(REMOVALS) - words == set(FILLED)


@pytest.mark.parametrize("path", FILLED)
def test_what_is_left_out_is_filled_in_as_the_template_says(path: str) -> None:
    assert find_problems(REMOVALS[path]) == []
    found = {given.path: given for given in read_case_text(REMOVALS[path]).given}
    filled = found.pop(path, None)
    expected = FILLED[path]
    if expected is None:
        assert filled is None
    else:
        assert filled is not None and filled.assumed and filled.source == "assumed"
        if isinstance(expected, str):
            assert filled.value == expected
        else:
            assert filled.value == pytest.approx(expected, rel=5e-4, abs=1e-12)
    for key, given in found.items():
        if (path, key) == ("exhaust.port_1.to", "stage.second.jacket.inlet_bore"):
            continue  # That jacket has lost its tube.
        stated = STATED[key]
        assert (given.text, given.assumed) == (stated.text, stated.assumed)
        assert given.value == stated.value
    assert set(found) == set(STATED) - {path}


@pytest.mark.parametrize("path", [path for path in REMOVALS if path not in FILLED])
def test_what_says_where_numbers_are_from_may_stay_away_where_the_table_above_says_it(
    path: str,
) -> None:
    table, _, _ = path.rpartition(".")
    assert find_problems(REMOVALS[path]) == []
    found = {given.path: given for given in read_case_text(REMOVALS[path]).given}
    own = [given for given in found.values() if given.path.rpartition(".")[0] == table]
    assert {given.reference for given in own} == {""}
    above = STATED[
        "ambient.temperature" if table == "ambient" else f"{table.rpartition('.')[0]}.bore"
    ]
    for given in own:
        assert given.source == ("assumed" if given.assumed else above.source), given.path
    assert {k: _where_from(g) for k, g in found.items()} == {
        k: _where_from(g) for k, g in STATED.items()
    }
