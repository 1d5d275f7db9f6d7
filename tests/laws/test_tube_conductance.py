"""Tubes as flow elements: their conductance by formula, and against a Fanno pipe."""

from __future__ import annotations

import numpy as np
import pytest
from printed import near

from jacketcalc.correlations.friction import haaland
from jacketcalc.correlations.records import catalogue
from jacketcalc.flow import closed_forms
from jacketcalc.flow.iso6358 import REFERENCE_DENSITY, tube_conductance

DM3_S_BAR = 1e-8


# Eckersten's form in Beater, Pneumatic Drives, 2007, from memory: bore mm, length m, C, b.
@pytest.mark.parametrize(
    ("bore", "length", "printed", "ratio"),
    [
        (4, 1.0, "1.196", "0.354"),
        (6, 1.0, "3.135", "0.413"),
        (8, 1.0, "6.093", "0.451"),
        (10, 1.0, "10.09", "0.478"),
        (6, 3.0, "2.174", "0.286"),
    ],
)
def test_tube_conductance(bore: float, length: float, printed: str, ratio: str) -> None:
    C, b = tube_conductance(bore * 1e-3, length)
    assert near(printed) == C / DM3_S_BAR
    assert b == near(ratio)


# An adiabatic smooth pipe with entry loss 0.5, 7 bar (computed for this project).
@pytest.mark.parametrize(
    ("bore", "length", "printed"),
    [(4, 1.0, 1.30), (6, 1.0, 3.34), (8, 1.0, 6.40), (10, 1.0, 10.5), (6, 3.0, 2.386)],
)
def test_tube_conductance_against_a_fanno_pipe(bore: float, length: float, printed: float) -> None:
    C, _ = tube_conductance(bore * 1e-3, length)
    pipe = fanno_conductance(bore * 1e-3, length)
    assert pipe / DM3_S_BAR == pytest.approx(printed, rel=0.01)
    low, high = catalogue()["plain tube conductance"].scatter
    assert low < float(C) / pipe - 1.0 < high


def fanno_conductance(bore: float, length: float) -> float:
    """Sonic conductance of a smooth adiabatic pipe choked at its end, entry loss 0.5."""
    p0, T0, mu = 7e5, 293.15, 1.81e-5
    friction, flow = 0.02, 0.0
    for _ in range(30):
        M = closed_forms.fanno_mach(friction * length / bore)
        stagnation = float(closed_forms.stagnation_temperature_ratio(M))
        entry = 1.0 / (stagnation**3.5 + 0.5 * 0.7 * M**2)
        static = p0 * entry
        flow = static * M * np.sqrt(1.4 * stagnation / (287.05 * T0))
        friction = float(haaland(flow * bore / mu, 0.0))
    area = np.pi / 4.0 * bore**2
    return float(flow * area / (p0 * REFERENCE_DENSITY))
