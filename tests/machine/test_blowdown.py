"""A chamber that blows down: closed forms, the core's strokes, and the mean of the exhaust."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from coolprop_air import entropy
from ideal_gas import IdealGas
from printed import near
from sample import iso, single
from scipy.integrate import solve_ivp
from stroke_bench import ideal_ends, open_curves, unknowns_of, without_heat

from jacketcalc.core.gas import CoreGas, core_air
from jacketcalc.core.parts import StrokeParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.designs import Design
from jacketcalc.flow import closed_forms as forms
from jacketcalc.flow.iso6358 import mass_flow

INSTANT = 1e-9
"""A stroke so short that the piston is at its far stop at once [m]."""
LITRE = 1e-3


def exhausted(
    gas: CoreGas, duration: float, steps: int, drive: float = 0.0, ambient: float = 0.6e5
) -> tuple[float, float]:
    """Blow 1 L at 8 bar and 293.15 K down through 1 dm3/(s bar); return p and T at its end.

    The piston rests at the far stop, where the emptied chamber's volume is its dead volume. The
    fed chamber, at 20 bar, has just pushed it there, and its supply is shut by its own pressure.
    """
    m = single(8e5, 45e5, 32e-3)
    m = replace(
        m,
        valve=replace(m.valve, exhaust_path=iso(1.0), switching_time=duration),
        ambient=replace(m.ambient, pressure=ambient),
    )
    fine = Resolution(release=1, travel=2, rest=steps, settled=1e-6)
    parts = StrokeParts(Design(machine=m), fine, gas)
    without_heat(parts.record)
    parts.record["cylinder"]["drive"], parts.record["stroke"] = drive, INSTANT
    count = int(parts.record["volumes"])
    parts.record["fixed_volume"][:count] = LITRE
    nodes = slice(2, 2 + int(parts.record["nodes"]))
    parts.record["fixed_volume"][nodes] = 1e-5
    if isinstance(gas, IdealGas):
        ideal_ends(parts.record, gas.cp)
    p = np.full(count, 8e5)
    p[0], p[nodes] = 20e5, ambient * 1.001
    start = unknowns_of(parts, 1, p, 293.15, period=1.0, wall=293.15, drive=293.15)
    stroke = parts.run_stroke(1, start, open_curves(parts, m, 293.15))
    assert int(stroke["ended"]) == 0 and float(stroke["rough"]) == 0.0
    rest = stroke["dt"][int(stroke["first_rest"]) : int(stroke["instants"])]
    assert rest.sum() == pytest.approx(duration, rel=1e-12)
    return float(stroke["end_pressure"][1]), float(stroke["end_temperature"][1])


def test_blowdown_of_the_exhausted_chamber() -> None:
    """8 to 2.4 bar: 0.9410 s and 207.8 K adiabatic, 1.2074 s isothermal; second order in time."""
    gas = IdealGas(R=forms.AIR_GAS_CONSTANT)
    tau = float(forms.blowdown_time_constant(1e-3, 1e-8, 293.15))
    whole = tau * float(forms.adiabatic_blowdown(0.3))
    assert whole == near("0.9410")
    errors = []
    for steps in (25, 50, 100):
        p, T = exhausted(gas, whole, steps)
        errors.append(p / 2.4e5 - 1.0)
    assert near("207.8") == T
    assert abs(errors[-1]) < 1e-4
    assert np.log2(np.abs(errors[0] / errors[1])) == pytest.approx(2.0, abs=0.3)
    whole = tau * float(forms.isothermal_blowdown(0.3))
    p, T = exhausted(gas, whole, 100, drive=1e8)
    assert whole == near("1.2074")
    assert pytest.approx(293.15, abs=0.01) == T
    assert p == pytest.approx(2.4e5, rel=1e-4)


def test_blowdown_of_real_air() -> None:
    """What is left is isentropic: 8 to 1.2 bar from 293 K ends at 169.82 K (CoolProp)."""
    p, T = exhausted(core_air(), 2.5, 120, ambient=1.1e5)
    want = PropsSI("T", "S", entropy(293.15, 8e5), "P", p, "Air")
    assert p < 1.3e5
    assert pytest.approx(want, rel=2e-4) == T


def test_blowdown_closed_forms() -> None:
    """1 L through 1 dm3/(s bar) from 293.15 K, 8 to 2.4 bar (computed for this project)."""
    tau = forms.blowdown_time_constant(1e-3, 1e-8, 293.15)
    assert tau == near("1.0028")
    assert tau * forms.isothermal_blowdown(2.4 / 8.0) == near("1.2074")
    assert tau * forms.adiabatic_blowdown(2.4 / 8.0) == near("0.9410")
    assert 293.15 * forms.adiabatic_temperature(2.4 / 8.0) == near("207.8")


@pytest.mark.parametrize(
    ("volume", "conductance", "adiabatic", "time", "end"),
    [
        (1.0, 1.0, True, "1.6547", "174.5"),
        (1.0, 1.0, False, "2.0089", "293.15"),
        (0.942, 6.0, True, "0.26", "174.5"),
    ],
)
def test_blowdown_through_a_valve(
    volume: float, conductance: float, adiabatic: bool, time: str, end: str
) -> None:
    """8 to 1.3 bar against 1.2 bar, b 0.3, integrated here with the package's flow.

    Times in seconds and temperatures in kelvin computed for this project by another program,
    with cp 1005 J/(kg K): gamma is 1.39982, not 1.4.
    """
    R, T0 = forms.AIR_GAS_CONSTANT, 293.15
    gamma = 1005.0 / (1005.0 - R)
    V, C = volume * 1e-3, conductance * 1e-8

    def rates(t: float, y: np.ndarray) -> list[float]:
        m, T = y
        p = m * R * T / V
        out = float(mass_flow(C, 0.3, p, 1.2e5, T))
        return [-out, -(gamma - 1.0) * T * out / m if adiabatic else 0.0]

    def reached(t: float, y: np.ndarray) -> float:
        return float(y[0] * R * y[1] / V - 1.3e5)

    reached.terminal = True  # type: ignore[attr-defined]
    start = [8e5 * V / (R * T0), T0]
    run = solve_ivp(rates, (0.0, 10.0), start, events=reached, rtol=1e-9, atol=1e-12)
    assert run.t_events[0][0] == near(time)
    assert run.y[1, -1] == near(end)
    if adiabatic:
        left = run.y[0, -1] / start[0]
        mean = (T0 - left * run.y[1, -1]) / (gamma * (1.0 - left))
        assert mean == near("241.3")
        assert 1.0 - left == near("0.727")
