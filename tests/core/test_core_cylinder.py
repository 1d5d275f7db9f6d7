"""The in-cylinder laws as the core computes them against the formulas that carry their sources.

The core has the coefficients from the formulas' modules and the equations once more in C; the
formulas are held to their sources in `test_correlations_cylinder`, `test_gas_spring_laws`.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from ideal_gas import IdealGas
from sample import single

from jacketcalc.core.parts import StrokeParts
from jacketcalc.correlations import cylinder
from jacketcalc.designs import Design

GAS = IdealGas()
BORE, PERIOD, WALL = 32e-3, 0.8, 310.0
OMEGA = 2 * np.pi / PERIOD
RANDOM = np.random.default_rng(3)
STATES = [
    {
        "p": p, "T": T, "volume": V, "area": 2 * np.pi / 4 * BORE**2 + 4 * V / BORE, "wall": WALL,
        "angle": angle, "speed": v, "inflow": 0.0,
    }
    for p, T, V, angle, v in zip(
        RANDOM.uniform(5e5, 60e5, 8), RANDOM.uniform(280, 520, 8), RANDOM.uniform(1e-5, 9e-5, 8),
        RANDOM.uniform(0, np.pi, 8), RANDOM.uniform(0.05, 0.6, 8), strict=True,
    )
]  # fmt: skip


def parts(model: str, mixing: float = 0.0) -> StrokeParts:
    machine = single(8e5, 40e5, BORE)
    models = replace(machine.models, cylinder=model, mixing=mixing)
    return StrokeParts(Design(machine=replace(machine, models=models)), gas=GAS)


def air_at(state: dict[str, Any]) -> tuple[float, float, float, float]:
    """Conductivity, density, viscosity and specific heat of the ideal gas."""
    rho = state["p"] / (GAS.R * state["T"])
    return GAS.viscosity * GAS.cp / GAS.prandtl, rho, GAS.viscosity, GAS.cp


@pytest.mark.parametrize("state", STATES)
def test_swirl(state: dict[str, Any]) -> None:
    found, lead = parts("adair").stage_law(0, PERIOD, **state)
    size = 6 * state["volume"] / state["area"]
    want = cylinder.adair(*air_at(state), size, OMEGA, state["angle"])
    assert (found, lead) == (pytest.approx(float(want), rel=1e-9), 0.0)


@pytest.mark.parametrize("state", STATES)
def test_engine_form(state: dict[str, Any]) -> None:
    found, lead = parts("annand").stage_law(0, PERIOD, **state)
    k, rho, mu, _ = air_at(state)
    speed = 2 * single(8e5, 40e5, BORE).drive.stroke / PERIOD
    want = cylinder.annand(k, rho, mu, BORE, speed)
    assert (found, lead) == (pytest.approx(float(want), rel=1e-9), 0.0)


def still(state: dict[str, Any]) -> tuple[float, float]:
    """Gas spring and natural convection joined by cubes [W/(m2 K)], and its share at once [-]."""
    k, rho, mu, cp = air_at(state)
    size = 4 * state["volume"] / state["area"]
    real, imaginary = cylinder.gas_spring(OMEGA * size**2 * rho * cp / (4 * k))
    free = cylinder.natural_convection(k, rho, mu, cp, state["T"], state["T"] - WALL)
    lagging = float(imaginary) * k * state["area"] / (size * OMEGA)
    lead = lagging / (rho * state["volume"] * cp / GAS.gamma + lagging)
    return float(np.cbrt((real * k / size) ** 3 + free**3)), lead


@pytest.mark.parametrize("state", STATES)
def test_gas_spring_and_natural_convection(state: dict[str, Any]) -> None:
    found, lead = parts("gas spring").stage_law(0, PERIOD, **state)
    coefficient, share = still(state)
    assert lead == pytest.approx(share, rel=1e-4)
    assert found == pytest.approx(coefficient * (1 - share), rel=1e-4)


@pytest.mark.parametrize("state", STATES)
def test_suction_is_stirred(state: dict[str, Any]) -> None:
    """As far as the valve stands open, a share of the way from still gas to the jet's form."""
    face, mixing = np.pi / 4 * BORE**2, 0.6
    k, rho, mu, cp = air_at(state)
    mean = 2 * single(8e5, 40e5, BORE).drive.stroke / PERIOD
    inflow = 0.4 * rho * face * state["speed"]
    found, lead = parts("gas spring", mixing).stage_law(0, PERIOD, **{**state, "inflow": inflow})
    jet = cylinder.jet_stirred(
        k, rho, mu, cp, BORE, state["speed"], inflow / (rho * face), 0.2 * mean
    )
    coefficient, _ = still(state)
    shut = 1 / (1 + (inflow / (rho * face * mean) / 0.1) ** 2)
    coefficient += mixing * (1 - shut) * max(float(jet) - coefficient, 0.0)
    assert found == pytest.approx(coefficient * (1 - lead), rel=1e-4)
