"""The caution that stands on every page, figure and workbook."""

from __future__ import annotations

IGNITION = (
    "Hot compressed air and oil can ignite: use lubricants and materials that are approved for "
    "the pressure and the temperature."
)
"""What the assessment's own caution leaves out."""
FOOT = (
    "High-pressure air can kill. Hot compressed air and oil can ignite. "
    "Thermal estimate, not a design approval."
)
"""The caution in the space of a footer."""


def say_caution(told: str) -> str:
    """Return the caution of an assessment, with that of ignition where it is not in it."""
    return told if "ignite" in told else f"{told} {IGNITION}".strip()
