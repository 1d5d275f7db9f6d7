"""A receiver that is filled: contents, adiabatic end, heat to its wall and away, against others.

References: the closed form of an ideal gas; CoolProp, which the balance itself does not use.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fill_sample import CASE, RECEIVER
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from jacketcalc.correlations.outside import cylinder_nusselt
from jacketcalc.correlations.receiver import bath_coefficient, filling_nusselt
from jacketcalc.fill import receiver as module
from jacketcalc.fill.receiver import Held, Vessel
from jacketcalc.inputs import Receiver

INSULATED = replace(RECEIVER, surface=1e-9)
LINE_T, LINE_P = 293.15, 200e5


def fill(vessel: Vessel, held: Held, h: float, pressure: float, steps: int = 400) -> Held:
    """Fill at a constant flow and enthalpy until a pressure, in even implicit steps."""
    flow, step = 1e-3, 2.0
    while True:
        nearer = vessel.settle(held, step, flow, flow * h, held)
        if nearer.pressure < pressure:
            held = nearer
            continue
        if nearer.pressure - pressure < 1e-6 * pressure:
            return nearer
        step *= (pressure - held.pressure) / (nearer.pressure - held.pressure)


def test_an_ideal_gas_from_a_line_into_a_void_ends_at_gamma_times_its_temperature(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Closed form of the open system, any textbook of thermodynamics: T = gamma T0."""
    R, gamma = 287.0, 1.4
    cp = gamma * R / (gamma - 1.0)

    def ideal(T: float, p: float, name: str = "air") -> tuple[float, ...]:
        rho = p / (R * T)
        return rho, cp * T, -rho / T, rho / p, cp, 0.0, 1.8e-5, 0.026

    monkeypatch.setattr(module, "gas_state", ideal)
    void = replace(INSULATED, start_pressure=1.0)
    vessel = Vessel(void, CASE.machine)
    end = fill(vessel, vessel.start(), cp * LINE_T, 50e5)
    assert end.temperature == pytest.approx(gamma * LINE_T, rel=1e-5)
    # Not from a void: a part of the air was compressed instead; same balance, solved for T.
    vessel = Vessel(replace(INSULATED, start_pressure=10e5), CASE.machine)
    end = fill(vessel, vessel.start(), cp * LINE_T, 50e5)
    T1 = CASE.machine.ambient.temperature
    m1 = 10e5 / (R * T1)
    cv = cp - R
    expected = brentq(lambda T: (50e5 / (R * T) - m1) * cp * LINE_T + m1 * cv * T1
                      - 50e5 / R * cv, 200.0, 600.0)  # fmt: skip
    assert end.temperature == pytest.approx(expected, rel=1e-6)


def test_real_air_from_a_line_ends_where_coolprop_says() -> None:
    vessel = Vessel(INSULATED, CASE.machine)
    start = vessel.start()
    h = PropsSI("H", "T", LINE_T, "P", LINE_P, "Air")
    p1, T1 = start.pressure, start.temperature
    rho1, u1 = PropsSI("D", "T", T1, "P", p1, "Air"), PropsSI("U", "T", T1, "P", p1, "Air")

    def left_over(T: float) -> float:
        rho, u = PropsSI("D", "T", T, "P", LINE_P, "Air"), PropsSI("U", "T", T, "P", LINE_P, "Air")
        return float(rho * u - rho1 * u1 - (rho - rho1) * h)

    expected = brentq(left_over, 250.0, 600.0)
    end = fill(vessel, start, h, LINE_P)
    assert end.temperature == pytest.approx(expected, abs=0.02)
    # Real air stays well below the ideal 1.4 x 293 K = 410 K, but above the line.
    assert LINE_T + 50.0 < expected < 1.4 * LINE_T


def test_contents_at_200_bar() -> None:
    """CoolProp's density; and 50 L at 200 bar hold some 10 m3 of free air: common practice."""
    big = Receiver(
        volume=50e-3, start_pressure=200e5 + 101300.0, wall_mass=60.0,
        material=RECEIVER.material, diameter=0.2, surface=1.0,
    )  # fmt: skip
    vessel = Vessel(big, CASE.machine)
    held = vessel.start()
    T = CASE.machine.ambient.temperature
    assert held.mass == pytest.approx(50e-3 * PropsSI("D", "T", T, "P", 201.013e5, "Air"), rel=2e-6)
    assert held.mass / 1.2 == pytest.approx(10.0, rel=0.06)
    assert vessel.settled_pressure(held) == pytest.approx(201.013e5, rel=1e-9)


