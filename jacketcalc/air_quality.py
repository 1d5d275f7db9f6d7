"""Humidity of compressed air as it is bought: classes of ISO 8573-1, and what dries to them."""

from __future__ import annotations

ZERO = 273.15
"""Zero of the Celsius scale [K]."""
HUMIDITY_CLASSES: dict[int, float] = {
    1: ZERO - 70.0,
    2: ZERO - 40.0,
    3: ZERO - 20.0,
    4: ZERO + 3.0,
    5: ZERO + 7.0,
    6: ZERO + 10.0,
}
"""Class to its highest pressure dew point, ISO 8573-1 (read in OPC 40250-1, table 128) [K]."""
DRYERS: tuple[tuple[float, str], ...] = (
    (ZERO + 3.0, "refrigeration"),
    (ZERO - 20.0, "membrane or adsorption"),
    (ZERO - 70.0, "adsorption"),
)
"""Lowest pressure dew point that each kind reaches as usually sold [K]; common practice, no
source."""
BEYOND = "special adsorption"
"""What it takes below the lowest of them; common practice, no source."""


def sufficient_class(dew_point: float) -> int | None:
    """Return the wettest class that keeps a dew point [K]; None where class 1 does not."""
    return max((n for n, limit in HUMIDITY_CLASSES.items() if limit <= dew_point), default=None)


def sufficient_dryer(dew_point: float) -> str:
    """Return the simplest kind of dryer that reaches a dew point [K]."""
    return next((kind for lowest, kind in DRYERS if lowest <= dew_point), BEYOND)
