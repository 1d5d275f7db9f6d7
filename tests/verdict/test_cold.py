"""The first law's bound on the exhaust's cold: CoolProp's enthalpies, and the work done."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from places import CASES
from report_sample import found as solved_case
from sample import Solved, run

from jacketcalc.assessment.hand_check import hand_checks
from jacketcalc.assessment.water_words import say_cold
from jacketcalc.casefile.reading import read_case
from jacketcalc.findings.cold import Cold, exhaust_cold
from jacketcalc.gas.table import air


def enthalpy(T: float, p: float) -> float:
    return float(PropsSI("H", "T", T, "P", p, "Air"))


def test_throttling_alone_makes_cold() -> None:
    """CoolProp: 8 bar let out to 1 bar without work is cold by 1.6 kJ/kg, which then is all."""
    T, p, ambient = 293.15, 8.013e5, 1.013e5
    wanted = enthalpy(T, ambient) - enthalpy(T, p)
    assert wanted == pytest.approx(1.6e3, rel=0.05)
    datum = float(air().thermo(T, p).h) - enthalpy(T, p)
    found = exhaust_cold(air(), supply_temperature=T, ambient_pressure=ambient, mass_flow=0.02,
                         enthalpy_flow=0.02 * (enthalpy(T, p) + datum))  # fmt: skip
    assert float(found) == pytest.approx(0.02 * wanted, rel=1e-3)


@cache
def laboratory() -> Solved:
    return run([read_case(str(CASES / "hot.toml")).machine])


def test_bound_from_the_port_instant_by_instant() -> None:
    """CoolProp at every instant of the exhaust, to supply temperature at ambient pressure."""
    solution, outcome = laboratory().solutions[0], laboratory().outcomes[0]
    case = read_case(str(CASES / "hot.toml")).machine
    warm = enthalpy(case.supply.temperature, case.ambient.pressure)
    total = period = 0.0
    for part in solution.parts:
        period += float(part["dt"].sum())
        for i, node in enumerate(solution.numbering.nodes):
            for k, dt in enumerate(part["dt"]):
                h = enthalpy(float(part["T"][k, node]), float(part["p"][k, node]))
                total += float(part["exhaust"][k, i] * dt) * (warm - h)
    assert outcome.cold is not None
    assert outcome.cold.bound == pytest.approx(total / period, rel=1e-3)


def test_bound_from_work_heat_and_throttling() -> None:
    """First law round the drive: area of its indicator diagrams, wall heat, CoolProp's throttling.

    With the supply's own enthalpy in place of that of ambient air it was 5 to 7 % less.
    """
    solution, outcome = laboratory().solutions[0], laboratory().outcomes[0]
    case = read_case(str(CASES / "hot.toml")).machine
    T = case.supply.temperature
    throttled = enthalpy(T, case.ambient.pressure) - enthalpy(T, case.supply.pressure)
    area = np.pi / 4 * (case.drive.bore**2 - np.array([case.drive.rod_1, case.drive.rod_2]) ** 2)
    work = heat = 0.0
    for fed, part in enumerate(solution.parts):
        push = part["p"][:, fed] * area[fed] - part["p"][:, 1 - fed] * area[1 - fed]
        work += float(push @ part["dx"])
        apart = part["T"][:, :2] - outcome.drive_wall_temperature
        heat += float((part["conductance"][:, :2] * apart * part["dt"][:, None]).sum())
    wanted = (work + heat) * outcome.cycle_rate + outcome.drive_air_mass_flow * throttled
    assert outcome.cold is not None
    assert outcome.cold.bound == pytest.approx(wanted, rel=1e-3)
    without = wanted - outcome.drive_air_mass_flow * throttled
    assert 0.92 < without / outcome.cold.bound < 0.96


def test_hand_check_goes_another_way() -> None:
    """It agrees, and sees it when the throttling is left out of what it checks."""
    check = hand_checks(solved_case("hot"))[0]
    assert "port" not in check.how
    assert abs(check.difference) < 2e-3


@pytest.mark.parametrize(("bound", "used"), [(-5.0, 6.2), (0.4, 0.1), (1.8, 17.0)])
def test_no_share_where_nothing_is_bounded(bound: float, used: float) -> None:
    """Two machines once printed -124 % and 956 %."""
    cold = Cold(bound=bound, used=used)
    assert cold.share is None
    for system in ("SI", "inch-pound"):
        said = say_cold(cold, system)  # type: ignore[arg-type]
        assert "%" not in said and "sets no bound" in said and "at most" not in said


def test_a_share_where_there_is_one() -> None:
    said = say_cold(Cold(bound=200.0, used=50.0), "SI")
    assert said.endswith("the jackets used 50 W of it, 25 %.")
