"""The exact loss of a gas spring: small compression between plates, in closed form."""

from __future__ import annotations

import numpy as np


def gas_spring_loss(peclet: float | np.ndarray, gamma: float) -> np.ndarray:
    """Work lost per cycle over p0 V0 (pressure amplitude / p0)^2 [-].

    Lee 1983 in another length scale; `peclet` is w Dh^2 / (4 alpha), Dh = 4 volume / area.
    """
    y = np.sqrt(np.asarray(peclet, dtype=float) / 2.0)
    safe = np.maximum(y, 0.01)
    fall = np.exp(-safe)
    top = 0.5 * (1.0 - fall * fall) - fall * np.sin(safe)
    bottom = safe * (0.5 * (1.0 + fall * fall) + fall * np.cos(safe))
    shape = np.where(y < 0.01, y * y / 6.0, top / bottom)
    return np.pi * (gamma - 1.0) / gamma * shape
