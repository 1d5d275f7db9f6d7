"""Where an exhaust loses its pressure: parts add up to what the strokes feel, and each is a law.

Friction is checked by the isothermal pipe equation and the friction factor of `fluids`, fittings
and the end of a tube by the velocity head, a silencer by ISO 6358-1 solved for its pressure.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import fluids
import numpy as np
import pytest
from command_line import CASE
from scipy.optimize import brentq

from jacketcalc import read_case
from jacketcalc.core.pressure_budget import PressureBudget, read_budgets
from jacketcalc.core.profiles import read_detail
from jacketcalc.core.read_outcome import read_outcome
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design, without_jackets
from jacketcalc.inputs import FlowElement, Machine

R = 287.05
LONG = 6.0
"""Length of a tube that resists [m]."""
SILENCER = FlowElement(sonic=1.5e-8, critical_back_pressure_ratio=0.4)


def laboratory() -> Machine:
    return read_case(str(CASE)).machine


def silenced() -> Machine:
    """Return the laboratory's machine with silencers, and long tubes whose loss counts."""
    m = laboratory()
    ports = []
    for port in (m.exhaust_1, m.exhaust_2):
        assert port.tube is not None
        ports.append(replace(port, tube=replace(port.tube, length=LONG), silencer=SILENCER))
    return replace(m, exhaust_1=ports[0], exhaust_2=ports[1])


@cache
def solved(name: str) -> Solution:
    machines = {"jackets": laboratory, "silenced": silenced,
                "tubes": lambda: without_jackets(silenced())}  # fmt: skip
    return solve(Design(machine=machines[name]()))


def parts_of(budget: PressureBudget) -> dict[str, float]:
    return {part.name: part.loss for part in budget.parts}


def phases(s: Solution, node: int) -> tuple[Any, np.ndarray, np.ndarray]:
    """Return the phases' marches, their flows [kg/s] and their shares of the mass."""
    pulses = s.found["pulses"][node]
    count = int(pulses["phases"])
    mass, time = pulses["mass"][:count], pulses["time"][:count]
    return s.found["march"][node][:count], mass / time, mass / mass.sum()


@pytest.mark.parametrize("name", ["jackets", "silenced", "tubes"])
def test_parts_add_up_to_the_pressure_that_the_flow_needs(name: str) -> None:
    s = solved(name)
    for node, budget in enumerate(read_budgets(s)):
        rows, _, weight = phases(s, node)
        whole = float((rows["port_pressure"] - s.machine.ambient.pressure) @ weight)
        assert sum(parts_of(budget).values()) == pytest.approx(whole, rel=1e-9)
        assert budget.whole == pytest.approx(whole, rel=1e-9)
        assert sum(part.share for part in budget.parts) == pytest.approx(1.0, abs=1e-12)
        assert all(part.loss > 0.0 for part in budget.parts)


@pytest.mark.parametrize("name", ["jackets", "silenced", "tubes"])
def test_whole_is_the_back_pressure_of_the_strokes(name: str) -> None:
    """Strokes weigh every instant; phases their means: convex, so a little less, and ever less."""
    errors = []
    for count in (6, 12, 24):
        s = solve(Design(machine=solved(name).machine), replace(Resolution(), phases=count))
        felt = read_outcome(s).back_pressure_mean
        errors.append([b.whole / p - 1.0 for b, p in zip(read_budgets(s), felt, strict=True)])
    few, more, most = (np.abs(e) for e in errors)
    assert (most < 0.01).all() and (more < few).all() and (most < more).all()


@pytest.mark.parametrize("name", ["silenced", "tubes"])
def test_tube_and_fittings_are_those_of_a_handbook(name: str) -> None:
    """Isothermal flow with friction; its mean temperature is that of the air in the tube."""
    s = solved(name)
    for node, budget in enumerate(read_budgets(s)):
        rows, flow, weight = phases(s, node)
        g, n = s.record["passage"][node], s.tube
        bore, rough, area = float(g["tube_bore"]), 2e-6, float(g["tube_area"])
        tube = fittings = 0.0
        for row, m, share in zip(rows, flow, weight, strict=True):
            T, first, last = float(row["T"][: n + 1].mean()), float(row["p"][0]), float(row["p"][n])
            mu = 1.458e-6 * T**1.5 / (T + 110.4)  # Sutherland's law for air
            f = fluids.friction_factor(4.0 * m / (np.pi * bore * mu), eD=rough / bore)
            rho = 0.5 * (first + last) / (R * T)
            before = fluids.isothermal_gas(
                rho=rho, fd=f, P2=last, L=LONG, D=bore, m=m)  # fmt: skip
            heads = [0.5 * (m / area) ** 2 * R * T / p for p in (before, last)]
            tube += share * ((before + heads[0]) - (last + heads[1]))
            inlet = float(row["T"][0])
            fittings += share * 1.5 * 0.5 * (m / area) ** 2 * R * inlet / first
        assert parts_of(budget)["tube"] == pytest.approx(tube, rel=0.04)
        assert parts_of(budget)["fittings"] == pytest.approx(fittings, rel=0.01)


def test_a_silencer_costs_what_iso_6358_says() -> None:
    """m = C rho0 p1 (T0 / T1)^0.5 (1 - ((p2 / p1 - b) / (1 - b))^2)^0.5, solved for p1."""
    s = solved("silenced")
    C, b = SILENCER.sonic, SILENCER.critical_back_pressure_ratio
    ambient = s.machine.ambient.pressure

    def excess(p1: float, m: float, T1: float) -> float:
        choked = C * 1.185 * p1 * np.sqrt(293.15 / T1)
        ratio = max((ambient / p1 - b) / (1.0 - b), 0.0)
        return float(choked * np.sqrt(1.0 - ratio**2) - m)

    for node, budget in enumerate(read_budgets(s)):
        rows, flow, weight = phases(s, node)
        last = s.tube + s.cells + 1
        whole = sum(
            share * (brentq(excess, ambient, 50 * ambient, args=(m, row["T0"][last])) - ambient)
            for row, m, share in zip(rows, flow, weight, strict=True)
        )
        # The program takes the law linear over the last half per cent of pressure ratio.
        assert parts_of(budget)["silencer"] == pytest.approx(whole, rel=0.01)


def test_the_end_of_a_tube_loses_the_velocity_head() -> None:
    """Borda and Carnot: into a wide space all of it; compressible, p0 less p."""
    s = solved("tubes")
    for node, budget in enumerate(read_budgets(s)):
        rows, _, weight = phases(s, node)
        T0, T, p = (rows[name][:, s.tube] for name in ("T0", "T", "p"))
        head = (p * ((T0 / T) ** 3.5 - 1.0)) @ weight
        assert parts_of(budget)["exit"] == pytest.approx(float(head), rel=0.02)
        assert "channel" not in parts_of(budget) and budget.stage == ""


def test_a_machine_whose_exhaust_leaves_at_the_valve_has_none() -> None:
    bare = without_jackets(laboratory(), tubes=False)
    assert read_detail(solve(Design(machine=bare))).pressure_budgets == ()


def test_both_ports_into_one_jacket_share_one_passage() -> None:
    machine = read_case(str(CASE.parent / "single_stage.toml")).machine
    (budget,) = read_budgets(solve(Design(machine=machine)))
    assert budget.ports == (1, 2) and budget.stage == "single"
