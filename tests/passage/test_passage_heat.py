"""Heat between a passage's air and its walls, against closed forms and worked examples."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from ideal_gas import IdealGas
from passage_bench import constant, follow, heat, passage, plain_tube, put_law, size
from sample import MACHINE, TUBE, bare

from jacketcalc.core.gas import CoreGas, core_air
from jacketcalc.correlations.laws import Law, Part
from jacketcalc.inputs import Exhaust

R = 287.0
THROUGH_TUBE = replace(
    bare(), exhaust_1=Exhaust(to="atmosphere", tube=replace(TUBE, fitting_loss=0.0))
)


def test_two_conductances() -> None:
    """V3: barrel and shell at their own temperatures, exponential to their weighted mean."""
    gas = IdealGas(prandtl=1.0)
    parts = passage(MACHINE, gas, tube_length=0.0, leak_area=0.0, fin_perimeter=0.0)
    put_law(parts, "nusselt", constant(20.0))
    flow, barrel, shell = 2e-4, 350.0, 290.0
    found = follow(parts, flow, 240.0, shell, barrel=barrel)
    h = 20.0 * gas.conductivity / size(parts, "hydraulic_diameter")
    one, two = h * size(parts, "barrel_perimeter"), h * size(parts, "shell_perimeter")
    mean = (one * barrel + two * shell) / (one + two)
    units = (one + two) * size(parts, "length") / (flow * gas.cp)
    want = mean + (240.0 - mean) * np.exp(-units)
    assert last(found, "T0") == pytest.approx(want, rel=1e-9)
    gained = heat(parts, found, barrel, shell).sum()
    assert gained == pytest.approx(flow * gas.cp * (want - 240.0), rel=1e-9)


def last(found: Any, name: str) -> float:
    """Value at the outlet's face."""
    return float(found[name][found[name].nonzero()[0][-1]])


@pytest.mark.parametrize(("gas", "tolerance"), [(IdealGas(), 1e-8), (core_air(), 5e-3)])
@pytest.mark.parametrize("flow", [1e-3, 5e-3, 20e-3, 70e-3])
def test_energy_closure(gas: CoreGas, tolerance: float, flow: float) -> None:
    """V15: wall heats sum to m (h0 out - h0 in), V^2/2 included, up to a choked channel.

    The march holds cp within a cell, so real air closes to its change along the passage: 0.5 %
    where it chokes. The machine's energy balance counts heats, and does not feel it.
    """
    parts = passage(MACHINE, gas)
    found = follow(parts, flow, 230.0, 290.0, barrel=330.0)
    cells = parts.resolution.channel_cells
    stays = 1.0 - found["leak"][cells - 1]
    end = parts.resolution.tube_cells + cells + 1
    total = []
    for face, G in (
        (0, flow / size(parts, "tube_area")),
        (end, flow / size(parts, "area") * stays),
    ):
        rho, h = gas.state(found["T"][face], found["p"][face])[:2]
        total.append(h + 0.5 * (G / rho) ** 2)
    gained = heat(parts, found, 330.0, 290.0).sum()
    assert gained == pytest.approx(flow * (total[1] - total[0]), rel=tolerance)
    if flow == 70e-3:
        assert found["mach_peak"] == pytest.approx(1.0, abs=1e-6)


def test_square_duct_with_cool_walls() -> None:
    """Cengel, example 8-6 (read): 0.2 m square, 8 m, 0.15 m3/s at 80 degC, walls 60 degC.

    Te 71.3 degC, 1316 W with the book's properties and its 0.023 Re^0.8 Pr^0.3; 0.2 %.
    """
    nu, k, cp, Pr = 2.097e-5, 0.02953, 1008.0, 0.7154
    gas = IdealGas(gamma=cp / (cp - R), viscosity=nu * 0.9994, prandtl=Pr)
    parts = passage(
        MACHINE, gas, tube_length=0.0, tube_area=1.0, area=0.04, hydraulic_diameter=0.2,
        length=8.0, barrel_perimeter=0.8, fin_perimeter=0.0, shell_perimeter=0.0, leak_area=0.0,
        outlet_area=1.0,
    )  # fmt: skip
    put_law(parts, "nusselt", Law(slow=Part(base=lambda Re, Pr: 0.023 * Re**0.8 * Pr**0.3)))
    found = follow(parts, 0.9994 * 0.15, 353.15, 333.15, barrel=333.15)
    assert found["reynolds"][0] == pytest.approx(35765.0, rel=2e-3)
    # Prandtl fixes k from cp and viscosity; the book's own differ by 0.1 %.
    assert gas.conductivity == pytest.approx(k, rel=1e-3)
    assert found["coefficient"][0] == pytest.approx(13.49, rel=2e-3)
    assert last(found, "T0") - 273.15 == pytest.approx(71.3, rel=2e-3)
    assert -heat(parts, found, 333.15, 333.15).sum() == pytest.approx(1316.0, rel=2e-3)


def test_recovery_temperature() -> None:
    """Taw = T + Pr^(1/3) V^2/2cp of turbulent gas (any heat transfer text, from memory)."""
    parts = plain_tube(passage(THROUGH_TUBE, IdealGas(prandtl=0.7), tube_length=0.2), 0.02)
    found, cells = follow(parts, 0.02), parts.resolution.tube_cells
    T = found["T"][: cells + 1]
    static = 0.5 * (T[1:] + T[:-1])
    assert 300.0 - static.max() > 5.0
    recovered = (found["seen"][:cells] - static) / (300.0 - static)
    assert recovered == pytest.approx(0.7 ** (1 / 3), rel=5e-3)


def test_throttled_air_cools() -> None:
    """From 9 to 1 bar without heat enthalpy is kept: temperature falls as CoolProp says.

    Slow air in a tube of great friction; the march holds its coefficient within a cell: 2 %.
    """
    parts = plain_tube(passage(THROUGH_TUBE, tube_length=0.6), 700.0)
    found, end = follow(parts, 2e-3, 250.0), parts.resolution.tube_cells
    assert found["p"][0] > 8e5
    h = PropsSI("H", "T", 250.0, "P", float(found["p"][0]), "Air")
    want = PropsSI("T", "H", h, "P", float(found["p"][end]), "Air") - 250.0
    assert want < -1.8
    assert found["T0"][end] - 250.0 == pytest.approx(want, rel=0.02)


def test_rib_is_a_fin() -> None:
    """h (floor + sides tanh(mL)/mL), m2 = 2h/(k t): a straight fin with a closed tip (exact).

    The fin ends where the rib does, short of the shell by the tip's clearance.
    """
    parts, jacket = passage(MACHINE, IdealGas()), MACHINE.stages[1].jacket
    assert jacket is not None
    put_law(parts, "nusselt", constant(60.0))
    found = follow(parts, 5e-3, 250.0, barrel=330.0)
    h, high = found["coefficient"][0], jacket.gap - jacket.tip_clearance
    m = np.sqrt(2 * h / (MACHINE.stages[1].material.conductivity * jacket.rib)) * high
    floor = size(parts, "barrel_perimeter")
    want = h * size(parts, "length") * (floor + 2 * high * np.tanh(m) / m)
    assert found["barrel"].sum() == pytest.approx(want, rel=1e-9)
    assert m > 0.3


def test_table_is_a_gas() -> None:
    """The march runs on the air table and on an ideal gas: their choked nozzles agree to 1 %."""
    one, two = (
        follow(passage(THROUGH_TUBE, gas), 0.02, 293.15, 293.15)["port_pressure"]
        for gas in (core_air(), IdealGas())
    )
    assert one == pytest.approx(two, rel=1e-2)
