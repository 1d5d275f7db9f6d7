"""What stands at the ends of the ducts: port, sudden widening, outlet.

Each relation is the one of the package's steady march (fitting loss, Borda-Carnot widening
with a loss on the dynamic pressure behind it, free or sonic discharge), met at every instant
by the state at the end of a duct; that state follows from the flow inside along the
characteristic that reaches the end. Reverse flow, which is slow here, takes the same losses.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from .euler import Gas, State

STEPS = 20
SETTLED = 1e-9
"""Relative change of a pressure that ends Newton's steps [-]."""


@dataclass(frozen=True)
class Wave:
    """States that a duct's end can take, by its pressure: isentropic from the flow inside."""

    gas: Gas
    inside: State
    side: float
    """+1 where the duct lies upstream of its end, -1 where downstream."""

    def at(self, p: float) -> State:
        """State at pressure p."""
        rho, u, p0 = self.inside
        g = self.gas.gamma
        ratio = p / p0
        c0 = math.sqrt(g * p0 / rho)
        turn = 2.0 * c0 / (g - 1.0) * (ratio ** ((g - 1.0) / (2.0 * g)) - 1.0)
        return (rho * ratio ** (1.0 / g), u - self.side * turn, p)

    @property
    def sonic(self) -> float:
        """Pressure at which a duct that discharges runs at the speed of sound [Pa]."""
        rho, u, p0 = self.inside
        g = self.gas.gamma
        c0 = math.sqrt(g * p0 / rho)
        c = (g - 1.0) / (g + 1.0) * (u + 2.0 * c0 / (g - 1.0))
        return p0 * (c / c0) ** (2.0 * g / (g - 1.0))


def sound(gas: Gas, W: State) -> float:
    """Speed of sound [m/s]."""
    return math.sqrt(gas.gamma * W[2] / W[0])


def stagnation_temperature(gas: Gas, W: State) -> float:
    """Stagnation temperature [K]."""
    return W[2] / (W[0] * gas.R) + W[1] ** 2 / (2.0 * gas.cp)


def fed(gas: Gas, T0: float, u: float, p: float) -> State:
    """State of gas that came from a stagnation temperature."""
    return (p / (gas.R * (T0 - u * u / (2.0 * gas.cp))), u, p)


@dataclass(frozen=True)
class Volume:
    """Air at rest before the tube, at the beginning of a time step."""

    p: float
    """Pressure [Pa]."""
    T: float
    """Temperature [K]."""
    softness: float
    """Fall of its pressure by the middle of the step, over mass flux out [m/s]; 0 if endless."""
    fed: float
    """Mass flux into it over the tube's section, meanwhile [kg/(s m2)]."""


def port(gas: Gas, behind: Volume, loss: float, first: State) -> State:
    """State at the tube's beginning.

    The volume's pressure is taken in the middle of the step, with the flow that leaves
    meanwhile: taken at the beginning it lags, and feeds sound instead of storing it.
    """
    wave = Wave(gas, first, -1.0)
    T0, soft = behind.T, behind.softness
    p = min(first[2], behind.p)
    for _ in range(STEPS):
        W = wave.at(p)
        if W[1] < 0.0:
            # Air runs back into the volume as a jet.
            value, W_out = p - loss * 0.5 * W[0] * W[1] ** 2, W
        else:
            W_out = fed(gas, T0, W[1], p)
            T = p / (W_out[0] * gas.R)
            value = p * (T0 / T) ** (gas.cp / gas.R) + loss * 0.5 * W_out[0] * W[1] ** 2
        middle = behind.p + soft * (behind.fed - W_out[0] * W[1])
        impedance = W[0] * sound(gas, W) / W_out[0]
        change = (middle - value) / (1.0 + ((1.0 + loss) * abs(W[1]) + soft) / impedance)
        p += change
        if abs(change) < SETTLED * p:
            return W_out
    raise ArithmeticError(f"port did not settle at {behind.p:.6g} Pa")


