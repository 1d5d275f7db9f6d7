"""Compressible flow in ducts, for published cases: closed forms and the march. In SI."""

from __future__ import annotations

import math
from collections.abc import Callable

from scipy.optimize import brentq

from jacketcalc.core.parts import PassageParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.correlations.laws import tube_friction
from jacketcalc.flow import closed_forms as forms
from jacketcalc.gas.table import properties
from jacketcalc.inputs import Tube
from jacketcalc.verification.machines import bench_machine, plastic

GAS_CONSTANT = 287.0
"""Gas constant that the textbooks use for air [J/(kg K)]."""
GAMMA = 1.4
"""Ratio of specific heats that they use [-]."""
ADIABATIC_PASSES = 6
"""Passes after which an adiabatic tube's wall has found its temperature [-]."""
SWEEPS = 8
"""Sweeps of a march from a uniform profile, after which nothing of it changes any more [-]."""
CELLS = Resolution()
"""Cells of the march: a machine's own."""
LARGEST_ROUGHNESS = 0.05
"""Largest relative roughness that the friction law knows [-]."""


def mach_number(V: float, T: float) -> float:
    """Return the Mach number of air as the textbooks take it [-]."""
    return V / math.sqrt(GAMMA * GAS_CONSTANT * T)


def fanno_length(M: float) -> float:
    """Return f L*/D to the sonic end [-]."""
    return float(forms.fanno_length(M))


def fanno_pressure(M: float) -> float:
    """Return p/p* [-]."""
    return float(forms.fanno(M).pressure)


def fanno_temperature(M: float) -> float:
    """Return T/T* [-]."""
    return float(forms.fanno(M).temperature)


def fanno_stagnation(M: float) -> float:
    """Return p0/p0* [-]."""
    return float(forms.fanno(M).stagnation_pressure)


def fanno_pipe(M1: float, M2: float, D: float, fanning: float) -> float:
    """Return the length of an adiabatic pipe between two Mach numbers [m]."""
    return (fanno_length(M1) - fanno_length(M2)) * D / (4.0 * fanning)


def fanno_pipe_darcy(M1: float, D: float, f: float) -> float:
    """Return the length of an adiabatic pipe to its sonic end [m]."""
    return fanno_length(M1) * D / f


def fanno_exit_temperature(M1: float, T1: float) -> float:
    """Return the temperature at the sonic end [K]."""
    return T1 / fanno_temperature(M1)


def fanno_exit_pressure(M1: float, p1: float) -> float:
    """Return the pressure at the sonic end [Pa]."""
    return p1 / fanno_pressure(M1)


def fanno_loss(M1: float) -> float:
    """Return the share of stagnation pressure lost to the sonic end [-]."""
    return 1.0 - 1.0 / fanno_stagnation(M1)


def fanno_mach_along(V1: float, T1: float, f: float, L: float, D: float) -> float:
    """Return the Mach number at the end of an adiabatic pipe [-]."""
    left = fanno_length(mach_number(V1, T1)) - f * L / D
    return forms.fanno_mach(left)


def fanno_friction(p0: float, pA: float, pB: float, L: float, D: float) -> float:
    """Return the Fanning factor from pressures at the inlet and along an adiabatic pipe [-]."""
    MA = math.sqrt(2.0 / (GAMMA - 1.0) * ((p0 / pA) ** ((GAMMA - 1.0) / GAMMA) - 1.0))
    MB = _fanno_mach_at(fanno_pressure(MA) * pB / pA)
    return (fanno_length(MA) - fanno_length(MB)) * D / (4.0 * L)


def fanno_inlet_pressure(Q2: float, T2: float, p2: float, L: float, D: float, f: float) -> float:
    """Return the inlet pressure of an adiabatic pipe whose outlet is known [Pa]."""
    M2 = mach_number(Q2 / (math.pi / 4.0 * D**2), T2)
    M1 = forms.fanno_mach(fanno_length(M2) + f * L / D)
    return p2 * fanno_pressure(M1) / fanno_pressure(M2)


