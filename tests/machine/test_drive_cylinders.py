"""Two drive cylinders on one rod: what of them adds up, and what of their walls does."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from command_line import CASE
from outside_film import film

from jacketcalc import read_case
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.core.machine import pack_machine
from jacketcalc.core.run import run, solve_packed
from jacketcalc.core.solution import Solution
from jacketcalc.core.stall import force_margin, stall_pressure
from jacketcalc.designs import Design
from jacketcalc.geometry import piston_areas
from jacketcalc.inputs import Machine

BORE = 0.045
"""Of each of two, for about the drive of the shipped case [m]."""


def two() -> Machine:
    machine = read_case(str(CASE)).machine
    return replace(machine, drive=replace(machine.drive, bore=BORE, cylinders=2))


def one_of_equal_area() -> Machine:
    """The same areas, volumes and friction in one cylinder: diameters grow with the root of 2."""
    machine = two()
    d, root = machine.drive, math.sqrt(2.0)
    drive = replace(
        d, cylinders=1, bore=root * d.bore, rod_1=root * d.rod_1, rod_2=root * d.rod_2,
        dead_volume_1=2 * d.dead_volume_1, dead_volume_2=2 * d.dead_volume_2,
        friction=2 * d.friction,
    )  # fmt: skip
    return replace(machine, drive=drive)


def aside(machine: Machine, share: float = 0.0) -> Solution:
    """Solve a machine whose drive keeps a share of its heat, its body no hold on the barrels."""
    record = pack_machine(Design(machine=machine))
    record["cylinder"]["drive"] *= share
    record["stage"]["flange"] = 0.0
    return solve_packed(machine, record)


def test_areas_volumes_and_friction_add_up() -> None:
    """To what the last iteration may leave over, 2e-7 of each unknown."""
    pair, single = (aside(m) for m in (two(), one_of_equal_area()))
    assert pair.runs and single.runs
    assert pair.period == pytest.approx(single.period, rel=2e-7)
    for path in range(6):
        assert pair.carried(path) == pytest.approx(single.carried(path), rel=1e-6)
    for name in ("p", "T", "volume"):
        assert pair.whole[name] == pytest.approx(single.whole[name], rel=1e-6)


def test_static_balances_are_those_of_one_of_equal_area() -> None:
    assert piston_areas(two().drive) == pytest.approx(piston_areas(one_of_equal_area().drive))
    assert stall_pressure(two()) == pytest.approx(stall_pressure(one_of_equal_area()), rel=1e-12)
    assert force_margin(two()) == pytest.approx(force_margin(one_of_equal_area()), rel=1e-12)


def conductance(solution: Solution) -> Any:
    """h A of every volume at every instant [W/K]."""
    return np.concatenate([part["conductance"] for part in solution.parts])


def test_each_cylinder_has_its_own_wall() -> None:
    """What the gas of a chamber wets, by hand: two pistons, two covers and two barrels of the small
    bore against those of one. Hardly any heat passes, so that the gas of both is the same."""
    machine = two()
    pair, single = (aside(m, share=1e-9) for m in (machine, one_of_equal_area()))
    rods = (machine.drive.rod_1, machine.drive.rod_2)
    for chamber, rod in enumerate(rods):
        area = 2 * math.pi / 4 * (BORE**2 - rod**2)
        length = pair.whole["volume"][:, chamber] / area
        wetted = [2 * area + around * math.pi * BORE * length for around in (2.0, math.sqrt(2.0))]
        ratio = conductance(pair)[:, chamber] / conductance(single)[:, chamber]
        assert ratio == pytest.approx(wetted[0] / wetted[1], rel=1e-5)
        assert ratio.max() > 1.2


def test_each_cylinder_gives_heat_off() -> None:
    """To the room from two barrels and four covers; the coefficient by hand."""
    machine = two()
    solution = solve_packed(machine, pack_machine(Design(machine=machine)))
    wall, room, drive = float(solution.found["start"]["drive_wall"]), machine.ambient, machine.drive
    outside = BORE + 2 * drive.wall_thickness
    area = 2 * (math.pi * outside * drive.stroke + 2 * math.pi / 4 * outside**2)
    h = film(wall, room.temperature, room.pressure, outside, drive.material.emissivity)
    assert float(solution.found["drive_ambient"]) == pytest.approx(h * area, rel=0.02)


def test_a_case_says_it_and_the_balances_close() -> None:
    text = CASE.read_text("utf-8").replace(
        'bore = "63 mm +- 0.1 mm"', 'bore = "45 mm"\ncylinders = 2'
    )
    machine = read_case_text(text).machine
    assert machine.drive.cylinders == 2
    outcome = run([Design(machine=machine)])[0].outcome
    assert abs(outcome.energy_closure) < 1e-6 and abs(outcome.mass_closure) < 1e-6
    alone = run([Design(machine=read_case(str(CASE)).machine)])[0].outcome
    # Nearly the area of the one of 63 mm, so nearly its air: 2 x 45^2 = 1.02 x 63^2.
    assert outcome.drive_air_mass_flow == pytest.approx(alone.drive_air_mass_flow, rel=0.05)
