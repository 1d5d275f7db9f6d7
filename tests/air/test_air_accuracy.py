"""How closely the table of air follows CoolProp, region by region, and in what order."""

from __future__ import annotations

import numpy as np
import pytest
from air_limits import LIMITS

from jacketcalc.arrays import Array
from jacketcalc.gas import coolprop, properties
from jacketcalc.gas.make import sampled_table

Box = tuple[tuple[float, float], tuple[float, float], int]
REGIONS: dict[str, Box] = {  # T from, to [K]; p from, to [bar]; number of random points
    "whole range": ((140.0, 2000.0), (0.1, 700.0), 4000),
    "cold exhaust": ((140.0, 320.0), (0.1, 12.0), 3000),
    "cold and dense": ((140.0, 200.0), (20.0, 700.0), 4000),
    "peak of cp": ((140.0, 143.0), (40.0, 70.0), 4000),
    "about the break of conductivity": ((262.0, 267.0), (0.1, 700.0), 3000),
    "hot discharge": ((400.0, 1000.0), (100.0, 700.0), 2000),
    "hottest": ((1000.0, 2000.0), (0.1, 700.0), 1000),
    "cold edge": ((140.0, 140.0), (0.1, 700.0), 2000),
    "low edge": ((140.0, 2000.0), (0.1, 0.1), 1000),
    "high edge": ((140.0, 2000.0), (700.0, 700.0), 1000),
}


def departures(T: Array, p: Array) -> dict[str, Array]:
    """Relative departures of the table from CoolProp, by the names of `LIMITS`."""
    found = properties(T, p)
    states = [coolprop.reference_state(*pair) for pair in zip(T.tolist(), p.tolist(), strict=True)]
    scales: dict[str, Array] = {}
    result: dict[str, Array] = {}
    for name in LIMITS:
        reference = np.array([getattr(state, name) for state in states])
        scales[name] = reference
        result[name] = getattr(found, name) - reference
    scales["enthalpy"] = scales["cp"] * T
    return {name: np.abs(result[name] / scales[name]) for name in LIMITS}


@pytest.mark.parametrize("region", REGIONS)
def test_the_table_follows_coolprop(region: str) -> None:
    temperatures, bars, count = REGIONS[region]
    random = np.random.default_rng(20)
    T = random.uniform(*temperatures, count)
    p = random.uniform(*bars, count) * 1e5
    worst = {name: values.max() for name, values in departures(T, p).items()}
    assert {name: value for name, value in worst.items() if value > LIMITS[name]} == {}


def test_the_table_follows_coolprop_at_low_pressure_as_well() -> None:
    random = np.random.default_rng(21)
    T = np.exp(random.uniform(np.log(140.0), np.log(2000.0), 3000))
    p = np.exp(random.uniform(np.log(0.1e5), np.log(700e5), 3000))
    worst = {name: values.max() for name, values in departures(T, p).items()}
    assert {name: value for name, value in worst.items() if value > LIMITS[name]} == {}


def test_conductivity_is_finer_away_from_its_breaks() -> None:
    # Its critical enhancement ends twice: at 265.26 K, and where very cold air is very dense.
    random = np.random.default_rng(25)
    cold, hot, dense = (
        random.uniform(*ends, 2000) for ends in ((140.0, 253.0), (265.3, 2000.0), (140.0, 160.0))
    )
    thin, any_p = random.uniform(0.1e5, 550e5, 2000), random.uniform(0.1e5, 700e5, 2000)
    assert departures(cold, thin)["conductivity"].max() < 1e-4
    assert departures(hot, any_p)["conductivity"].max() < 1e-4
    assert departures(dense, random.uniform(550e5, 700e5, 2000))["conductivity"].max() < 3e-4


@pytest.mark.parametrize("bar", [1.0, 66.0, 240.0, 400.0, 700.0])
def test_a_dense_scan_across_the_break_of_conductivity(bar: float) -> None:
    T = np.linspace(262.0, 266.0, 2001)
    assert departures(T, np.full(2001, bar * 1e5))["conductivity"].max() < LIMITS["conductivity"]


@pytest.mark.parametrize("bar", [38.0, 45.0, 50.0, 52.0, 66.0, 80.0, 150.0])
def test_a_dense_scan_from_140_to_200_kelvin(bar: float) -> None:
    T = 136.0 + np.geomspace(4.0, 64.0, 1501)
    worst = {k: v.max() for k, v in departures(T, np.full(1501, bar * 1e5)).items()}
    assert {name: value for name, value in worst.items() if value > LIMITS[name]} == {}


def test_halving_the_cells_cuts_the_error_at_the_order_of_cubic_hermite_cells() -> None:
    # Values converge with the fourth power of the cell width, slopes with the third.
    random = np.random.default_rng(22)
    T, p = random.uniform(150.0, 300.0, 1500), random.uniform(0.5e5, 200e5, 1500)
    reference = [coolprop.reference_state(*pair) for pair in zip(T, p, strict=True)]
    rho, cp = np.array([(state.density, state.cp) for state in reference]).T

    def error(hot_cells: int, pressure_cells: int) -> tuple[float, float]:
        found = sampled_table(hot_cells, pressure_cells).thermo(T, p)
        return float(np.std(found.rho / rho)), float(np.std(found.h_T / cp))

    coarse, fine = error(9, 16), error(18, 32)
    assert np.log2(coarse[0] / fine[0]) > 3.5
    assert np.log2(coarse[1] / fine[1]) > 2.5