def fanno_temperature_at(V1: float, p1: float, T1: float, p2: float) -> float:
    """Return the temperature where an adiabatic pipe has reached a pressure [K]."""
    M1 = mach_number(V1, T1)
    M2 = _fanno_mach_at(fanno_pressure(M1) * p2 / p1)
    return T1 * fanno_temperature(M2) / fanno_temperature(M1)


def fanno_distance_to(
    V1: float, p1: float, T1: float, p2: float, D: float, fanning: float
) -> float:
    """Return how far along an adiabatic pipe a pressure is reached [m]."""
    M1 = mach_number(V1, T1)
    return fanno_pipe(M1, _fanno_mach_at(fanno_pressure(M1) * p2 / p1), D, fanning)


def isothermal_pipe(M1: float, M2: float, D: float, fanning: float) -> float:
    """Return the length of an isothermal pipe between two Mach numbers [m]."""
    span = float(forms.isothermal_length(M1) - forms.isothermal_length(M2))
    return span * D / (4.0 * fanning)


def isothermal_longest(M1: float, D: float, fanning: float) -> float:
    """Return the longest isothermal pipe from a Mach number [m]."""
    return float(forms.isothermal_length(M1)) * D / (4.0 * fanning)


def isothermal_pressure_after(M1: float, M2: float, p1: float) -> float:
    """Return the pressure at the second Mach number of an isothermal pipe [Pa]."""
    return p1 * float(forms.isothermal_pressure(M2) / forms.isothermal_pressure(M1))


def rayleigh_pressure(M: float, gamma: float) -> float:
    """Return p/p* of a pipe with heat [-]."""
    return float(forms.rayleigh(M, gamma).pressure)


def rayleigh_temperature(M: float, gamma: float) -> float:
    """Return T/T* of a pipe with heat [-]."""
    return float(forms.rayleigh(M, gamma).temperature)


def rayleigh_stagnation(M: float, gamma: float) -> float:
    """Return p0/p0* of a pipe with heat [-]."""
    return float(forms.rayleigh(M, gamma).stagnation_pressure)


def rayleigh_room(M: float, gamma: float) -> float:
    """Return T0*/T0: how far heat can still raise the stagnation temperature [-]."""
    return 1.0 / float(forms.rayleigh(M, gamma).stagnation_temperature)


def heated_mach(V1: float, T1: float, q: float, cp: float) -> float:
    """Return the Mach number after heating [-]."""
    M1 = mach_number(V1, T1)
    T01 = T1 * float(forms.stagnation_temperature_ratio(M1))
    first = float(forms.rayleigh(M1).stagnation_temperature)
    return forms.rayleigh_mach(first * (1.0 + q / (cp * T01)))


def heated_temperature(V1: float, T1: float, q: float, cp: float) -> float:
    """Return the static temperature after heating [K]."""
    first, second = _heated(V1, T1, q, cp)
    return T1 * float(second.temperature / first.temperature)


def heated_pressure(V1: float, T1: float, q: float, cp: float, p1: float) -> float:
    """Return the static pressure after heating [Pa]."""
    first, second = _heated(V1, T1, q, cp)
    return p1 * float(second.pressure / first.pressure)


def stagnation_temperature(T: float, V: float, cp: float) -> float:
    """Return the stagnation temperature, with gamma 1.4 [K]."""
    M = V / math.sqrt((GAMMA - 1.0) * cp * T)
    return T * float(forms.stagnation_temperature_ratio(M))


def smooth_friction_of_air(V: float, T: float, p: float, D: float) -> float:
    """Return the Darcy friction factor of air in a smooth tube [-]."""
    state = properties(T, p)
    return float(tube_friction(0.0).value(float(state.density) * V * D / state.viscosity))


