"""Numbers, choices and spellings of random machines, drawn from plain bytes.

One byte string stands for one machine, which hypothesis draws in a single choice. A byte of
zero gives the nominal value, so that the simplest machine is a sound one.
"""

from __future__ import annotations

import math

from jacketcalc.units import FACTORS, SCALES

SPELLINGS = {
    "length": ("mm", "m", "cm", "in", "inch"),
    "volume": ("cm3", "L", "in3", "cm³", "cu in"),
    "pressure": ("bar(g)", "bar(a)", "psi(g)", "kPa(a)", "MPa(a)", "psi(a)"),
    "pressure difference": ("bar", "kPa", "psi", "mbar"),
    "temperature": ("degC", "K", "degF", "°C", "R", "°F"),
    "time": ("ms", "s", "sec"),
    "mass": ("kg", "g", "lb"),
    "force": ("N", "lbf", "kN"),
    "conductance": ("dm3/(s bar)", "L/(min bar)", "m3/(s Pa)", "l/(s bar)"),
    "conductivity": ("W/(m K)", "BTU/(h ft degF)"),
    "heat conductance": ("W/K", "BTU/(h R)", "mW/K"),
    "rate": ("1/s", "1/min", "Hz"),
    "ratio": ("%", ""),
    "number": ("",),
}
"""Dimension to the units a machine's numbers are spelled in, the plainest first."""

_KNOWN = {"inch": "in", "cm³": "cm3", "°C": "degC", "°F": "degF", "sec": "s"}


class Draws:
    """Reads a machine's bytes one after the other; past the end all is nominal.

    Parameters
    ----------
    data : bytes of the machine
    ambient : ambient pressure, that gauge pressures count from [Pa]
    """

    def __init__(self, data: bytes, ambient: float = 101325.0) -> None:
        self.data, self.place, self.ambient = data, 0, ambient

    def share(self) -> float:
        """Return a number from 0 to 1, 0 for a zero byte [-]."""
        byte = self.data[self.place] if self.place < len(self.data) else 0
        self.place += 1
        return byte / 256.0

    def between(self, low: float, nominal: float, high: float) -> float:
        """Return a number from low to high, even in its logarithm where low is above zero."""
        if low > 0.0:
            place = math.log(nominal / low) / math.log(high / low)
            return float(low * (high / low) ** ((place + self.share()) % 1.0))
        place = (nominal - low) / (high - low)
        return low + (high - low) * ((place + self.share()) % 1.0)

    def pick(self, *choices: str) -> str:
        """Return one of some words, the first for a zero byte."""
        return choices[int(self.share() * len(choices))]

    def chance(self, share: float) -> bool:
        """Return whether something rare happens; it does not for a zero byte."""
        return self.share() > 1.0 - share

    def spell(self, value: float, dimension: str) -> str:
        """Return a quantity as TOML text, in one of its units."""
        unit = self.pick(*SPELLINGS[dimension])
        known = _KNOWN.get(unit, unit)
        if dimension == "temperature":
            size, zero = SCALES[known]
            number = (value - zero) / size
        elif dimension == "pressure":
            gauge = self.ambient if known.endswith("(g)") else 0.0
            number = (value - gauge) / FACTORS["pressure difference"][known[:-3]]
        else:
            number = value / FACTORS[dimension][known]
        return f'"{number:.7g} {unit}"' if unit else f'"{number:.7g}"'
