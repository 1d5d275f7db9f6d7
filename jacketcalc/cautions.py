"""What stands wherever a result could be taken for an approval; no shorter form exists."""

from __future__ import annotations

HAZARD = "High-pressure air can kill, and hot compressed air and oil can ignite"
"""What can happen."""
CARE = (
    "follow local codes, and have pressure equipment designed, built and tested by licensed people"
)
"""What to do about it."""