def marched_port_pressure(
    m: float,
    T0: float,
    p_end: float,
    D: float,
    L: float,
    f: float,
    resolution: Resolution = CELLS,
) -> float:
    """March an adiabatic tube of given friction and given pressure at its end [Pa].

    The tube's wall is brought to the temperature at which it takes up no heat, and its
    roughness to that at which the program's friction law has the case's factor.

    Parameters
    ----------
    m : mass flow [kg/s]
    T0 : stagnation temperature at the inlet [K]
    p_end : static pressure at the end; the end is sonic where it cannot fall that far [Pa]
    D, L : bore and length [m]
    f : Darcy friction factor, not below that of a smooth tube [-]
    resolution : into how many cells the tube is cut

    Returns
    -------
    Stagnation pressure at the inlet [Pa].
    """
    n, outer, T, ambient = resolution.tube_cells, T0, T0, p_end
    for _ in range(ADIABATIC_PASSES):
        tube = Tube(
            bore=D, wall=1e-3, length=L, material=plastic(), fitting_loss=0.0,
            roughness=D * roughness_of(_reynolds(m, T, D), f),
        )  # fmt: skip
        parts = PassageParts(bench_machine(tube=tube), resolution)
        parts.record["ambient_pressure"] = ambient
        found = parts.march(m, T0, parts.walls(T0, outer, heat=0.0), sweeps=SWEEPS)
        T, outer = float(found["T"][: n + 1].mean()), found["seen"][: n + resolution.channel_cells]
        if not found["chokes_inside"]:
            ambient *= p_end / float(found["p"][n])
    return float(found["port_pressure"])


def _reynolds(m: float, T: float, D: float) -> float:
    """Return the Reynolds number of air in a tube [-]."""
    return 4.0 * m / (math.pi * D * float(properties(T, 1e5).viscosity))


def roughness_of(Re: float, f: float) -> float:
    """Return the relative roughness that gives a Darcy friction factor [-]."""
    return float(brentq(lambda e: float(tube_friction(e).value(Re)) - f, 0.0, LARGEST_ROUGHNESS))


def _heated(V1: float, T1: float, q: float, cp: float) -> tuple[forms.FlowState, forms.FlowState]:
    return forms.rayleigh(mach_number(V1, T1)), forms.rayleigh(heated_mach(V1, T1, q, cp))


def _fanno_mach_at(pressure: float) -> float:
    """Return the subsonic Mach number at p/p*, from its quadratic in M^2 [-]."""
    rise = GAMMA - 1.0
    square = (math.sqrt(1.0 + rise * (GAMMA + 1.0) / pressure**2) - 1.0) / rise
    return math.sqrt(square)


QUANTITIES: dict[str, Callable[..., float]] = {
    "Fanno f L*/D": fanno_length,
    "Fanno p/p*": fanno_pressure,
    "Fanno T/T*": fanno_temperature,
    "Fanno p0/p0*": fanno_stagnation,
    "adiabatic pipe between Mach numbers": fanno_pipe,
    "adiabatic pipe to its sonic end": fanno_pipe_darcy,
    "adiabatic pipe, sonic temperature": fanno_exit_temperature,
    "adiabatic pipe, sonic pressure": fanno_exit_pressure,
    "adiabatic pipe, stagnation loss": fanno_loss,
    "adiabatic pipe, Mach number at the end": fanno_mach_along,
    "adiabatic pipe, friction from pressures": fanno_friction,
    "adiabatic pipe, inlet pressure": fanno_inlet_pressure,
    "adiabatic pipe, temperature at a pressure": fanno_temperature_at,
    "adiabatic pipe, distance to a pressure": fanno_distance_to,
    "isothermal pipe between Mach numbers": isothermal_pipe,
    "isothermal pipe, longest": isothermal_longest,
    "isothermal pipe, pressure": isothermal_pressure_after,
    "Rayleigh p/p*": rayleigh_pressure,
    "Rayleigh T/T*": rayleigh_temperature,
    "Rayleigh p0/p0*": rayleigh_stagnation,
    "Rayleigh T0*/T0": rayleigh_room,
    "heated pipe, Mach number": heated_mach,
    "heated pipe, temperature": heated_temperature,
    "heated pipe, pressure": heated_pressure,
    "stagnation temperature": stagnation_temperature,
    "smooth tube friction of air": smooth_friction_of_air,
    "marched tube, port pressure": marched_port_pressure,
}
