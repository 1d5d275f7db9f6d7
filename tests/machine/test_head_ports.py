"""Air in the ports of the heads: closed form of the exchange, first law, and its two limits."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import fluids
import ht
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from sample import MACHINE, Array

from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import read_result, solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design
from jacketcalc.inputs import Machine

BORES, LENGTHS = (5e-3, 3.5e-3), (30e-3, 24e-3)
"""Suction and delivery port of every stage, invented [m]."""
CLOSES = 3e-7
"""Sum of the energy balance over the drive's power at which the core has settled [-]."""


def ported(lengths: tuple[float, float] = LENGTHS, machine: Machine = MACHINE) -> Machine:
    """Give every head its ports."""
    stages = tuple(
        replace(
            stage,
            inlet=replace(stage.inlet, port_bore=BORES[0], port_length=lengths[0]),
            delivery=replace(stage.delivery, port_bore=BORES[1], port_length=lengths[1]),
        )
        for stage in machine.stages
    )
    return replace(machine, stages=stages)


@cache
def running(lengths: tuple[float, float] = LENGTHS) -> Solution:
    solution = solve(Design(machine=ported(lengths)))
    assert not read_result(solution).failure
    return solution


def instants(s: Solution, path: int) -> dict[str, Array]:
    """Flow, what enters a stage's path, and the exchange, at every instant of the cycle."""
    stage, out = divmod(path - 2, 2)
    v = s.numbering.stages[stage] if out else s.numbering.lines[stage]
    rows: dict[str, Any] = {name: [] for name in ("flow", "port", "dt", "T", "p")}
    for part in s.parts:
        rows["flow"].append(part["flow"][:, path])
        rows["port"].append(part["port"][:, path])
        rows["dt"].append(part["dt"])
        for name, supply in (("T", s.machine.supply.temperature), ("p", s.machine.supply.pressure)):
            rows[name].append(part[name][:, v] if v >= 0 else np.full(len(part["dt"]), supply))
    return {name: np.concatenate(row) for name, row in rows.items()}


def exchanged(s: Solution, path: int) -> float:
    """Heat that the air of a path takes up in its port [W]."""
    at, head = instants(s, path), float(s.found["start"]["head"][(path - 2) // 2])
    return float((at["port"] * (head - at["T"])) @ at["dt"]) / s.period


@pytest.mark.parametrize("path", [2, 3, 4, 5])
def test_a_port_is_a_heat_exchanger_with_one_wall(path: int) -> None:
    """1 - exp(-NTU), the wall at one temperature (any heat transfer text); NTU = hA / (m cp).

    Gnielinski 1976 by ht with Haaland's friction factor by fluids, times the entrance's
    1 + (d/L)^(2/3) of the VDI Heat Atlas; properties of what enters from CoolProp. The core takes
    those predicted for the instant: where a valve shuts within a step they are 0.3 % off.
    """
    s, out = running(), path % 2
    at, d, length = instants(s, path), BORES[out], LENGTHS[out]
    apart = []
    for k in np.flatnonzero(at["flow"] > 0.2 * at["flow"].max()):
        flow, T, p = float(at["flow"][k]), float(at["T"][k]), float(at["p"][k])
        mu, k_air, cp = (PropsSI(name, "T", T, "P", p, "Air") for name in "VLC")
        Re, Pr = 4 * flow / (np.pi * d * mu), mu * cp / k_air
        if Re < 4000.0:
            continue
        nu = ht.turbulent_Gnielinski(Re, Pr, fluids.friction.Haaland(Re, 0.0))
        units = (1 + (d / length) ** (2 / 3)) * nu * k_air * np.pi * length / (flow * cp)
        apart.append(at["port"][k] / (flow * cp) / -np.expm1(-units) - 1.0)
    assert len(apart) > 5
    assert np.median(np.abs(apart)) < 5e-4 and np.abs(apart).max() < 4e-3, apart


def test_first_law_of_a_stage() -> None:
    """What a stage's air leaves with is what it came with, work, and less the heat to its walls.

    Enthalpies before the suction port and behind the delivery port; the heat is that of the wall
    balances, ports included.
    """
    s = running()
    outcome = read_result(s).outcome
    for i, stage in enumerate(outcome.stages):
        rise = (s.enthalpy(3 + 2 * i) - s.enthalpy(2 + 2 * i)) / s.period
        work = stage.indicated_work / s.period
        assert rise == pytest.approx(work - stage.gas_heat, abs=1e-5 * work)


def test_first_law_of_a_head() -> None:
    """Ports, gas, surroundings and the first ring: what enters a head leaves it."""
    s = running()
    for i, stage in enumerate(s.machine.stages):
        b, given = s.found["barrel"][i], -(exchanged(s, 2 + 2 * i) + exchanged(s, 3 + 2 * i))
        area = np.pi / 4 * stage.bore**2
        chamber = s.numbering.stages[i]
        gas = 0.0
        for part in s.parts:
            wetted = 2 * area + 4 * part["volume"][:, chamber] / stage.bore
            heat = part["conductance"][:, chamber] * (part["T"][:, chamber] - b["head"])
            gas += float(area / wetted @ (heat * part["dt"] + part["lead"][:, i])) / s.period
        section = np.pi / 4 * ((stage.bore + 2 * stage.wall_thickness) ** 2 - stage.bore**2)
        half = 0.5 * stage.barrel_length / Resolution().rings
        ring = stage.material.conductivity * section / half
        lost = ring * (b["head"] - b["middle"][0])
        lost += b["head_ambient"] * (b["head"] - s.machine.ambient.temperature)
        assert gas + given == pytest.approx(lost, rel=1e-4)
        assert abs(given) > 0.1


def test_suction_warms_and_delivery_cools_and_the_energy_closes() -> None:
    s = running()
    outcome = read_result(s).outcome
    for i, stage in enumerate(outcome.stages):
        assert exchanged(s, 2 + 2 * i) > 0.0 > exchanged(s, 3 + 2 * i)
        assert stage.suction_port_heat == pytest.approx(-exchanged(s, 2 + 2 * i), rel=1e-9)
        assert stage.delivery_port_heat == pytest.approx(-exchanged(s, 3 + 2 * i), rel=1e-9)
    assert abs(outcome.energy_closure) < CLOSES


def test_no_port_is_what_a_short_one_tends_to() -> None:
    """A port of a micrometre exchanges nothing, to the share of what one of 30 mm does."""
    none, short = (read_result(running(2 * (length,))).outcome for length in (0.0, 1e-6))
    long = read_result(running()).outcome
    for name in ("delivered_mass_flow", "cycle_rate", "hottest_discharge"):
        whole = abs(getattr(long, name) / getattr(none, name) - 1.0)
        assert getattr(short, name) / getattr(none, name) - 1.0 == pytest.approx(
            0.0, abs=5e-3 * whole + 1e-6
        )


def test_air_leaves_an_endless_port_at_the_heads_temperature() -> None:
    """Exact: NTU without bound. What is delivered has the head's temperature.

    Its mean enthalpy is read at the mean pressure behind the valve: less than 1 K off.
    """
    s = running((LENGTHS[0], 50.0))
    stages = read_result(s).outcome.stages
    for i, stage in enumerate(stages):
        head = float(s.found["start"]["head"][i])
        assert stage.discharge_temperature == pytest.approx(head, abs=1.0)
