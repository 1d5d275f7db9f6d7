"""Terms of the physics one by one, each against a closed form or the plain computation."""

from __future__ import annotations

import json
from typing import Any

import ht
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from passage_bench import follow, passage
from plain import plain_machine
from sample import MACHINE

from jacketcalc.core.machine import pack_machine
from jacketcalc.core.parts import wall_sizes
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design
from jacketcalc.inputs import Machine

PROBES: dict[str, Any] = json.loads(plain_machine.STORE.read_text())["probe"]
MAIN: Machine = plain_machine.read_machine()
STEPS = Resolution()


@pytest.fixture(scope="module")
def solved() -> Solution:
    """The sample machine's solution."""
    return solve(Design(machine=MACHINE))


def test_march_is_the_plain_one() -> None:
    """20 g/s at 250 K, barrel 330 K, tube and shell 285 K, through port 1 of the main case.

    Port pressure over ambient and warming on the way as the plain code integrates them, with
    CoolProp and scalar laws; the cells' own error is below 0.05 %, and the plain march ends
    within 0.02 K.
    """
    pressure, outlet = PROBES["march"]
    ambient, end = MAIN.ambient.pressure, STEPS.tube_cells + STEPS.channel_cells + 1
    found = follow(passage(MAIN), 0.02, 250.0, 285.0, ambient=ambient, barrel=330.0)
    assert found["port_pressure"] - ambient == pytest.approx(pressure - ambient, rel=5e-4)
    assert found["T0"][end] - 250.0 == pytest.approx(outlet - 250.0, rel=4e-3)


def test_passage_stores_half_its_air_at_port_pressure() -> None:
    """Where pressure falls evenly to the outlet, air stored goes with half the port's excess."""
    stage, tube = MACHINE.stages[1], MACHINE.exhaust_1.tube
    jacket = stage.jacket
    assert jacket is not None and tube is not None
    around = np.pi * (stage.bore + 2 * stage.wall_thickness + jacket.gap)
    share = (jacket.pitch - jacket.rib) / jacket.pitch
    channel = around * jacket.gap * share * jacket.length
    held = channel + np.pi / 4 * tube.bore**2 * tube.length
    first_node = 2
    stored = pack_machine(Design(machine=MACHINE))["fixed_volume"][first_node]
    assert stored - 1e-5 == pytest.approx(0.5 * held, rel=1e-9)


def test_channel_cells_lie_where_they_wind() -> None:
    """The middle of each channel cell lies its share of the winding from where that starts."""
    stage, cells = MAIN.stages[1], STEPS.channel_cells
    half = 0.5 * stage.barrel_length / STEPS.rings
    z = half * (2 * np.arange(STEPS.rings) + 1)
    middle = wall_sizes(Design(machine=MAIN))["placed"][0, :cells, : STEPS.rings] @ z
    jacket = stage.jacket
    assert jacket is not None
    share = (np.arange(cells) + 0.5) / cells
    assert middle == pytest.approx(jacket.offset + share * jacket.length, abs=half)


def test_tube_and_shell_to_the_ambient(solved: Solution) -> None:
    """Wall, natural convection and radiation in series, by ht: R_cylinder, Churchill and Chu."""
    stage, tube = MACHINE.stages[1], MACHINE.exhaust_1.tube
    jacket = stage.jacket
    assert jacket is not None and tube is not None
    surface, found = solved.found["start"]["outer"][0], solved.found["outer_ambient"][0]
    inner = stage.bore + 2 * (stage.wall_thickness + jacket.gap)
    n, m = STEPS.tube_cells, STEPS.channel_cells
    parts = (
        (range(n), tube.bore, tube.wall, tube.material, tube.length / n),
        (range(n, n + m), inner, jacket.shell_thickness, jacket.shell, jacket.length / m),
    )
    for cells, bore, wall, solid, length in parts:
        outside = bore + 2 * wall
        for cell in cells:
            film = outside_film(outside, solid.emissivity, float(surface[cell]))
            resistance = ht.R_cylinder(bore, outside, solid.conductivity, length)
            resistance += 1.0 / (film * np.pi * outside * length)
            # Properties of the film from CoolProp, as the table has them.
            assert found[cell] == pytest.approx(1.0 / resistance, rel=1e-4)


def test_head_to_the_ambient(solved: Solution) -> None:
    """Disc and rim of a head, by ht as a cylinder of the barrel's outside (Churchill and Chu)."""
    for i, stage in enumerate(MACHINE.stages):
        outside, barrel = stage.bore + 2 * stage.wall_thickness, solved.found["barrel"][i]
        area = np.pi / 4 * outside**2 + np.pi * outside * stage.head_thickness
        head = float(solved.found["start"]["head"][i])
        want = area * outside_film(outside, stage.material.emissivity, head)
        assert barrel["head_ambient"] == pytest.approx(want, rel=1e-4)


def outside_film(diameter: float, emissivity: float, surface: float) -> float:
    """Natural convection of ambient air by ht, and radiation."""
    ambient, p = MACHINE.ambient.temperature, MACHINE.ambient.pressure
    film = 0.5 * (ambient + surface)
    rho, mu, k, cp = (PropsSI(name, "T", film, "P", p, "Air") for name in "DVLC")
    grashof = 9.80665 / film * abs(ambient - surface) * diameter**3 * (rho / mu) ** 2
    free = ht.Nu_horizontal_cylinder_Churchill_Chu(mu * cp / k, grashof) * k / diameter
    radiant = emissivity * 5.670374419e-8 * (surface**2 + ambient**2) * (surface + ambient)
    return float(free + radiant)
