"""What flows over a barrel in place of still air, and what cools a line beside the surroundings.

Watts are worked out by hand from areas, coefficients and the temperatures that were found.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from command_line import CASE

from jacketcalc import read_case
from jacketcalc.core.read_outcome import read_outcome
from jacketcalc.core.run import solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design, without_jackets
from jacketcalc.inputs import Coolant, Machine, Outside

SIGMA = 5.670374419e-8
BLOWN, BATHED, COLD = 60.0, 500.0, 283.15


def bare() -> Machine:
    return without_jackets(read_case(str(CASE)).machine, tubes=False)


def with_outside(outside: Outside | None) -> Machine:
    machine = bare()
    stages = tuple(replace(stage, outside=outside) for stage in machine.stages)
    return replace(machine, stages=stages)


def with_coolant(coolant: Coolant | None, **line: float) -> Machine:
    machine = bare()
    first, second = machine.stages
    assert second.line is not None
    changed = replace(second.line, coolant=coolant, **line)
    return replace(machine, stages=(first, replace(second, line=changed)))


@cache
def solved(name: str) -> Solution:
    machine = {
        "still": lambda: with_outside(None),
        "blown": lambda: with_outside(Outside(blown=BLOWN)),
        "bathed": lambda: with_outside(Outside(bathed=BATHED, bath_temperature=COLD)),
        "flooded": lambda: with_outside(Outside(bathed=1e7, bath_temperature=COLD)),
        "cooled": lambda: with_coolant(Coolant(conductance=30.0, temperature=263.15)),
    }[name]()
    return solve(Design(machine=machine))


@pytest.mark.parametrize("name", ["blown", "bathed", "flooded", "cooled"])
def test_every_watt_is_accounted_for(name: str) -> None:
    s = solved(name)
    assert s.runs and abs(read_outcome(s).energy_closure) < 1e-4


def test_a_bath_takes_coefficient_times_surface_times_difference() -> None:
    s = solved("bathed")
    balance = read_outcome(s).energy_balance
    for i, stage in enumerate(s.machine.stages):
        outside = s.found["barrel"][i]["outside"][: s.rings]
        ring = np.pi * (stage.bore + 2 * stage.wall_thickness) * stage.barrel_length / s.rings
        taken = BATHED * ring * float((outside - COLD).sum())
        assert -balance[f"barrel of {stage.name} to ambient"] == pytest.approx(taken, rel=1e-6)
        assert taken > 0.0


def test_a_barrel_in_a_torrent_has_its_temperature() -> None:
    s = solved("flooded")
    for i in range(2):
        assert s.found["barrel"][i]["outside"][: s.rings] == pytest.approx(COLD, abs=0.05)


def test_a_blown_barrel_and_head_lose_heat_by_stream_and_radiation() -> None:
    s = solved("blown")
    balance, ambient = read_outcome(s).energy_balance, s.machine.ambient.temperature

    def coefficient(T: np.ndarray, emissivity: float) -> np.ndarray:
        return BLOWN + emissivity * SIGMA * (T**4 - ambient**4) / (T - ambient)

    for i, stage in enumerate(s.machine.stages):
        barrel, across = s.found["barrel"][i], stage.bore + 2 * stage.wall_thickness
        T = barrel["outside"][: s.rings]
        ring = np.pi * across * stage.barrel_length / s.rings
        lost = float((coefficient(T, stage.material.emissivity) * (T - ambient)).sum() * ring)
        told = -balance[f"barrel of {stage.name} to ambient"]
        # Radiation is taken at the surface of the iteration before.
        assert told == pytest.approx(lost, rel=1e-4)
        head = float(barrel["head"])
        plate = np.pi / 4 * across**2 + np.pi * across * stage.head_thickness
        lost = float(coefficient(np.array(head), stage.material.emissivity)) * plate
        told = -balance[f"head of {stage.name} to ambient"]
        assert told == pytest.approx(lost * (head - ambient), rel=1e-4)


def test_more_flow_outside_is_cooler_inside() -> None:
    walls = [float(solved(name).found["barrel"][0]["inside"][: solved(name).rings].mean())
             for name in ("still", "blown", "bathed", "flooded")]  # fmt: skip
    assert walls == sorted(walls, reverse=True) and walls[0] - walls[-1] > 20.0


def test_nothing_that_flows_is_still_air_to_the_bit() -> None:
    nothing = solve(Design(machine=with_outside(Outside())))
    assert nothing.found.tobytes() == solved("still").found.tobytes()


def test_a_coolant_at_room_temperature_is_a_larger_heat_loss() -> None:
    ambient = bare().ambient.temperature
    one, two = (
        read_outcome(solve(Design(machine=machine))).delivered_mass_flow
        for machine in (
            with_coolant(Coolant(conductance=6.0, temperature=ambient)),
            with_coolant(None, heat_loss=20.0),
        )
    )
    assert one == pytest.approx(two, rel=1e-9)


def test_a_line_loses_to_both_what_its_wall_stands_above_them() -> None:
    """Loss to the surroundings, 14 W/K, and to the coolant, 30 W/K, both from the line's wall."""
    s = solved("cooled")
    wall = float(s.found["line_wall"][1])
    ambient = s.machine.ambient.temperature
    lost = 14.0 * (wall - ambient) + 30.0 * (wall - 263.15)
    told = -read_outcome(s).energy_balance["interstage line to ambient"]
    assert told == pytest.approx(lost, rel=1e-6)


def test_a_strong_coolant_brings_the_line_to_its_temperature() -> None:
    """A line whose air meets it with nothing between."""
    machine = with_coolant(Coolant(conductance=1e4, temperature=270.0), length=0.0)
    found = read_outcome(solve(Design(machine=machine)))
    assert found.stages[1].suction_temperature == pytest.approx(270.0, abs=0.2)
