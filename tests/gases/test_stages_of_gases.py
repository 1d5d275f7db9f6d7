"""Stages that compress other gases: isentropic limits, first law, valves, sources."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from sample import MACHINE, iso, run, single
from stroke_bench import without_heat

from jacketcalc.core.machine import flow_factor, pack_machine
from jacketcalc.core.run import solve
from jacketcalc.designs import Design
from jacketcalc.gases import FLUIDS
from jacketcalc.inputs import CheckValve, Gas, GasName, Machine, Source

OTHERS: list[GasName] = [name for name in FLUIDS if name != "air"]
WARM = 293.15


def fed(machine: Machine, gas: GasName, pressure: float, T: float = WARM) -> Machine:
    """Let a machine's first stage draw a gas from a source."""
    first = replace(machine.stages[0], draws_from="source")
    return replace(
        machine,
        stages=(first, *machine.stages[1:]),
        gas=Gas(name=gas),
        source=Source(pressure=pressure, temperature=T),
    )


def of(what: str, T: float, p: float, gas: GasName) -> float:
    """CoolProp's word on a gas [SI]."""
    return float(PropsSI(what, "T", T, "P", p, FLUIDS[gas].coolprop))


def ends(gas: GasName) -> tuple[float, float]:
    """Source and receiver of the bare stage [Pa]: a ratio of 4, dense where the gas may be."""
    return (7e5, 28e5) if gas == "carbon dioxide" else (60e5, 240e5)


def ideal_stage(gas: GasName, conductance: float) -> Machine:
    valve = CheckValve(conductance=iso(conductance), cracking_pressure=0.0)
    source, receiver = ends(gas)
    m = single(8e5, receiver, 14e-3, inlet=valve, delivery=valve, seal_friction=0.0)
    return fed(m, gas, source)


@pytest.mark.parametrize("gas", OTHERS)
def test_a_stage_without_heat_compresses_isentropically(gas: GasName) -> None:
    """Discharge at the entropy of suction, work the rise of enthalpy, and 1 + c - c rho_d/rho_s of
    the stroke drawn, all by CoolProp; check valves are carried to no resistance (error as 1/C)."""
    conductances = (16.0, 64.0)
    solved = run([ideal_stage(gas, C) for C in conductances], change=without_heat)
    assert solved.reasons == ["", ""]

    def limit(name: str) -> float:
        coarse, fine = (getattr(o.stages[0], name) for o in solved.outcomes)
        return float(fine - (coarse - fine) / 3.0)

    (p1, p2), fluid = ends(gas), FLUIDS[gas].coolprop
    entropy = of("S", WARM, p1, gas)
    T2 = float(PropsSI("T", "S", entropy, "P", p2, fluid))
    assert limit("discharge_temperature") == pytest.approx(T2, rel=3e-4)
    work = limit("indicated_work") / limit("mass_per_stroke")
    assert work == pytest.approx(of("H", T2, p2, gas) - of("H", WARM, p1, gas), rel=1.5e-3)
    drawn = 1.05 - 0.05 * of("D", T2, p2, gas) / of("D", WARM, p1, gas)
    assert limit("volumetric_efficiency") == pytest.approx(drawn, abs=5e-4)


@pytest.mark.parametrize("gas", OTHERS)
def test_energy_closes_and_each_stage_keeps_the_first_law(gas: GasName) -> None:
    """With jackets and interstage line: work and heat of a stage against CoolProp's enthalpies of
    what it draws and delivers, the interstage state from the solver's own means."""
    machine = fed(MACHINE, gas, 8e5)
    if gas == "carbon dioxide":
        machine = replace(fed(MACHINE, gas, 2.5e5), receiver_pressure=28e5)
    solved = run([machine])
    assert solved.reasons == [""]
    outcome = solved.outcomes[0]
    assert abs(outcome.energy_closure) < 1e-6 and abs(outcome.mass_closure) < 1e-6
    first, last = outcome.stages[0], outcome.stages[-1]
    source = machine.source
    assert source is not None
    drawn = of("H", source.temperature, source.pressure, gas)
    given = of("H", last.discharge_temperature, machine.receiver_pressure, gas)
    after = of("H", first.discharge_temperature, first.delivery_pressure, gas)
    rate = outcome.cycle_rate
    power = rate * first.indicated_work - first.gas_heat
    flow = rate * first.mass_per_stroke
    assert power == pytest.approx(flow * (after - drawn), rel=2e-3)
    # The whole gas side: two stages' work less heat to their walls and to the line's.
    line = outcome.energy_balance["interstage line to ambient"]
    whole = sum(rate * s.indicated_work - s.gas_heat for s in outcome.stages) + line
    assert whole == pytest.approx(outcome.delivered_mass_flow * (given - drawn), rel=2e-3)
    held = outcome.stage_gas
    assert held is not None and held.name == gas
    assert held.highest >= machine.receiver_pressure


