"""The ISO 6358 element that stands for a passage, fitted to its flow curve."""

from __future__ import annotations

from typing import Any

import numpy as np

from jacketcalc.core.library import library
from jacketcalc.flow import iso6358

LARGEST_B, B_STEPS = 0.6, 60
"""Largest critical ratio tried for an equivalent element [-], and steps up to it."""
HIGH_PORT = 5.0
"""Port pressure over ambient pressure at which a passage's C is read [-]."""


def curve_flow(curve: Any, p: float, T: float) -> float:
    """Flow of a passage at a port pressure [Pa] and temperature [K], in kg/s."""
    out = np.empty(3)
    library().core_curve_flow(curve.ctypes.data, p, T, out.ctypes.data)
    return float(out[0])


def equivalent_conductance(curve: Any, ambient: float) -> tuple[float, float]:
    """Fit ISO 6358's C [m3/(s Pa)] and b [-] to a flow curve.

    C is the flow at the highest pressure, as the standard takes it from choked flow; b is the
    least-squares fit of the ellipse below. A long passage fits to 1 to 4 per cent.

    Parameters
    ----------
    curve : the core's curve, shape (1,)
    ambient : ambient pressure [Pa]
    """
    share = np.linspace(0.05, 1.0, 24)
    p = ambient * (1.0 - share) + HIGH_PORT * ambient * share
    T = float(curve["temperature"][0])
    scale = iso6358.REFERENCE_DENSITY * np.sqrt(iso6358.REFERENCE_TEMPERATURE / T)
    each = np.array([curve_flow(curve, float(at), T) for at in p]) / (p * scale)
    C = float(each[-1])
    grid = np.linspace(0.0, LARGEST_B, B_STEPS + 1)[:, None]
    inside = np.clip((ambient / p - grid) / (1.0 - grid), 0.0, 1.0)
    misfit = ((np.sqrt(1.0 - inside**2) - each / C) ** 2).sum(axis=1)
    near = int(np.clip(np.argmin(misfit), 1, B_STEPS - 1))
    before, here, after = misfit[near - 1 : near + 2]
    bend = max(float(before - 2.0 * here + after), 1e-30)
    place = near + float(np.clip(0.5 * (before - after) / bend, -1.0, 1.0))
    return C, place * (LARGEST_B / B_STEPS)
