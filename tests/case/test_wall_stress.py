"""Hoop stress against worked examples, and what `check` says of a wall that cannot be meant."""

from __future__ import annotations

import pytest
from broken import FULL

from jacketcalc.casefile.describe import list_notes
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.inputs import Case
from jacketcalc.materials import MATERIALS
from jacketcalc.show.case_text import describe_case
from jacketcalc.wall_stress import (
    delivery_pressure,
    lame_stress,
    list_walls,
    overstressed,
    thin_wall_stress,
)

PSI, INCH = 6894.757, 0.0254


def case_with(**entries: str) -> Case:
    case = read_case_text(FULL)
    for path, text in entries.items():
        case = set_value(case, path.replace("__", "."), text)
    return case


def test_thin_wall_is_the_worked_one() -> None:
    """Gere, Mechanics of Materials, 7th ed., problem 8.3-1: a diver's bottle of radius 3.5 in.

    At 1600 psi a wall of 0.320 in carries 17 500 psi.
    """
    found = thin_wall_stress(1600 * PSI, 7.0 * INCH, 0.320 * INCH)
    assert found / PSI == pytest.approx(17_500, abs=0.5)


@pytest.mark.parametrize(
    ("inner", "outer", "inside", "outside", "stress"),
    [
        # Course sheet "Thin and thick cylinder", T2: a jack of 13.8 MPa, 53.03 mm to 75 mm.
        (53.03, 75.0, 13.8, 0.0, 41.4),
        # Hearn, Mechanics of Materials 1, example 10.1: 60 MN/m2 inside, 30 MN/m2 outside.
        (100.0, 150.0, 60.0, 30.0, 48.0),
        # Worked question on diameters 80 and 120 mm, 120 and 40 N/mm2 (expertsmind 30129029).
        (40.0, 60.0, 120.0, 40.0, 168.0),
    ],
)
def test_thick_walls_are_the_worked_ones(
    inner: float, outer: float, inside: float, outside: float, stress: float
) -> None:
    """Equal pressure on both sides adds itself as a pressure, so that the difference counts."""
    found = lame_stress((inside - outside) * 1e6, 2e-3 * inner, 1e-3 * (outer - inner))
    assert found / 1e6 - outside == pytest.approx(stress, abs=0.05)


def test_a_wall_of_half_a_millimetre_is_noted() -> None:
    """250 bar above ambient in 18 mm over twice 0.5 mm are 450 MPa, by hand."""
    case = case_with(
        **{"stage.second.bore": "18 mm", "stage.second.wall_thickness": "0.5 mm",
           "stage.second.material": "stainless 304", "receiver.pressure": "249.5 bar(g)",
           "stage.second.delivery.cracking_pressure": "0.5 bar",
           "stage.second.jacket.gap": "8 mm"}
    )  # fmt: skip
    (wall,) = overstressed(case.machine)
    assert wall.stress == pytest.approx(450e6, rel=1e-6)
    (note,) = [n for n in list_notes(case) if "hoop stress" in n]
    for words in ("450 MPa", "250 bar", "thin-wall formula p d / (2 t)", "stainless 304",
                  "137 MPa to 207 MPa", "stage.second.wall_thickness", "decimal point",
                  "not checked"):  # fmt: skip
        assert words in note
    shown = describe_case(case)
    assert "sound" not in shown
    assert shown.isascii()
    spoken = " ".join(describe_case(set_value(case, "document.units", "inch-pound")).split())
    assert "65267 psi" in spoken and "MPa" not in spoken


@pytest.mark.parametrize("material", [name for name, m in MATERIALS.items() if m.kind == "metal"])
def test_every_metal_has_a_range_that_a_slip_passes(material: str) -> None:
    """A tenth of the wall meant: of these metals none is drawn for ten times this stress."""
    case = case_with(**{"stage.second.material": material, "stage.second.wall_thickness": "0.3 mm"})
    assert [w.key for w in overstressed(case.machine)] == ["stage.second.wall_thickness"]


def test_a_metal_of_the_case_is_compared_with_a_strong_steel() -> None:
    case = case_with(**{"stage.second.wall_thickness": "0.4 mm"})
    assert case.machine.stages[1].material.name not in MATERIALS
    (wall,) = overstressed(case.machine)
    assert wall.compared_with == "alloy steel 4140"


def test_each_kind_of_wall_is_looked_at() -> None:
    case = case_with(
        **{"drive.wall_thickness": "0.4 mm", "exhaust.port_1.tube.wall": "0.2 mm",
           "stage.first.jacket.shell_thickness": "0.4 mm"}
    )  # fmt: skip
    assert {w.key for w in overstressed(case.machine)} == {
        "drive.wall_thickness", "exhaust.port_1.tube.wall", "stage.first.jacket.shell_thickness",
    }  # fmt: skip
    assert overstressed(read_case_text(FULL).machine) == []
    assert all(wall.stress > 0 for wall in list_walls(case.machine))


def test_pressure_between_stages_follows_swept_volumes() -> None:
    """By hand: 8.013 bar times (32 / 14) squared is 41.9 bar."""
    machine = read_case_text(FULL).machine
    first, high = machine.stages
    assert (first.bore, high.bore) == (0.032, 0.014)
    found = delivery_pressure(machine, first)
    assert found == pytest.approx(machine.supply.pressure * 5.2245, rel=1e-4)
    assert delivery_pressure(machine, high) > machine.receiver_pressure


def test_check_says_that_the_design_is_not_checked() -> None:
    shown = " ".join(describe_case(read_case_text(FULL)).split())
    assert "consistent. Nothing was computed; the design was not checked." in shown
    assert "local codes" in shown and "licensed people" in shown
    assert "sound" not in shown


def test_an_imposed_rate_is_explained() -> None:
    case = case_with(**{"valve.cycle_rate": "0.8 1/s"})
    (note,) = [n for n in list_notes(case) if "imposed" in n]
    assert "costs no delivery" in note
