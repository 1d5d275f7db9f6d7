"""Numbers as text: on a screen, in print and in figures."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

MISSING = "-"
"""What stands where there is no number."""
_NOISE = 1e-9
"""Size below which a number of few digits is taken for zero [-]."""
_MINUS = re.compile(r"(?<![\w.)])-(?=\d)")
_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def fixed(value: float | None, decimals: int, sign: bool = False) -> str:
    """Return a number with so many decimals; never minus zero, `-` where there is none."""
    if value is None or not math.isfinite(value):
        return MISSING
    value = round(value, decimals) + 0.0
    return f"{value:{'+' if sign and value else ''}.{decimals}f}"


def percent(value: float | None, decimals: int = 1, *, sign: bool = True) -> str:
    """Return a relative change with its sign, such as `+12.8 %`, or a share without."""
    text = fixed(None if value is None else 100 * value, decimals, sign=sign)
    return text if text == MISSING else f"{text} %"


def significant(value: float, digits: int) -> str:
    """Return a number with at most so many significant digits, without noise near zero."""
    return f"{value if abs(value) >= _NOISE else 0.0:.{digits}g}"


def at_most(value: float, decimals: int) -> str:
    """Return a number with so many decimals at most, and no idle zeros."""
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def true_minus(text: str) -> str:
    """Return text whose numbers have minus signs in place of hyphens."""
    return _MINUS.sub("−", text)


def raised(power: int) -> str:
    """Return a whole number as a power is printed, such as `⁻³`."""
    return str(power).translate(_RAISED)


def decimals_for(values: Sequence[float | None], digits: int) -> int:
    """Return the decimals that give the largest of some numbers so many significant digits."""
    sizes = [abs(v) for v in values if v is not None and math.isfinite(v) and v != 0.0]
    if not sizes:
        return 0
    return min(9, max(0, digits - 1 - math.floor(math.log10(max(sizes)))))


def close_sum(values: Sequence[float], decimals: int) -> list[float]:
    """Round so that the printed numbers add up to the rounded sum.

    Each number is rounded down or up; those that lost the most are rounded up.
    """
    scale = 10.0**decimals
    scaled = [v * scale for v in values]
    down = [math.floor(v) for v in scaled]
    missing = round(sum(scaled)) - sum(down)
    order = sorted(range(len(values)), key=lambda i: scaled[i] - down[i], reverse=True)
    for i in order[:missing]:
        down[i] += 1
    return [d / scale for d in down]