def widening(
    gas: Gas, share: float, loss: float, above: State, below: State
) -> tuple[State, State]:
    """States at the end of a duct and at the beginning of a wider one.

    Parameters
    ----------
    share : section above over the one below [-]
    loss : on the dynamic pressure below [-]
    above, below : states inside the two ducts
    """
    up, down = Wave(gas, above, 1.0), Wave(gas, below, -1.0)
    p, q = above[2], below[2]
    for _ in range(STEPS):
        A, B = up.at(p), down.at(q)
        c, z = sound(gas, A), B[0] * sound(gas, B)
        if A[1] >= 0.0:
            B = fed(gas, stagnation_temperature(gas, A), B[1], q)
            push = p + share * A[0] * A[1] ** 2 - q - (1.0 + 0.5 * loss) * B[0] * B[1] ** 2
            push_p = 1.0 + share * A[1] / c * (A[1] / c - 2.0)
            push_q = -1.0 - (2.0 + loss) * B[1] * B[0] / z
        else:
            A = fed(gas, stagnation_temperature(gas, B), A[1], p)
            push = p + 0.5 * A[0] * A[1] ** 2 - q - (1.0 - loss) * 0.5 * B[0] * B[1] ** 2
            push_p = 1.0 - A[1] / c
            push_q = -1.0 - (1.0 - loss) * B[1] * B[0] / z
        mass = share * A[0] * A[1] - B[0] * B[1]
        mass_p = share * (A[1] / c - 1.0) / c
        mass_q = -B[1] / (gas.R * stagnation_temperature(gas, B)) - B[0] / z
        size = mass_p * push_q - mass_q * push_p
        dp = (push * mass_q - mass * push_q) / size
        dq = (mass * push_p - push * mass_p) / size
        p, q = p + dp, q + dq
        if abs(dp) + abs(dq) < SETTLED * p:
            return A, B
    raise ArithmeticError(f"widening did not settle at {p:.6g} Pa")


def outlet(
    gas: Gas, share: float, loss: float, ambient: tuple[float, float], last: State
) -> tuple[State, State]:
    """States at the channel's end and in the outlet, which discharges into the surroundings.

    Parameters
    ----------
    share : channel's section over the outlet's, at most 1 [-]
    loss : on the outlet's dynamic pressure [-]
    ambient : pressure [Pa], temperature [K]
    last : state inside the channel
    """
    wave = Wave(gas, last, 1.0)
    floor = wave.sonic

    def push(A: State) -> tuple[State, float]:
        """State in the outlet, and what the channel's impulse has to spare [Pa]."""
        G = share * A[0] * A[1]
        V = discharge(gas, G, stagnation_temperature(gas, A), ambient[0])
        return V, A[2] + share * A[0] * A[1] ** 2 - V[2] - (1.0 + 0.5 * loss) * G * V[1]

    choked = wave.at(floor)
    V, spare = push(choked)
    if spare >= -SETTLED * floor:
        return choked, V
    p = last[2]
    for _ in range(STEPS):
        A = wave.at(p)
        c, M = sound(gas, A), A[1] / sound(gas, A)
        if A[1] >= 0.0:
            V, value = push(A)
            rate = 1.0 + share * (M * M - 2.0 * M) + (2.0 + loss) * V[1] * share * (1.0 - M) / c
        else:
            A = fed(gas, ambient[1], A[1], p)
            V = (A[0], share * A[1], ambient[0])
            taken = (1.0 + loss * share**2) * A[1]
            value, rate = p + 0.5 * A[0] * A[1] * taken - ambient[0], 1.0 - taken / c
        change = max(-value / rate, 0.5 * (floor - p))
        p += change
        if abs(change) < SETTLED * p:
            return A, V
    raise ArithmeticError(f"outlet did not settle at {p:.6g} Pa")


def discharge(gas: Gas, G: float, T0: float, ambient_pressure: float) -> State:
    """State of a flux G [kg/(s m2)] in the outlet: at ambient pressure, or sonic."""
    sonic = G * math.sqrt(gas.R * T0 * 2.0 / (gas.gamma * (gas.gamma + 1.0)))
    p = max(ambient_pressure, sonic)
    k = (G * gas.R / p) ** 2 / (2.0 * gas.cp)
    T = 2.0 * T0 / (1.0 + math.sqrt(1.0 + 4.0 * k * T0))
    return (p / (gas.R * T), G * gas.R * T / p, p)
