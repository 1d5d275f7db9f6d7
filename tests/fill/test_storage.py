"""What walls store: weights by hand, walls without time stay, the drive's wall cools by itself."""

from __future__ import annotations

import contextlib
import math
from dataclasses import replace

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fill_sample import CASE, COARSE
from ht import Nu_horizontal_cylinder_Churchill_Chu
from scipy.integrate import solve_ivp

from jacketcalc.arrays import Array
from jacketcalc.designs import Design
from jacketcalc.fill.machine_step import MachineStep, NoCycleError
from jacketcalc.fill.pause import pause_machine

MACHINE = CASE.machine
STEEL, POM, PU, ALUMINIUM = 7850 * 486.0, 1410 * 1470.0, 1200 * 1800.0, 2700 * 896.0
"""Density times specific heat, handbook values from memory [J/(m3 K)]."""


def new_step(machine: object = MACHINE) -> MachineStep:
    return MachineStep(Design(machine=machine), COARSE)  # type: ignore[arg-type]


def started(step: MachineStep) -> Array:
    """A cold machine; what a broken balance leaves unbalanced is looked at all the same."""
    with contextlib.suppress(NoCycleError):
        return step.begin(150e5)
    return step.state()


def test_heat_capacities_by_hand() -> None:
    """Sizes as the shipped case types them, in mm; barrel 0.180 (1 + clearance) + piston."""
    s = new_step().storage
    piston, barrel = 1.2 * 21e-3, 0.180 * 1.06 + 1.2 * 21e-3
    rings = COARSE.rings * s["ring"][0]
    assert rings == pytest.approx(STEEL * math.pi / 4 * (37e-3**2 - 21e-3**2) * barrel, rel=1e-3)
    assert s["head"][0] == pytest.approx(STEEL * math.pi / 4 * 37e-3**2 * 10e-3, rel=1e-3)
    assert s["crown"][0] == pytest.approx(STEEL * math.pi / 4 * 21e-3**2 * piston, rel=1e-3)
    # Wall, and two covers of five times its thickness: judgement of this project.
    metal = math.pi / 4 * (69e-3**2 - 63e-3**2) * 0.180 + math.pi / 4 * 69e-3**2 * 2 * 15e-3
    assert s["drive"] == pytest.approx(ALUMINIUM * metal, rel=1e-3)
    # Port 1: tube of 0.4 m, 9 by 12 mm, then the shell of 165 mm round 31 + 2 x 3 mm.
    tube = s["outer"][0, : COARSE.tube_cells].sum()
    assert tube == pytest.approx(PU * math.pi / 4 * (12e-3**2 - 9e-3**2) * 0.4, rel=1e-3)
    shell = s["outer"][0, COARSE.tube_cells :].sum()
    assert shell == pytest.approx(POM * math.pi / 4 * (45e-3**2 - 37e-3**2) * 0.165, rel=1e-3)
    # The line's tube: its bore and length are rules; a wall of a quarter of the bore.
    line = MACHINE.stages[1].line
    assert line is not None
    wall = math.pi / 4 * (1.5**2 - 1.0) * line.bore**2 * line.length
    assert s["line"][1] == pytest.approx(STEEL * wall, rel=1e-9)


GROUPS = {
    "rings": lambda step: step.found["barrel"]["middle"][:2, : COARSE.rings],
    "head": lambda step: step.found["start"]["head"][:2],
    "crown": lambda step: step.found["start"]["crown"][:2],
    "line": lambda step: step.found["start"]["line_wall"][1:2],
    "drive": lambda step: step.found["start"]["drive_wall"],
    "outer": lambda step: step.found["start"]["outer"][
        :2, : COARSE.tube_cells + COARSE.channel_cells
    ],
}
HOT = 350.0


@pytest.mark.parametrize("group", GROUPS)
def test_a_wall_that_is_given_no_time_stays_as_hot_as_it_was(group: str) -> None:
    step = new_step()
    state = started(step)
    walls = len(step.row.capacities(step.storage))
    state[:walls] = HOT
    with contextlib.suppress(NoCycleError):
        step.solve(state, 1e-3, 150e5, 1.0)
    assert np.abs(np.asarray(GROUPS[group](step)) - HOT).max() < 0.05


def test_a_line_that_is_given_no_time_holds_what_it_held() -> None:
    step = new_step()
    state = started(step)
    line = step.numbering.lines[1]
    held = float(step.storage["before"]["mass"][line])
    step.row.mass(state)[line] = held
    step.row.energy(state)[line] = step.storage["before"]["energy"][line]
    with contextlib.suppress(NoCycleError):
        step.solve(state, 1e-3, 150e5, 1.0)
    found = float(step.found["start"]["mass"][line])
    assert found == pytest.approx(held, rel=1e-2)
    # Running for ever it fills to several times the supply's pressure.
    step.solve(state, 1e9, 150e5, 2.0)
    assert float(step.found["start"]["mass"][line]) > 2.0 * held


def cooled(T0: float, length: float, capacity: float) -> float:
    """The drive's wall alone in still air, by a library of differential equations and CoolProp.

    Its outside: a cylinder 69 mm wide and 180 mm long with both ends, emissivity 0.1.
    """
    around, D = MACHINE.ambient.temperature, 69e-3
    area = math.pi * D * 0.180 + math.pi / 2 * D**2

    def slope(_: float, y: Array) -> list[float]:
        T = float(y[0])
        film = 0.5 * (T + around)
        get = lambda what: PropsSI(what, "T", film, "P", 101300.0, "Air")  # noqa: E731
        Gr = 9.80665 / film * abs(T - around) * D**3 * (get("D") / get("V")) ** 2
        h = Nu_horizontal_cylinder_Churchill_Chu(get("PRANDTL"), Gr) * get("L") / D
        h += 0.1 * 5.670374419e-8 * (T**2 + around**2) * (T + around)
        return [-h * area * (T - around) / capacity]

    return float(solve_ivp(slope, (0.0, length), [T0], rtol=1e-8).y[0, -1])


def test_the_drive_cools_in_a_pause_as_an_independent_computation_says() -> None:
    """Its flanges carry nothing here, so that it cools alone."""
    apart = tuple(replace(stage, flange_conductance=1e-9) for stage in MACHINE.stages)
    step = new_step(replace(MACHINE, stages=apart))
    state = step.begin(50e5)
    at = len(step.row.capacities(step.storage)) - 2 * (COARSE.tube_cells + COARSE.channel_cells) - 1
    state[at] = 340.0
    after = pause_machine(step, state, 1800.0)
    assert after[at] == pytest.approx(cooled(340.0, 1800.0, float(step.storage["drive"])), abs=0.1)
    assert 305.0 < after[at] < 335.0
    finer = pause_machine(step, state, 1800.0, steps=24)
    assert np.abs(finer - after)[: at + 1].max() < 0.1


def test_a_pause_without_end_leaves_all_at_the_surroundings_and_contents_as_they_are() -> None:
    step = new_step()
    state = step.begin(50e5)
    capacities = step.row.capacities(step.storage)
    walls, followed = len(capacities), capacities > 0.0
    hot = state.copy()
    hot[:walls] += 60.0
    after = pause_machine(step, hot, 1e6)
    assert np.abs(after[:walls] - MACHINE.ambient.temperature)[followed].max() < 0.05
    assert (after[walls:] == state[walls:]).all()
    assert (pause_machine(step, hot, 0.0) == hot).all()
