"""One-dimensional Euler equations in ducts of constant area: MUSCL-Hancock with HLLC fluxes.

Second order in space and time where the flow is smooth. Ducts stand in one array, end to end;
faces where a duct begins or ends are left to the caller, who knows what stands there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
State = tuple[float, float, float]
"""Density [kg/m3], speed [m/s], pressure [Pa]."""
Ends = Callable[[int, State | None, State | None], tuple[State, State]]
"""Flux seen by the cell before and behind a special face, from the states at its two sides."""


@dataclass(frozen=True, kw_only=True)
class Gas:
    """An ideal gas of constant specific heat."""

    gamma: float
    """Ratio of specific heats [-]."""
    R: float
    """Gas constant [J/(kg K)]."""

    @property
    def cp(self) -> float:
        """Specific heat at constant pressure [J/(kg K)]."""
        return self.R * self.gamma / (self.gamma - 1.0)

    def conserved(self, W: Array) -> Array:
        """Turn density, speed and pressure, shape (3, n), into mass, momentum and energy."""
        rho, u, p = W
        return np.stack([rho, rho * u, p / (self.gamma - 1.0) + 0.5 * rho * u * u])

    def primitive(self, U: Array) -> Array:
        """Turn mass, momentum and energy per volume into density, speed and pressure."""
        rho, u = U[0], U[1] / U[0]
        return np.stack([rho, u, (self.gamma - 1.0) * (U[2] - 0.5 * U[1] * u)])

    def flux(self, W: State) -> State:
        """Fluxes of mass, momentum and energy of one state."""
        rho, u, p = W
        G = rho * u
        return (G, G * u + p, u * (p * self.gamma / (self.gamma - 1.0) + 0.5 * G * u))


def hllc(gas: Gas, left: Array, right: Array) -> Array:
    """Flux between two states by HLLC, outer speeds after Einfeldt (Toro 2009, from memory).

    Parameters
    ----------
    left, right : density, speed and pressure, shape (3, n)

    Returns
    -------
    Fluxes of mass, momentum and energy, shape (3, n).
    """
    (rl, ul, pl), (rr, ur, pr) = left, right
    g = gas.gamma
    UL, UR = gas.conserved(left), gas.conserved(right)
    wl, wr = np.sqrt(rl), np.sqrt(rr)
    share = wl / (wl + wr)
    HL, HR = (UL[2] + pl) / rl, (UR[2] + pr) / rr
    um, Hm = ur + share * (ul - ur), HR + share * (HL - HR)
    cm = np.sqrt((g - 1.0) * (Hm - 0.5 * um * um))
    SL = np.minimum(ul - np.sqrt(g * pl / rl), um - cm)
    SR = np.maximum(ur + np.sqrt(g * pr / rr), um + cm)
    ml, mr = rl * (SL - ul), rr * (SR - ur)
    SM = (pr - pl + ml * ul - mr * ur) / (ml - mr)
    near = SM >= 0.0
    U = np.where(near, UL, UR)
    rho, u, p = np.where(near, left, right)
    S = np.where(near, np.minimum(SL, 0.0), np.maximum(SR, 0.0))
    m = rho * (S - u)
    gap = S - SM
    # Where the outer wave has already left, S is 0 and the flux is that of the state itself.
    gap = np.where(S == 0.0, 1.0, gap)
    F = np.stack([U[1], U[1] * u + p, u * (U[2] + p)])
    star = m / gap
    pushed = U[2] / rho + (SM - u) * (SM + p / np.where(m == 0.0, 1.0, m))
    return np.where(S == 0.0, F, F + S * (np.stack([star, star * SM, star * pushed]) - U))


class Ducts:
    """Ducts end to end, in one array of cells.

    Parameters
    ----------
    gas : ideal gas
    lengths : of each duct [m]
    cells : of each duct
    """

    def __init__(self, gas: Gas, lengths: list[float], cells: list[int]) -> None:
        self.gas = gas
        self.dx = np.repeat([L / n for L, n in zip(lengths, cells, strict=True)], cells)
        self.breaks = [int(k) for k in np.concatenate([[0], np.cumsum(cells)])]
        self.count = self.breaks[-1]
        inner = np.ones(self.count + 1, dtype=bool)
        inner[self.breaks] = False
        self.inner = np.flatnonzero(inner)
        self.first = np.array(self.breaks[:-1])
        self.last = np.array(self.breaks[1:]) - 1

    def longest_step(self, W: Array, courant: float) -> float:
        """Time step at a Courant number [s]."""
        c = np.sqrt(self.gas.gamma * W[2] / W[0])
        return courant / float(np.max((np.abs(W[1]) + c) / self.dx))

    def step(self, U: Array, W: Array, dt: float, ends: Ends) -> Array:
        """Advance mass, momentum and energy by one time step, no sources."""
        before, behind = self._sides(W, dt)
        F = np.empty((3, self.count + 1))
        inner = self.inner
        F[:, inner] = hllc(self.gas, before[:, inner - 1], behind[:, inner])
        into, out = F[:, :-1], F[:, 1:].copy()
        for face in self.breaks:
            a = _one(before, face - 1) if face > 0 else None
            b = _one(behind, face) if face < self.count else None
            left, right = ends(face, a, b)
            if face > 0:
                out[:, face - 1] = left
            if face < self.count:
                into[:, face] = right
        return U + (dt / self.dx) * (into - out)

    def _sides(self, W: Array, dt: float) -> tuple[Array, Array]:
        """States at the downstream and the upstream end of every cell, half a step on."""
        slope = self._slopes(W)
        rho, u, p = W
        dr, du, dp = slope
        half = 0.5 * dt / self.dx
        rate = np.stack([u * dr + rho * du, u * du + dp / rho, u * dp + self.gas.gamma * p * du])
        mid = W - half * rate
        return mid + 0.5 * slope, mid - 0.5 * slope

    def _slopes(self, W: Array) -> Array:
        """Change over each cell, van Leer's limiter; one-sided in a duct's end cells."""
        step = W[:, 1:] - W[:, :-1]
        a, b = step[:, :-1], step[:, 1:]
        product = a * b
        slope = np.zeros_like(W)
        rising = product > 0.0
        slope[:, 1:-1] = np.where(rising, 2.0 * product / np.where(rising, a + b, 1.0), 0.0)
        slope[:, self.first] = step[:, self.first]
        slope[:, self.last] = step[:, self.last - 1]
        return slope


def _one(W: Array, cell: int) -> State:
    return (float(W[0, cell]), float(W[1, cell]), float(W[2, cell]))
