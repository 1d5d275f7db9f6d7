"""Terms of the strokes and the drive, against closed forms and the plain computation.

The companion of `test_physical_terms.py`: what `tests/mutation` breaks, a test must notice.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from plain import plain_machine
from sample import MACHINE, Array, iso, single
from stroke_bench import open_curves, unknowns_of

from jacketcalc.core.machine import number_volumes
from jacketcalc.core.parts import StrokeParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design
from jacketcalc.inputs import CheckValve, Machine

PROBES: dict[str, Any] = json.loads(plain_machine.STORE.read_text())["probe"]
MAIN: Machine = plain_machine.read_machine()


@cache
def running() -> Solution:
    """The sample machine as it runs."""
    return solve(Design(machine=MACHINE))


def test_two_cycles_are_the_plain_ones() -> None:
    """Two cycles of the bare main case with given walls, from the plain code's start.

    Times of the strokes, then mass and temperature of drive chambers, stages and line, at twice
    the usual steps. Steps as usual are held to 0.5 % of the plain code; a third of that here.
    """
    found = two_cycles(plain_machine.design(MAIN, "bare straight"), Resolution().scaled(2.0))
    assert found == pytest.approx(PROBES["strokes"], rel=1.6e-3)


def two_cycles(m: Machine, steps: Resolution) -> Array:
    """Run strokes 1, 2, 1, 2 as `plain_machine.probe_strokes` does."""
    parts, numbering, ambient = StrokeParts(Design(machine=m), steps), number_volumes(m), m.ambient
    line, area = numbering.lines[1], [np.pi / 4 * stage.bore**2 for stage in m.stages]
    p = np.full(numbering.count, 1.02 * ambient.pressure)
    p[1] = 0.95 * m.supply.pressure
    p[[line, *numbering.stages]] = 0.5 * m.supply.pressure * area[0] / area[1]
    now = unknowns_of(
        parts, 1, p, ambient.temperature, period=0.9, wall=[340.0, 450.0], drive=300.0
    )
    curves, times = open_curves(parts, m, 270.0), []
    for number in (1, 2, 1, 2):
        stroke = parts.run_stroke(number, now, curves)
        assert int(stroke["ended"]) == 0
        now["mass"], now["energy"] = stroke["end_mass"], stroke["end_energy"]
        times.append(float(stroke["dt"][: int(stroke["instants"])].sum()))
    kept = [0, 1, *numbering.stages, line]
    return np.array([*times, *stroke["end_mass"][kept], *stroke["end_temperature"][kept]])


def test_seal_work() -> None:
    """Rubbing share x gauge force x travel, over both strokes of a solved machine."""
    solution, ambient = running(), MACHINE.ambient.pressure
    for i, (stage, chamber) in enumerate(
        zip(MACHINE.stages, solution.numbering.stages, strict=True)
    ):
        force = np.pi / 4 * stage.bore**2 * (solution.whole["p"][:, chamber] - ambient)
        work = stage.seal_friction * float(force @ solution.whole["dx"])
        assert solution.found["barrel"][i]["seal"] * solution.period == pytest.approx(
            work, rel=1e-9
        )


def test_delivery_at_constant_pressure_has_no_phase_lead() -> None:
    """Heat leads the squeeze of the gas: T (dp/dT)_v times what is squeezed, which is the travel
    less what leaves: the whole travel with shut valves, next to nothing while gas is pushed out.

    Slopes of pressure are CoolProp's. The core takes the law's share at the instant foreseen.
    """
    wide = CheckValve(conductance=iso(40.0), cracking_pressure=0.0)
    design = Design(machine=single(8e5, 45e5, 32e-3, delivery=wide))
    solution, parts, stage = solve(design), StrokeParts(design), design.machine.stages[0]
    chamber, face = solution.numbering.stages[0], np.pi / 4 * stage.bore**2
    arrays = solution.parts[stage.compresses_on - 1]
    travels = arrays["dx"] > 0.0
    p, T, V = (arrays[name][travels, chamber] for name in ("p", "T", "volume"))
    dt, dx, left = arrays["dt"][travels], arrays["dx"][travels], arrays["flow"][travels, 3]
    share = [
        parts.stage_law(0, solution.period, p=p[k], T=T[k], volume=V[k], wall=T[k],
                        area=2 * face + np.pi * stage.bore * V[k] / face)[1]
        for k in range(len(p))
    ]  # fmt: skip
    density = PropsSI("D", "T", T, "P", p, "Air")
    slope = np.array([
        PropsSI("d(P)/d(T)|D", "T", a, "D", rho, "Air") for a, rho in zip(T, density, strict=True)
    ])  # fmt: skip
    of_travel = np.array(share) * T * slope * face * dx
    squeezed = 1.0 - left * dt / density / (face * dx)
    lead = arrays["lead"][travels, 0]
    shut = left == 0.0
    assert shut.sum() > 20 and (~shut).sum() > 10
    assert lead == pytest.approx(of_travel * squeezed, abs=0.01 * of_travel.max())
    assert lead[shut].sum() == pytest.approx(of_travel[shut].sum(), rel=0.01)
    pushed = np.flatnonzero(~shut)[2:]  # the valve opens within the first step
    assert abs(lead[pushed].sum()) < 0.01 * of_travel[pushed].sum()


def test_drive_wall_balance() -> None:
    """One node: gas, friction, impact, ambient and flanges, worked out by hand from the strokes."""
    m, d, solution = MACHINE, MACHINE.drive, running()
    areas = [np.pi / 4 * (d.bore**2 - r**2) for r in (d.rod_1, d.rod_2)]
    gas = pull = rub = 0.0
    for fed, arrays in enumerate(solution.parts):
        held = arrays["conductance"][:, :2] * arrays["dt"][:, None]
        gas += float(held.sum())
        pull += float((held * arrays["T"][:, :2]).sum())
        push = (arrays["p"][:, fed] - m.ambient.pressure) * areas[fed] * d.friction_share
        rub += float((push + d.friction) @ arrays["dx"])
        rub += float(solution.found["stroke"][fed]["impact"])
    to_ambient = float(solution.found["drive_ambient"])
    top = (pull + rub) / solution.period + to_ambient * m.ambient.temperature
    bottom = gas / solution.period + to_ambient
    for i, stage in enumerate(m.stages):
        section = np.pi * stage.wall_thickness * (stage.bore + stage.wall_thickness)
        half = 0.5 * stage.barrel_length / solution.rings
        flange = 1 / (1 / stage.flange_conductance + half / (stage.material.conductivity * section))
        top += flange * float(solution.found["barrel"][i]["middle"][solution.rings - 1])
        bottom += flange
    found = float(solution.found["start"]["drive_wall"])
    assert found == pytest.approx(top / bottom, abs=1e-3)
    without_rubbing = (top - rub / solution.period) / bottom
    assert found - without_rubbing > 1.0


def test_piston_flies_under_a_constant_force() -> None:
    """x = F t2 / 2m: the stroke takes sqrt(2 m S / F) and ends with F S of kinetic energy.

    Exact while pressures keep: every chamber is given a huge dead volume. Time is the integral of
    dx over the root of x; for the first step from rest the method gives 1.6 in place of 2 times
    that root, which is a fifth of the root of its share of the stroke.
    """
    huge = 1e6
    m = single(8e5, 45e5, 32e-3, clearance=huge)
    m = replace(m, drive=replace(m.drive, dead_volume_1=huge, dead_volume_2=huge))
    parts, numbering, d = StrokeParts(Design(machine=m)), number_volumes(m), m.drive
    stage, chamber = m.stages[0], numbering.stages[0]
    p = np.full(numbering.count, m.ambient.pressure)
    p[0], p[chamber] = 8e5, 7.5e5
    start = unknowns_of(parts, 1, p, 293.15, period=0.9, wall=293.15, drive=293.15)
    stroke = parts.run_stroke(1, start, open_curves(parts, m, 293.15))
    face = np.pi / 4 * stage.bore**2
    force = (
        (1 - d.friction_share) * (8e5 - m.ambient.pressure) * np.pi / 4 * (d.bore**2 - d.rod_1**2)
    )
    force += (1 - stage.seal_friction) * (7.5e5 - m.ambient.pressure) * face - d.friction
    travel = slice(int(stroke["first_travel"]), int(stroke["first_rest"]))
    first = stroke["dx"][travel][:2].sum() / d.stroke
    want = np.sqrt(2 * d.moving_mass * d.stroke / force)
    assert stroke["dt"][travel].sum() == pytest.approx(want, rel=0.2 * np.sqrt(first))
    assert stroke["impact"] == pytest.approx(force * d.stroke, rel=1e-6)
