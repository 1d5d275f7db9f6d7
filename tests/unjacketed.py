"""Cases of the tests without their jackets, as a machine is before any is wound."""

from __future__ import annotations

import re

MAKE = """[make]
step = "0.5 mm"
smallest_rib = "2 mm"
least_turns = 2
cutter_widths = "12 mm, 16 mm, 20 mm, 27 mm"
tube_bores = "8 mm, 12 mm"
source = "invented"

"""
"""What an invented shop can make."""


def unjacketed(text: str, *, tubes: bool = True) -> str:
    """Return a case without the jackets of its stages, its exhaust let out; by plain text."""
    text = re.sub(r"(?ms)^\[stage\.jacket\].*?(?=^\[)", "", text)
    text = re.sub(r'(?m)^to = "\w+"', 'to = "atmosphere"', text)
    return text if tubes else re.sub(r"(?m)^tube = .*\n", "", text)


def with_make(text: str, make: str = MAKE) -> str:
    """Return a case with what the shop can make."""
    return text.replace("[ambient]", f"{make}[ambient]", 1)
