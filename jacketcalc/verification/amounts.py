"""Numbers with units as a source prints them, and their values in SI."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from jacketcalc.errors import RangeError
from jacketcalc.units import FACTORS, SCALES

MORE_FACTORS = {
    "m2": 1.0,
    "mm2": 1e-6,
    "cm2": 1e-4,
    "m/s": 1.0,
    "m2/s": 1.0,
    "kg/m3": 1.0,
    "m3/kg": 1.0,
    "mol/dm3": 1e3,
    "Pa s": 1.0,
    "uPa s": 1e-6,
    "J/(kg K)": 1.0,
    "kJ/(kg K)": 1e3,
    "kJ/kg": 1e3,
    "W": 1.0,
    "W/m": 1.0,
    "W/m2": 1.0,
    "W/(m2 K)": 1.0,
    "mW/(m K)": 1e-3,
    "K/W": 1.0,
    "K/s": 1.0,
    "bar/s": 1e5,
    "kg/(m2 s)": 1.0,
    "kg/m2": 1.0,
    "dm3/min": 1e-3 / 60.0,
    "deg": math.pi / 180.0,
    "rad/s": 1.0,
}
"""Units that a case file does not know but a textbook does, and their values in SI."""

_KNOWN = {
    unit: factor
    for name, units in FACTORS.items()
    if name != "temperature difference"
    for unit, factor in units.items()
} | MORE_FACTORS


@dataclass(frozen=True, kw_only=True)
class Amount:
    """A number with its unit; pressures are absolute unless the case says otherwise."""

    text: str
    """As printed."""
    unit: str
    """Unit as printed; empty for a pure number."""

    @property
    def value(self) -> float:
        """Value in SI [as the quantity]."""
        return to_si(float(self.text), self.unit)

    @property
    def half_digit(self) -> float:
        """Half a unit of the last digit printed, in SI [as the quantity]."""
        exponent = int(Decimal(self.text).as_tuple().exponent)
        return 0.5000001 * 10.0**exponent * factor_of(self.unit)

    def __str__(self) -> str:
        return f"{self.text} {self.unit}".rstrip()


def read_amount(text: str) -> Amount:
    """Read a number and its unit, such as `30 mm` or `0.71`.

    Raises
    ------
    RangeError
        When the number or the unit cannot be read.
    """
    number, _, unit = text.strip().partition(" ")
    amount = Amount(text=number, unit=unit.strip())
    try:
        amount.value  # noqa: B018 - evaluated for its error
    except ValueError:
        raise RangeError(f"{text!r} does not begin with a number") from None
    return amount


def factor_of(unit: str) -> float:
    """Return the size of a unit in SI, for differences [as the quantity].

    Raises
    ------
    RangeError
        When the unit is not known.
    """
    if unit in SCALES:
        return SCALES[unit][0]
    try:
        return _KNOWN[unit]
    except KeyError:
        raise RangeError(f"the unit {unit!r} of a published case is not known") from None


def to_si(number: float, unit: str) -> float:
    """Return a printed number in SI [as the quantity]."""
    zero = SCALES[unit][1] if unit in SCALES else 0.0
    return number * factor_of(unit) + zero


def from_si(value: float, unit: str) -> float:
    """Return a value in the unit that its source prints."""
    zero = SCALES[unit][1] if unit in SCALES else 0.0
    return (value - zero) / factor_of(unit)
