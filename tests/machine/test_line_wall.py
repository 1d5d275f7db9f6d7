"""The wall of a line between stages: its film, its balance, its limits, and why it stands still."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import fluids
import ht
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from places import CASES
from sample import MACHINE, Array

from jacketcalc.casefile.reading import read_case
from jacketcalc.core.run import read_result, solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design
from jacketcalc.inputs import Line, Machine

TUBE = Line(volume=30e-6, heat_loss=1.5, bore=4e-3, length=2.0)
"""Invented."""
STEEL = 7850.0 * 490.0
"""Heat capacity of carbon steel by volume, from memory [J/(m3 K)]."""


def lined(line: Line) -> Machine:
    """Give the sample machine a line."""
    first, second = MACHINE.stages
    return replace(MACHINE, stages=(first, replace(second, line=line)))


@cache
def running(line: Line = TUBE) -> Solution:
    solution = solve(Design(machine=lined(line)))
    assert not read_result(solution).failure
    return solution


def of_line(s: Solution, name: str) -> Array:
    """Return what the strokes note of the line, at every instant."""
    return np.concatenate([part[name][:, s.numbering.lines[1]] for part in s.parts])


def heat(s: Solution) -> Array:
    """Heat from the line's air to its wall at every instant [W]."""
    wall = float(s.found["line_wall"][1])
    return np.asarray(of_line(s, "conductance") * (of_line(s, "T") - wall))


def weights(s: Solution) -> Array:
    return np.concatenate([part["dt"] for part in s.parts])


def test_the_film_is_that_of_a_tube() -> None:
    """h A = Nu k pi L: Gnielinski 1976 by ht, 3.66 where the air rests (exact), entrance as above.

    The flow is the mean of what entered and left an instant before. Properties from CoolProp.
    """
    s, tried = running(), {"flows": 0, "rests": 0}
    apart: list[float] = []
    longer = 1 + (TUBE.bore / TUBE.length) ** (2 / 3)
    for part in s.parts:
        v = s.numbering.lines[1]
        through = 0.5 * (part["flow"][:, 3] + part["flow"][:, 4])
        for k in range(1, len(through)):
            T, p, flow = part["T"][k, v], part["p"][k, v], float(through[k - 1])
            mu, conductivity, cp = (PropsSI(name, "T", T, "P", p, "Air") for name in "VLC")
            Re, Pr = 4 * flow / (np.pi * TUBE.bore * mu), mu * cp / conductivity
            if 2300.0 < Re < 4100.0:
                continue
            nu = 3.66 if Re < 2300.0 else ht.turbulent_Gnielinski(
                Re, Pr, fluids.friction.Haaland(Re, 0.0)
            )  # fmt: skip
            tried["rests" if Re < 2300.0 else "flows"] += 1
            want = longer * nu * conductivity * np.pi * TUBE.length
            apart.append(float(part["conductance"][k, v]) / want - 1.0)
    assert min(tried.values()) > 10
    assert np.median(np.abs(apart)) < 1e-3 and np.abs(apart).max() < 1e-2


def test_its_wall_gives_to_the_surroundings_what_it_takes() -> None:
    """Mean heat from the air is what the stated conductance passes, and what the balance tells."""
    s = running()
    taken = float(heat(s) @ weights(s)) / s.period
    wall = float(s.found["line_wall"][1])
    lost = TUBE.heat_loss * (wall - s.machine.ambient.temperature)
    assert taken == pytest.approx(lost, rel=1e-4)
    told = read_result(s).outcome.energy_balance["interstage line to ambient"]
    assert told == pytest.approx(-lost, rel=1e-9)


def test_first_law_of_a_line() -> None:
    """What its air brings from the first stage and does not give its wall goes on to the second."""
    s = running()
    left = (s.enthalpy(3) - s.enthalpy(4)) / s.period
    assert left == pytest.approx(float(heat(s) @ weights(s)) / s.period, rel=1e-4)
    assert left > 1.0


def test_its_air_gives_heat_and_takes_it_back() -> None:
    """A wall between the coldest and the hottest the air gets stores heat within each cycle."""
    s = running(replace(TUBE, heat_loss=1e-3))
    flow = heat(s)
    assert flow.min() < -0.05 * flow.max() < 0.0
    mean = float(flow @ weights(s)) / s.period
    assert abs(mean) < 0.02 * float(np.abs(flow) @ weights(s)) / s.period


def test_a_line_without_surface_is_adiabatic_and_one_in_water_is_cold() -> None:
    """Limits: no film, no heat; no resistance outside, a wall at the temperature there (exact)."""
    bare = running(replace(TUBE, length=1e-9))
    assert float(np.abs(heat(bare)) @ weights(bare)) / bare.period < 1e-5
    cold = running(replace(TUBE, heat_loss=1e7))
    ambient = cold.machine.ambient.temperature
    assert float(cold.found["line_wall"][1]) == pytest.approx(ambient, abs=1e-3)


@pytest.mark.parametrize("name", ["hot", "tight"])
def test_its_wall_stands_still_within_a_cycle(name: str) -> None:
    """Why one temperature does: a steel tube of 1 mm takes up the cycle's swing of heat within 1 K.

    The swing of the air is more than ten times as large.
    """
    s = solve(Design(machine=read_case(str(CASES / f"{name}.toml")).machine))
    line = s.machine.stages[1].line
    assert line is not None and line.length > 0.0
    flow, dt = heat(s), weights(s)
    stored = np.cumsum((flow - flow @ dt / dt.sum()) * dt)
    capacity = STEEL * np.pi * (line.bore + 1e-3) * 1e-3 * line.length
    ripple = (stored.max() - stored.min()) / capacity
    air = of_line(s, "T").max() - of_line(s, "T").min()
    assert ripple < 1.0 and 10.0 * ripple < air
