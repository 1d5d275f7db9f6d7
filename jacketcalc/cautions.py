"""The cautions: what stands wherever a result could be taken for an approval."""

from __future__ import annotations

HAZARD = "High-pressure air can kill, and hot compressed air and oil can ignite"
"""What can happen."""
CARE = (
    "follow local codes, and have pressure equipment designed, built and tested by licensed people"
)
"""What to do about it."""
CAUTION = f"{HAZARD}. These are thermal estimates, not a design approval: {CARE}."
"""The whole of it, beside results."""
CAUTION_BRIEF = (
    f"{HAZARD}. This is an estimate, not an approval: follow local codes and licensed practice."
)
"""The same for first screens."""
FOOT = (
    "High-pressure air can kill. Hot compressed air and oil can ignite. "
    "Thermal estimate, not a design approval."
)
"""The same for footers of pages, figures and workbooks."""
