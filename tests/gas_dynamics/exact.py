"""Exact solutions that the gas-dynamics solver is held against."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

Array = NDArray[np.float64]


def riemann(
    left: tuple[float, float, float],
    right: tuple[float, float, float],
    gamma: float,
    speed: Array,
) -> Array:
    """Solve the Riemann problem of an ideal gas exactly (Toro 2009, ch. 4, from memory).

    Parameters
    ----------
    left, right : density [kg/m3], speed [m/s], pressure [Pa]
    gamma : ratio of specific heats [-]
    speed : x / t at which the solution is wanted [m/s]

    Returns
    -------
    Density, speed and pressure, shape (3, n).
    """

    def across(p: float, side: tuple[float, float, float]) -> float:
        """Change of speed across the wave of one side [m/s]."""
        rho, _, ps = side
        if p > ps:
            A, B = 2 / ((gamma + 1) * rho), (gamma - 1) / (gamma + 1) * ps
            return float((p - ps) * np.sqrt(A / (p + B)))
        c = np.sqrt(gamma * ps / rho)
        return float(2 * c / (gamma - 1) * ((p / ps) ** ((gamma - 1) / (2 * gamma)) - 1))

    top = 10.0 * max(left[2], right[2])
    p = float(brentq(lambda p: across(p, left) + across(p, right) + right[1] - left[1], 1e-12, top,
                     xtol=1e-14, rtol=1e-14))  # fmt: skip
    u = 0.5 * (left[1] + right[1] + across(p, right) - across(p, left))
    mirrored = (right[0], -right[1], right[2])
    one = _side(left, u, p, gamma, speed)
    two = _side(mirrored, -u, p, gamma, -speed)
    two[1] *= -1.0
    return np.where(speed <= u, one, two)


def _side(
    side: tuple[float, float, float], u: float, p: float, gamma: float, speed: Array
) -> Array:
    """State between the undisturbed left side and the contact."""
    rho, us, ps = side
    c = np.sqrt(gamma * ps / rho)
    k = (gamma - 1) / (gamma + 1)
    far = np.array([rho, us, ps])[:, None]
    if p > ps:
        shock = us - c * np.sqrt((gamma + 1) / (2 * gamma) * p / ps + (gamma - 1) / (2 * gamma))
        star = np.array([rho * (p / ps + k) / (k * p / ps + 1), u, p])[:, None]
        return np.where(speed < shock, far, star) + 0.0 * speed
    star_c = c * (p / ps) ** ((gamma - 1) / (2 * gamma))
    star = np.array([rho * (p / ps) ** (1 / gamma), u, p])[:, None]
    fan_u = 2 / (gamma + 1) * (c + (gamma - 1) / 2 * us + speed)
    fan_c = np.maximum(fan_u - speed, 1e-12)
    ratio = fan_c / c
    fan = np.stack(
        [rho * ratio ** (2 / (gamma - 1)), fan_u, ps * ratio ** (2 * gamma / (gamma - 1))]
    )
    return np.where(speed < us - c, far, np.where(speed < u - star_c, fan, star))


def simple_wave(
    start: NDArray[np.float64], swing: Array, t: float, gamma: float
) -> tuple[Array, Array]:
    """Carry an isentropic wave that runs to the right along its characteristics.

    Speeds are over the undisturbed speed of sound. A point keeps its speed `swing` and moves
    at u + c, with c = 1 + (gamma - 1) u / 2 (Anderson 2003, ch. 7, from memory).

    Returns
    -------
    Place of each point at time `t`, and its pressure over the undisturbed one.
    """
    c = 1 + 0.5 * (gamma - 1) * swing
    return start + (swing + c) * t, c ** (2 * gamma / (gamma - 1))