def test_air_from_a_source_like_the_supply_is_the_same_to_the_last_bit() -> None:
    supply = MACHINE.supply
    bottled = fed(MACHINE, "air", supply.pressure, supply.temperature)
    one, two = (solve(Design(machine=m)).found for m in (MACHINE, bottled))
    assert one.tobytes() == two.tobytes()


def test_a_fuller_source_delivers_more_and_helps_the_drive() -> None:
    one = single(8e5, 240e5, 14e-3)
    low, high = (run([fed(one, "nitrogen", p)]).outcomes[0] for p in (16e5, 40e5))
    assert high.delivered_mass_flow > 2.0 * low.delivered_mass_flow
    assert high.specific_air_consumption < 0.4 * low.specific_air_consumption


@pytest.mark.parametrize(
    ("gas", "M", "gamma"),
    [("nitrogen", 28.013, 1.400), ("argon", 39.948, 1.667), ("helium", 4.0026, 1.667),
     ("carbon dioxide", 44.01, 1.294), ("methane", 16.043, 1.307)],
)  # fmt: skip
def test_a_valve_passes_a_gas_as_an_ideal_nozzle_does(gas: GasName, M: float, gamma: float) -> None:
    """Choked mass flow goes with (gamma M)^0.5 (2/(gamma+1))^((gamma+1)/(2 gamma-2)); molar masses
    and ratios of specific heats at 20 degC as handbooks print them, from memory."""

    def psi(g: float, mass: float) -> float:
        return float(np.sqrt(g * mass) * (2.0 / (g + 1.0)) ** ((g + 1.0) / (2.0 * (g - 1.0))))

    assert flow_factor(gas) == pytest.approx(psi(gamma, M) / psi(1.400, 28.965), rel=3e-3)
    assert flow_factor("air") == 1.0
    packed = pack_machine(Design(machine=fed(MACHINE, gas, 8e5)))
    plain = pack_machine(Design(machine=MACHINE))
    assert packed["C"][:2] == pytest.approx(plain["C"][:2], rel=0)
    assert packed["C"][2:6] == pytest.approx(flow_factor(gas) * plain["C"][2:6], rel=1e-12)


def test_a_gas_conducts_over_the_pistons_gap_as_it_does() -> None:
    """260 W/(m2 K) for 0.1 mm of air of 26 mW/(m K); helium conducts 5.9 times as well, CRC
    Handbook, from memory."""

    def film(machine: Machine) -> Any:
        return pack_machine(Design(machine=machine))["piston_film"]

    assert film(MACHINE) == 260.0
    assert film(fed(MACHINE, "helium", 8e5)) == pytest.approx(5.9 * 260.0, rel=0.02)


def test_helium_is_cooled_better_than_nitrogen() -> None:
    """It diffuses heat seven times as fast, so that walls and jackets take more of it: its rise
    over that without heat is the smaller share."""
    shares = []
    for gas in ("nitrogen", "helium"):
        machine = fed(MACHINE, gas, 8e5)
        stage = run([machine]).outcomes[0].stages[0]
        s = of("S", WARM, 8e5, gas)
        T2 = float(PropsSI("T", "S", s, "P", stage.delivery_pressure, FLUIDS[gas].coolprop))
        shares.append((stage.discharge_temperature - WARM) / (T2 - WARM))
    assert shares[1] < shares[0] - 0.1
