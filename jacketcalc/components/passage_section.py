"""Cross-sections of a passage: what flux, stagnation temperature and pressure say of each.

Between two sections stands either a sudden change of area or a cell with friction, whose
momentum balance is integrated in pressure,

    integral of rho dp + G^2 ln(v_out / v_in) + f G^2 dx / (2 D) = 0,

where rho(p) stays smooth up to the sonic point, so that choking needs no fine cells.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.designs import Array

CELL_NEWTON, END_NEWTON = 2, 4
"""Newton iterations on a cell's pressure, inside a part and in the two cells before its end,
where it may choke: the pressure is then within 1e-6, in most cells within 1e-9."""
STAGNATION_NEWTON = 8


class Section:
    """One cross-section with known flux and stagnation temperature."""

    def __init__(self, G: Array, T0: Array, cp: Array, R: Array) -> None:
        self.G, self.T0, self.cp, self.R = G, T0, cp, R
        # The kinetic energy is cp motion T^2 / (2 p^2), which makes temperature a square root.
        self.motion = (G * R) ** 2 / cp
        self._twice_T0 = 2 * T0
        self._bent = self.motion * self._twice_T0

    def temperature(self, p: Array) -> Array:
        """Static temperature at pressure p [K]."""
        return self.temperature_at(1.0 / (p * p))

    def temperature_at(self, thinness: Array) -> Array:
        """Static temperature at 1 / p^2 [K]."""
        return np.asarray(self._twice_T0 / (1.0 + np.sqrt(1.0 + self._bent * thinness)))

    def mach_squared(self, p: Array) -> Array:
        """Square of the Mach number [-]."""
        T = self.temperature(p)
        gamma = self.cp / (self.cp - self.R)
        return np.asarray(self.G**2 * self.R * T / (gamma * p * p))

    def mach(self, p: Array) -> Array:
        """Mach number [-]."""
        return np.sqrt(self.mach_squared(p))

    @property
    def sonic_pressure(self) -> Array:
        """Static pressure at Mach 1 [Pa]."""
        gamma = self.cp / (self.cp - self.R)
        return np.asarray(self.G * np.sqrt(self.R * self.T0 * 2 / (gamma * (gamma + 1.0))))

    def stagnation(self, p: Array) -> Array:
        """Stagnation pressure [Pa]."""
        return np.asarray(p * (self.T0 / self.temperature(p)) ** (self.cp / self.R))

    def dynamic(self, p: Array) -> Array:
        """Dynamic pressure rho V^2 / 2 [Pa]."""
        return np.asarray(0.5 * self.G**2 * self.R * self.temperature(p) / p)

    def static_before_widening(
        self, impulse: Array, share: Array
    ) -> tuple[Array, NDArray[np.bool_]]:
        """Static pressure before a sudden widening; sonic where the impulse is too small.

        `impulse` is p + rho V^2 behind it [Pa], `share` the section here over the one behind.
        """
        floor = self.sonic_pressure
        p = np.maximum(impulse, floor)
        for _ in range(STAGNATION_NEWTON):
            flux = 2.0 * share * self.dynamic(p)
            rate = np.maximum(1.0 - flux / p, 0.05)
            p = np.maximum(p - (p + flux - impulse) / rate, floor)
        short = impulse < floor + 2.0 * share * self.dynamic(floor)
        return p, np.asarray(short)

    def static(self, stagnation: Array) -> tuple[Array, NDArray[np.bool_]]:
        """Subsonic static pressure at a stagnation pressure; sonic where it is too low."""
        floor = self.sonic_pressure
        p = np.maximum(stagnation, floor)
        exponent = self.cp / self.R
        for _ in range(STAGNATION_NEWTON):
            T = self.temperature(p)
            twice = (self.G * self.R / p) ** 2 * T / self.cp
            value = p * (self.T0 / T) ** exponent
            rate = value / p * (1.0 - exponent * twice / (1.0 + twice))
            p = np.maximum(p - (value - stagnation) / np.maximum(rate, 0.02), floor)
        return p, np.asarray(stagnation < self.stagnation(floor))


def upstream_of(
    below: Section, p: Array, loss: float, above: Section, share: Array
) -> tuple[Array, NDArray[np.bool_]]:
    """Pressure at the end of a part from that where the next begins, and whether it chokes.

    A widening follows the momentum balance of a sudden expansion (Borda and Carnot), so that
    air that ends in the open loses its velocity head; a narrowing is smooth. Both add the loss,
    on the dynamic pressure below. `share` is the section above over the one below.
    """
    lost = loss * below.dynamic(p)
    narrow, choked_narrow = above.static(below.stagnation(p) + lost)
    impulse = p + 2.0 * below.dynamic(p) + lost
    wide, choked_wide = above.static_before_widening(impulse, np.minimum(share, 1.0))
    widens = np.broadcast_to(share < 1.0, p.shape)
    return np.where(widens, wide, narrow), np.where(widens, choked_wide, choked_narrow)


def step_up(
    face: int,
    G: Array,
    drag: Array,
    cp: Array,
    R: Array,
    T0: Array,
    T: Array,
    p: Array,
    iterations: int = END_NEWTON,
) -> None:
    """Solve one cell's momentum balance for the pressure at its upstream face."""
    here = Section(G, T0[face], cp, R)
    p_down, T_down = p[face + 1], T[face + 1]
    rho_down, GG = p_down / (R * T_down), G * G
    slope = np.maximum(rho_down * (1.0 - here.mach_squared(p_down)), 0.0)
    bend = rho_down / p_down + GG / (p_down * p_down)
    value = p_down + 2 * drag / (slope + np.sqrt(slope**2 + 2 * bend * drag) + 1e-300)
    for _ in range(iterations):
        inverse = 1.0 / value
        thinness = inverse * inverse
        t = here.temperature_at(thinness)
        rho = value / (R * t)
        fall = inverse / (1.0 + here.motion * t * thinness)
        mean, rise = 0.5 * (rho + rho_down), value - p_down
        balance = mean * rise - GG * np.log(rho / rho_down) - drag
        rate = mean + (0.5 * rise * rho - GG) * fall
        value = value - balance / np.maximum(rate, 0.02 * rho)
        value = np.maximum(value, p_down)
    p[face], T[face] = value, here.temperature(value)
