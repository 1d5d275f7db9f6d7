"""Heat of another gas in chambers, ports and lines: its own properties, by other libraries.

Gnielinski 1976 by ht with Haaland's friction factor by fluids, Annand 1963 written out; properties
of helium from CoolProp, which are far from those of air.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import fluids
import ht
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from sample import MACHINE

from jacketcalc.core.machine import pack_machine
from jacketcalc.core.parts import StrokeParts, law_value
from jacketcalc.core.run import read_result, solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design
from jacketcalc.inputs import Gas, Line, Machine, Models, Source

BORE, LENGTH = 2.5e-3, 30e-3
"""Suction and delivery port of the second stage, invented [m]."""
TUBE = Line(volume=15e-6, heat_loss=0.1, bore=2e-3, length=1.5)
"""Line between the stages, invented: narrow, so that light gas is turbulent in it."""


def helium(machine: Machine = MACHINE) -> Machine:
    """Let a machine compress helium, with ports in the second head and a line whose wall counts."""
    first, second = machine.stages
    ports = {
        name: replace(getattr(second, name), port_bore=BORE, port_length=LENGTH)
        for name in ("inlet", "delivery")
    }
    return replace(
        machine,
        stages=(replace(first, draws_from="source"), replace(second, line=TUBE, **ports)),
        gas=Gas(name="helium"),
        source=Source(pressure=8e5, temperature=293.15),
    )


@cache
def running() -> Solution:
    solution = solve(Design(machine=helium()))
    assert not read_result(solution).failure
    return solution


def of_helium(T: float, p: float) -> tuple[float, float, float]:
    """Viscosity [Pa s], conductivity [W/(m K)] and cp [J/(kg K)] by CoolProp."""
    mu, k, cp = (float(PropsSI(name, "T", T, "P", p, "Helium")) for name in "VLC")
    return mu, k, cp


def turbulent(Re: float, Pr: float) -> float:
    return float(ht.turbulent_Gnielinski(Re, Pr, fluids.friction.Haaland(Re, 0.0)))


@pytest.mark.parametrize("path", [4, 5])
def test_a_port_exchanges_heat_with_the_gas_that_passes(path: int) -> None:
    """1 - exp(-NTU), as for air in `machine/test_head_ports.py`."""
    s, apart = running(), []
    v = s.numbering.lines[1] if path == 4 else s.numbering.stages[1]
    longer = 1 + (BORE / LENGTH) ** (2 / 3)
    for part in s.parts:
        flows = part["flow"][:, path]
        for k in np.flatnonzero(flows > 0.3 * s.whole["flow"][:, path].max()):
            flow, T, p = (float(x) for x in (flows[k], part["T"][k, v], part["p"][k, v]))
            mu, conductivity, cp = of_helium(T, p)
            Re, Pr = 4 * flow / (np.pi * BORE * mu), mu * cp / conductivity
            if Re > 4000.0:
                units = longer * turbulent(Re, Pr) * conductivity * np.pi * LENGTH / (flow * cp)
                apart.append(part["port"][k, path] / (flow * cp) / -np.expm1(-units) - 1.0)
    assert len(apart) > 5
    assert np.median(np.abs(apart)) < 1e-3 and np.abs(apart).max() < 6e-3, apart


def test_a_line_exchanges_heat_with_the_gas_in_it() -> None:
    """h A = Nu k pi L, as for air in `machine/test_line_wall.py`; Nusselt number 3.66 at rest."""
    s, apart, tried = running(), [], {"flows": 0, "rests": 0}
    v = s.numbering.lines[1]
    longer = 1 + (TUBE.bore / TUBE.length) ** (2 / 3)
    for part in s.parts:
        through = 0.5 * (part["flow"][:, 3] + part["flow"][:, 4])
        for k in range(1, len(through)):
            mu, conductivity, cp = of_helium(float(part["T"][k, v]), float(part["p"][k, v]))
            Re, Pr = 4 * float(through[k - 1]) / (np.pi * TUBE.bore * mu), mu * cp / conductivity
            if 2300.0 < Re < 4100.0:
                continue
            tried["rests" if Re < 2300.0 else "flows"] += 1
            nu = 3.66 if Re < 2300.0 else turbulent(Re, Pr)
            want = longer * nu * conductivity * np.pi * TUBE.length
            apart.append(float(part["conductance"][k, v]) / want - 1.0)
    assert min(tried.values()) > 5, tried
    assert np.median(np.abs(apart)) < 2e-3


def test_a_chamber_exchanges_heat_with_the_gas_in_it() -> None:
    """Annand: h = 0.7 (rho c D / mu)^0.7 k / D, as the case's engine form prints it."""
    machine = replace(helium(), models=Models(cylinder="annand"))
    parts, period = StrokeParts(Design(machine=machine)), 0.8
    stage, T, p = machine.stages[0], 350.0, 30e5
    found, lead = parts.stage_law(
        0, period, p=p, T=T, volume=5e-5, area=8e-3, wall=320.0, speed=0.3
    )
    mu, k, _ = of_helium(T, p)
    rho = float(PropsSI("D", "T", T, "P", p, "Helium"))
    speed = 2.0 * machine.drive.stroke / period
    coefficient = float(parts.record["cylinder"]["annand"]["coefficient"])
    want = coefficient * (rho * speed * stage.bore / mu) ** 0.7 * k / stage.bore
    assert found == pytest.approx(want, rel=1e-4) and lead == 0.0


def test_the_stages_and_the_drive_hold_what_they_should() -> None:
    """Masses over volumes at every instant: air in the drive, helium in stages and line."""
    s = running()
    first = 2 + len(s.numbering.nodes)
    for part in s.parts:
        for v in range(s.numbering.count):
            name = "Air" if v < first else "Helium"
            for k in range(0, len(part["dt"]), 40):
                T, p, volume = (float(part[x][k, v]) for x in ("T", "p", "volume"))
                rho = float(PropsSI("D", "T", T, "P", p, name))
                assert part["mass"][k, v] / volume == pytest.approx(rho, rel=5e-6), (name, v)


@pytest.mark.parametrize("Pr", [0.62, 0.72, 0.9, 1.1, 1.4])
def test_the_law_of_ports_and_lines_holds_for_the_prandtl_numbers_of_gases(Pr: float) -> None:
    """Tabled about 0.72 in three powers of ln Pr; helium at 300 bar has 0.63, cold methane 1.36."""
    record = pack_machine(Design(machine=MACHINE))["pipe"].reshape(1).copy()
    for Re in (5e3, 2e4, 1e5, 5e5):
        assert law_value(record, Re, Pr) == pytest.approx(turbulent(Re, Pr), rel=2e-3)