@pytest.mark.parametrize("cooled_by", ["air", "water bath"])
def test_air_wall_and_surroundings_against_a_library_of_differential_equations(
    cooled_by: str,
) -> None:
    """scipy's Radau on mass, temperature and wall, properties of CoolProp, films written anew."""
    machine = CASE.machine
    own = replace(RECEIVER, volume=20e-3, wall_mass=24.0, diameter=0.16, surface=0.55,
                  start_pressure=50e5, cooled_by=cooled_by, bath_temperature=288.15)  # fmt: skip
    vessel = Vessel(own, machine)
    around = 288.15 if cooled_by == "water bath" else machine.ambient.temperature
    flow, length = 2e-3, 900.0
    h_in = PropsSI("H", "T", 400.0, "P", 150e5, "Air")
    bore = machine.stages[-1].delivery.port_bore

    def slopes(_: float, y: np.ndarray) -> list[float]:
        m, T, wall = y
        rho = m / 20e-3
        get = lambda what: PropsSI(what, "T", T, "D", rho, "Air")  # noqa: E731
        mu, k, cp, cv = get("V"), get("L"), get("C"), get("O")
        Ra = 9.80665 * get("ISOBARIC_EXPANSION_COEFFICIENT") * abs(T - wall) * 0.16**3
        Ra *= rho**2 * cp / (mu * k)
        Re = 4 * flow / (np.pi * bore * mu)
        Q = (0.56 * Re**0.67 + 0.104 * Ra**0.352) * k / 0.16 * 0.55 * (T - wall)
        film = 0.5 * (wall + around)
        fluid, p_out = ("Water", 101325.0) if cooled_by != "air" else ("Air", 101300.0)
        out = lambda what: PropsSI(what, "T", film, "P", p_out, fluid)  # noqa: E731
        nu = out("V") / out("D")
        Gr = 9.80665 * out("ISOBARIC_EXPANSION_COEFFICIENT") * abs(wall - around) * 0.16**3 / nu**2
        coefficient = cylinder_nusselt(max(Gr, 1.0), out("PRANDTL")) * out("L") / 0.16
        if cooled_by == "air":
            coefficient += 0.8 * 5.670374419e-8 * (wall**2 + around**2) * (wall + around)
        lost = coefficient * 0.55 * (wall - around)
        u = get("U")
        du_drho = PropsSI("d(U)/d(D)|T", "T", T, "D", rho, "Air")
        dT = (flow * (h_in - u) - Q - m * du_drho * flow / 20e-3) / (m * cv)
        return [flow, dT, (Q - lost) / (24.0 * 486.0)]

    start = vessel.start()
    reference = solve_ivp(slopes, (0.0, length), [start.mass, around, around], "Radau", rtol=1e-7)
    held, steps = start, 900
    for _ in range(steps):
        held = vessel.settle(held, length / steps, flow, flow * h_in, held)
    m, T, wall = reference.y[:, -1]
    assert held.mass == pytest.approx(m, rel=1e-9)
    # Euler's rule in 900 steps; the bath's properties are interpolated.
    assert held.temperature == pytest.approx(T, abs=0.1)
    assert held.wall == pytest.approx(wall, abs=0.1)
    assert around + 1.0 < wall < T - 1.0


def test_the_bath_has_the_properties_of_water() -> None:
    """CoolProp, 0.1 m and 20 K above a bath of 15 degC."""
    get = lambda what: PropsSI(what, "T", 298.15, "P", 101325.0, "Water")  # noqa: E731
    nu = get("V") / get("D")
    Gr = 9.80665 * get("ISOBARIC_EXPANSION_COEFFICIENT") * 20.0 * 0.1**3 / nu**2
    expected = cylinder_nusselt(Gr, get("PRANDTL")) * get("L") / 0.1
    assert bath_coefficient(308.15, 288.15, 0.1) == pytest.approx(expected, rel=1e-3)
    # Some hundred W/(m2 K), against some 5 in air: common practice.
    assert 300.0 < expected < 1500.0


def test_the_law_of_filling_as_written() -> None:
    """Nu = 0.56 Re^0.67 + 0.104 Ra^0.352, worked out by hand at Re 1e4 and Ra 1e10."""
    assert filling_nusselt(1e4, 1e10) == pytest.approx(0.56 * 478.63 + 0.104 * 3311.31, rel=1e-5)
