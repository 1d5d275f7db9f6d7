"""The equation that is shown is the one that is computed: each is read and evaluated."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from jacketcalc.correlations import cylinder, friction, heat, moisture, outside, receiver
from jacketcalc.correlations.records import FORMULAS
from jacketcalc.flow import iso6358
from jacketcalc.formula import Formula, polynomial


def test_a_polynomial_is_written_out() -> None:
    assert polynomial((1.0, -1.5, 0.0, 0.25), "a") == "1 - 1.5a + 0a^2 + 0.25a^3"


# the equation as printed, evaluated

_TOKEN = re.compile(
    r"\s*(?:(?P<number>\d+\.?\d*(?:e[-+]?\d+)?)|(?P<name>[A-Za-z]\w*)|(?P<sign>\S))"
)
FUNCTIONS: dict[str, Callable[[Any], Any]] = {
    "tanh": np.tanh, "ln": np.log, "log10": np.log10, "cos": np.cos,
}  # fmt: skip


def python_of(text: str) -> str:
    """Return a printed formula as Python: powers by **, products where nothing stands between."""
    out, ended = [], False
    for found in _TOKEN.finditer(text):
        number, name, sign = found["number"], found["name"], found["sign"]
        if ended and (number or name or sign == "("):
            out.append("*")
        out.append({"^": "**"}.get(sign, sign) if sign else number or name)
        ended = bool(number or sign == ")" or (name and name not in FUNCTIONS))
    return " ".join(out)


def value_of(text: str, **given: Any) -> Any:
    """Evaluate a printed formula; its last clauses define what the first one uses."""
    first, *clauses = re.split(r"[,;] ", text)
    names: dict[str, Any] = {**FUNCTIONS, "i": 1j, "pi": math.pi, **given}
    for clause in reversed(clauses):
        if " = " in clause:
            name, _, right = clause.partition(" = ")
            names[name] = eval(python_of(right), {}, names)
    return eval(python_of(first.rpartition(" = ")[2]), {}, names)


def test_printed_formulas_are_read() -> None:
    assert value_of("f = 3 a^-2 (1 + 2a)^0.5/4, a = 2 b", b=2.0) == pytest.approx(9 / 64)
    assert value_of("y = 1 - tanh(z) / z", z=0.5) == pytest.approx(1 - math.tanh(0.5) / 0.5)


RE, PR, D, A, PE = 3.1e4, 0.72, 0.07, 0.6, 700.0
K, RHO, MU, CP, BORE = 0.03, 20.0, 2e-5, 1010.0, 0.04
CELL = {"k": K, "rho": RHO, "mu": MU, "Pr": MU * CP / K}
"""A state of air, about that of a stage."""

SHOWN: dict[Formula[..., Any], tuple[dict[str, Any], Any]] = {
    friction.rectangle_constant: ({"a": A}, friction.rectangle_constant(A)),
    friction.coil_laminar: ({"Re": 900.0, "De": 900.0 * D**0.5}, friction.coil_laminar(900.0, D)),
    friction.coil_turbulent: ({"Re": RE, "Dh": D, "Dc": 1.0}, friction.coil_turbulent(RE, D)),
    friction.critical_reynolds: ({"Dh": D, "Dc": 1.0}, friction.critical_reynolds(D)),
    friction.haaland: ({"Re": RE, "e": 1e-3}, friction.haaland(RE, 1e-3)),
    friction.annulus_friction: ({"Re": RE, "a": A}, friction.annulus_friction(RE, A)),
    heat.one_wall_laminar: ({"a": A}, heat.one_wall_laminar(A)),
    heat.curved_laminar: ({"De": 400.0}, heat.curved_laminar(400.0, A)),
    heat.gnielinski: ({"Re": RE, "Pr": PR, "f": 0.02}, heat.gnielinski(RE, PR, 0.02)),
    heat.annulus_turbulent: (
        {"Re": RE, "Pr": PR, "f": float(friction.annulus_friction(RE, A))},
        heat.annulus_turbulent(RE, PR, A),
    ),
    heat.inner_wall_factor: ({"a": A}, heat.inner_wall_factor(A)),
    heat.inner_wall_factor_1964: ({"a": A}, heat.inner_wall_factor_1964(A)),
    heat.entrance_factor: ({"D": D, "L": 1.0}, heat.entrance_factor(D, 1.0)),
    heat.coil_average_laminar: (
        {"Re": 2e3, "Pr": PR, "d": D}, heat.coil_average_laminar(2e3, PR, D),
    ),
    heat.coil_average_turbulent: (
        {"Re": RE, "Pr": PR, "f": float(friction.coil_turbulent(RE, D))},
        heat.coil_average_turbulent(RE, PR, D),
    ),
    heat.coil_mori_nakayama: ({"Re": RE, "Pr": PR, "d": D}, heat.coil_mori_nakayama(RE, PR, D)),
    heat.coil_xin_ebadian: ({"Re": RE, "Pr": PR, "d": D}, heat.coil_xin_ebadian(RE, PR, D)),
    heat.property_ratio: ({"Tb": 250.0, "Tw": 300.0}, heat.property_ratio(250.0, 300.0, RE)),
    cylinder.gas_spring: ({"Pe": PE}, cylinder.gas_spring(PE)[0]),
    cylinder.lee_exact: ({"Pe": PE}, complex(*(float(x) for x in cylinder.lee_exact(PE)))),
    cylinder.natural_convection: (
        dict(CELL, g=cylinder.GRAVITY, dT=40.0, T=350.0),
        cylinder.natural_convection(K, RHO, MU, CP, 350.0, 40.0),
    ),
    outside.cylinder_nusselt: ({"Ra": 1e6 * PR, "Pr": PR}, outside.cylinder_nusselt(1e6, PR)),
    outside.crossflow_nusselt: ({"Re": RE, "Pr": PR}, outside.crossflow_nusselt(RE, PR)),
    outside.exchanger_effectiveness: (
        {"N": 1.5, "r": 0.4, "e": math.e}, outside.exchanger_effectiveness(1.5, 0.4),
    ),
    outside.radiation: ({"e": 0.8, "T1": 350.0, "T0": 290.0}, outside.radiation(0.8, 350.0, 290.0)),
    outside.gap_exchange: ({"e_i": 0.8, "e_o": 0.3, "q": 0.9}, outside.gap_exchange(0.8, 0.3, 0.9)),
    outside.cylinder_resistance: (
        {"D_o": 0.06, "D_i": 0.05, "k": 16.0, "L": 0.2},
        outside.cylinder_resistance(0.05, 0.06, 16.0, 0.2),
    ),
    receiver.filling_nusselt: ({"Re": RE, "Ra": 3e9}, receiver.filling_nusselt(RE, 3e9)),
    # Water at 298.15 K as the module tables it, 20 K over 0.1 m.
    receiver.bath_coefficient: (
        {"k": 0.6065, "D": 0.1, "Pr": 6.136,
         "Ra": 6.136 * 9.80665 * 2.5729e-4 * 20.0 * 0.1**3 / 8.9266e-7**2},
        receiver.bath_coefficient(308.15, 288.15, 0.1),
    ),
    moisture.vapour_pressure_ice: ({"T": 250.0}, np.log(moisture.vapour_pressure_ice(250.0))),
    moisture.vapour_pressure_water: (
        {"T": 290.0}, np.log(moisture.vapour_pressure_water(290.0)),
    ),
    iso6358.mass_flow: (
        {"C": 1e-8, "p1": 6e5, "p2": 4e5, "b": 0.3, "dp": 0.0, "rho0": iso6358.REFERENCE_DENSITY,
             "T0": iso6358.REFERENCE_TEMPERATURE, "T1": 280.0},
        iso6358.mass_flow(1e-8, 0.3, 6e5, 4e5, 280.0),
    ),
}  # fmt: skip
"""What the symbols of each printed formula are given, and what the function gives."""


@pytest.mark.parametrize("one", SHOWN, ids=lambda one: one.record.name)
def test_the_equation_shown_is_the_one_computed(one: Formula[..., Any]) -> None:
    given, want = SHOWN[one]
    assert value_of(one.record.equation, **given) == pytest.approx(want, rel=1e-9)


def test_both_ranges_of_schmidt_are_shown() -> None:
    """Up to 22 000 and above."""
    slow, fast = heat.coil_schmidt.record.equation.split("; ")
    given = {"Pr": PR, "d": D}
    assert value_of(slow.partition(" up to")[0], Re=2e4, **given) == pytest.approx(
        heat.coil_schmidt(2e4, PR, D), rel=1e-12
    )
    assert value_of(fast.removesuffix(" above"), Re=RE, **given) == pytest.approx(
        heat.coil_schmidt(RE, PR, D), rel=1e-12
    )


def test_the_laws_of_a_chamber_are_shown() -> None:
    """Their Reynolds numbers are on the speeds that the second clause gives."""
    nusselt, speed = cylinder.jet_stirred.record.equation.split(", ")
    u = value_of(speed, u_p=0.4, u_c=0.9)
    nu = value_of(nusselt, Re=RHO * u * BORE / MU, Pr=CELL["Pr"])
    assert cylinder.jet_stirred(K, RHO, MU, CP, BORE, 0.4, 0.9, 0.1) == pytest.approx(nu * K / BORE)
    nusselt, swirl, _ = re.split(r", (?:swirl )?|; ", cylinder.adair.record.equation, maxsplit=2)
    rate = value_of(swirl.partition(",")[0], w=6.0, theta=0.4)
    nu = value_of(nusselt, Re=RHO * BORE * BORE / 2 * rate / MU, Pr=CELL["Pr"])
    assert cylinder.adair(K, RHO, MU, CP, BORE, 6.0, 0.4) == pytest.approx(nu * K / BORE)
    Re = RHO * 0.3 * BORE / MU
    shown, chosen = cylinder.annand.record.equation.partition(", ")[0], 0.7
    assert f"here {chosen:g}" in cylinder.annand.record.equation
    nu = value_of(shown, a=chosen, Re=Re)
    assert cylinder.annand(K, RHO, MU, BORE, 0.3) == pytest.approx(nu * K / BORE)
    drive = cylinder.drive_eichelberg.record.equation.replace("p[bar]", "p")
    assert cylinder.drive_eichelberg(0.3, 5e5, 280.0) == pytest.approx(
        value_of(drive, c_m=0.3, p=5.0, T=280.0)
    )


def test_both_numbers_of_a_plain_tube_are_shown() -> None:
    sonic, ratio = iso6358.tube_conductance.record.equation.split(", ")
    C = value_of(sonic, d=0.01, L=2.0)
    assert iso6358.tube_conductance(0.01, 2.0) == pytest.approx((C, value_of(ratio, C=C, d=0.01)))


def test_fin_and_enhancement_are_shown() -> None:
    shown, slender = outside.fin_efficiency.record.equation.split(", ")
    m = value_of(slender, h=80.0, k=16.0, t=2e-3)
    assert outside.fin_efficiency(80.0, 16.0, 2e-3, 0.01) == pytest.approx(
        value_of(shown, mL=m * 0.01)
    )
    T, p, n = 260.0, 4e6, 1900.0
    B, C = (
        sum(c * (T / 100) ** power for c, power in series) * 1e-6
        for series in (moisture.SECOND_VIRIAL, moisture.THIRD_VIRIAL)
    )
    R = moisture.MOLAR_GAS_CONSTANT
    ln = value_of(
        moisture.enhancement_factor.record.equation,
        v=moisture.ICE_VOLUME, p=p, R=R, T=T, B=B, C=C, n=n, Z=p / (n * R * T),
    )  # fmt: skip
    assert moisture.enhancement_factor(T, p, n, frost=True) == pytest.approx(math.exp(ln))


def test_every_equation_is_evaluated_here() -> None:
    elsewhere = {
        heat.coil_schmidt, cylinder.jet_stirred, cylinder.adair, cylinder.annand,
        cylinder.drive_eichelberg, outside.fin_efficiency, moisture.enhancement_factor,
        iso6358.tube_conductance,
    }  # fmt: skip
    assert set(SHOWN) | elsewhere == set(FORMULAS)
