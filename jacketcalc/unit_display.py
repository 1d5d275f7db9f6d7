"""Numbers in SI back into the units a person reads, in the SI or the inch-pound set."""

from __future__ import annotations

import math
import re
from typing import Literal, NamedTuple

from jacketcalc.number_text import fixed, significant
from jacketcalc.units import BTU, FOOT, INCH, POUND, POUND_FORCE, PSI, RANKINE

System = Literal["SI", "inch-pound"]
"""Set of display units."""


class Display(NamedTuple):
    """A display unit: shown = (SI value - zero) / size."""

    symbol: str
    """Unit symbol, as a case file would take it where it has one."""
    size: float
    """SI value of one display unit [-]."""
    zero: float = 0.0
    """SI value shown as zero [-]."""


_POWER = re.compile(r"(?<=[mnt])[23]\b")
_KELVIN = Display("degC", 1.0, 273.15)

_SI: dict[str, Display] = {
    "length": Display("mm", 1e-3),
    "roughness": Display("um", 1e-6),
    "volume": Display("cm3", 1e-6),
    "pressure": Display("bar(a)", 1e5),
    "pressure difference": Display("bar", 1e5),
    "temperature": _KELVIN,
    "temperature difference": Display("K", 1.0),
    "time": Display("s", 1.0),
    "duration": Display("min", 60.0),
    "mass": Display("kg", 1.0),
    "small mass": Display("g", 1e-3),
    "force": Display("N", 1.0),
    "mass flow": Display("g/s", 1e-3),
    "hourly mass flow": Display("kg/h", 1 / 3600),
    "water flow": Display("g/h", 1e-3 / 3600),
    "volume flow": Display("L/min", 1e-3 / 60),
    "flow coefficient": Display("m3/h", 1 / 3600),
    "conductance": Display("dm3/(s bar)", 1e-8),
    "conductivity": Display("W/(m K)", 1.0),
    "heat conductance": Display("W/K", 1.0),
    "rate": Display("1/s", 1.0),
    "ratio": Display("", 1.0),
    "percent": Display("%", 1e-2),
    "share": Display("kg/kg", 1.0),
    "number": Display("", 1.0),
    "power": Display("W", 1.0),
    "energy": Display("J", 1.0),
    "specific energy": Display("kJ/kg", 1e3),
    "specific entropy": Display("kJ/(kg K)", 1e3),
    "area": Display("mm2", 1e-6),
    "surface": Display("m2", 1.0),
    "angle": Display("deg", math.pi / 180.0),
    "velocity": Display("m/s", 1.0),
    "density": Display("kg/m3", 1.0),
    "specific heat": Display("J/(kg K)", 1.0),
    "heat transfer coefficient": Display("W/(m2 K)", 1.0),
}

_INCH_POUND: dict[str, Display] = {
    **_SI,
    "length": Display("in", INCH),
    "roughness": Display("uin", INCH * 1e-6),
    "volume": Display("in3", INCH**3),
    "pressure": Display("psi(a)", PSI),
    "pressure difference": Display("psi", PSI),
    "temperature": Display("degF", RANKINE, 459.67 * RANKINE),
    "temperature difference": Display("R", RANKINE),
    "mass": Display("lb", POUND),
    "small mass": Display("lb", POUND),
    "force": Display("lbf", POUND_FORCE),
    "mass flow": Display("lb/min", POUND / 60),
    "hourly mass flow": Display("lb/h", POUND / 3600),
    "water flow": Display("lb/h", POUND / 3600),
    "volume flow": Display("ft3/min", FOOT**3 / 60),
    "conductance": Display("ft3/(min psi)", FOOT**3 / 60 / PSI),
    "conductivity": Display("BTU/(h ft R)", BTU / 3600 / FOOT / RANKINE),
    "heat conductance": Display("BTU/(h R)", BTU / 3600 / RANKINE),
    "share": Display("lb/lb", 1.0),
    "power": Display("BTU/h", BTU / 3600),
    "energy": Display("BTU", BTU),
    "specific energy": Display("BTU/lb", BTU / POUND),
    "specific entropy": Display("BTU/(lb R)", BTU / POUND / RANKINE),
    "area": Display("in2", INCH**2),
    "surface": Display("ft2", FOOT**2),
    "velocity": Display("ft/s", FOOT),
    "density": Display("lb/ft3", POUND / FOOT**3),
    "heat transfer coefficient": Display("BTU/(h ft2 R)", BTU / 3600 / FOOT**2 / RANKINE),
}

_SETS: dict[str, dict[str, Display]] = {"SI": _SI, "inch-pound": _INCH_POUND}


def find_display(dimension: str, system: System = "SI") -> Display:
    """Return the display unit of a dimension."""
    return _SETS[system][dimension]


def display_unit(dimension: str, system: System = "SI") -> str:
    """Return the bare unit symbol for a table head: pressures without `(a)`."""
    return find_display(dimension, system).symbol.removesuffix("(a)")


def typeset_unit(symbol: str, *, paper: bool = False) -> str:
    """Return a unit with its signs and raised powers; on paper without `(a)`, and with Btu."""
    text = _POWER.sub(lambda found: "²³"[int(found[0]) - 2], symbol).replace("deg", "°")
    return text.replace("um", "µm").replace("(a)", "").replace("BTU", "Btu") if paper else text


def to_display(value: float, dimension: str, system: System = "SI") -> float:
    """Convert one SI number into its display unit."""
    unit = find_display(dimension, system)
    return (value - unit.zero) / unit.size


def format_quantity(value: float, dimension: str, system: System = "SI", digits: int = 6) -> str:
    """Return an SI number as text with its display unit, as `split_quantity` has them."""
    return " ".join(split_quantity(value, dimension, system, digits)).rstrip()


def split_quantity(
    value: float, dimension: str, system: System = "SI", digits: int = 6
) -> tuple[str, str]:
    """Return an SI number in its display unit, and that unit.

    Lengths under a tenth of a millimetre are shown in micrometres in the SI set, times under
    a second in milliseconds: whoever needs the number takes it from here, with its unit.
    """
    unit = find_display(dimension, system)
    if dimension == "length" and system == "SI" and 0.0 < abs(value) < 1e-4:
        unit = _SI["roughness"]
    if dimension == "time" and 0.0 < abs(value) < 1.0:
        unit = Display("ms", 1e-3)
    return significant((value - unit.zero) / unit.size, digits), unit.symbol


def say_quantity(
    value: float, dimension: str, system: System = "SI", decimals: int = 0, *, sign: bool = False
) -> str:
    """Return an SI number for a sentence: so many decimals, then its display unit."""
    number = fixed(to_display(value, dimension, system), decimals, sign)
    return f"{number} {find_display(dimension, system).symbol}".rstrip()
