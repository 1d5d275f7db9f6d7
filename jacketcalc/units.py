"""Units at the edge: reading quantities such as `7 bar(g)` into SI.

The table is closed on purpose: a unit that is not in it is refused, never guessed. Pressures
say whether they are absolute or gauge, and a temperature difference is not a temperature.
Factors are exact by definition (BIPM SI Brochure, 9th edition; the international yard and
pound agreement of 1959; ISO 80000-5 for the International Table Btu).
"""

from __future__ import annotations

INCH = 0.0254
"""Inch [m]."""
FOOT = 0.3048
"""Foot [m]."""
POUND = 0.45359237
"""Avoirdupois pound [kg]."""
POUND_FORCE = POUND * 9.80665
"""Pound-force [N]."""
PSI = POUND_FORCE / INCH**2
"""Pound-force per square inch [Pa]."""
BTU = 1055.05585262
"""International Table British thermal unit [J]."""
RANKINE = 5.0 / 9.0
"""Degree Rankine, as a temperature difference [K]."""

SI_UNITS = {
    "length": "m",
    "volume": "m3",
    "pressure": "Pa",
    "pressure difference": "Pa",
    "temperature": "K",
    "temperature difference": "K",
    "time": "s",
    "mass": "kg",
    "force": "N",
    "mass flow": "kg/s",
    "volume flow": "m3/s",
    "flow coefficient": "m3/s",
    "conductance": "m3/(s Pa)",
    "conductivity": "W/(m K)",
    "heat conductance": "W/K",
    "surface": "m2",
    "density": "kg/m3",
    "specific heat": "J/(kg K)",
    "velocity": "m/s",
    "rate": "1/s",
    "ratio": "",
    "number": "",
}
"""Dimension to the unit it has inside the package."""

FACTORS: dict[str, dict[str, float]] = {
    "length": {
        "m": 1.0,
        "mm": 1e-3,
        "cm": 1e-2,
        "um": 1e-6,
        "in": INCH,
        "ft": FOOT,
    },
    "volume": {
        "m3": 1.0,
        "dm3": 1e-3,
        "cm3": 1e-6,
        "mm3": 1e-9,
        "L": 1e-3,
        "l": 1e-3,
        "mL": 1e-6,
        "ml": 1e-6,
        "in3": INCH**3,
        "cu in": INCH**3,
        "ft3": FOOT**3,
        "cu ft": FOOT**3,
    },
    "pressure difference": {
        "Pa": 1.0,
        "hPa": 1e2,
        "kPa": 1e3,
        "MPa": 1e6,
        "mbar": 1e2,
        "bar": 1e5,
        "psi": PSI,
    },
    "temperature difference": {"K": 1.0, "R": RANKINE},
    "time": {"s": 1.0, "ms": 1e-3, "min": 60.0, "h": 3600.0},
    "mass": {"kg": 1.0, "g": 1e-3, "lb": POUND},
    "force": {"N": 1.0, "kN": 1e3, "lbf": POUND_FORCE},
    "mass flow": {
        "kg/s": 1.0,
        "g/s": 1e-3,
        "kg/min": 1 / 60,
        "g/min": 1e-3 / 60,
        "kg/h": 1 / 3600,
        "lb/s": POUND,
        "lb/min": POUND / 60,
        "lb/h": POUND / 3600,
    },
    "volume flow": {
        "m3/s": 1.0,
        "m3/min": 1 / 60,
        "m3/h": 1 / 3600,
        "dm3/s": 1e-3,
        "dm3/min": 1e-3 / 60,
        "L/s": 1e-3,
        "l/s": 1e-3,
        "L/min": 1e-3 / 60,
        "l/min": 1e-3 / 60,
        "ft3/min": FOOT**3 / 60,
        "cfm": FOOT**3 / 60,
    },
    "flow coefficient": {
        "m3/s": 1.0,
        "m3/h": 1 / 3600,
        "L/min": 1e-3 / 60,
        "l/min": 1e-3 / 60,
    },
    "conductance": {
        "m3/(s Pa)": 1.0,
        "dm3/(s bar)": 1e-8,
        "L/(s bar)": 1e-8,
        "l/(s bar)": 1e-8,
        "dm3/(min bar)": 1e-8 / 60,
        "L/(min bar)": 1e-8 / 60,
        "l/(min bar)": 1e-8 / 60,
        "ft3/(min psi)": FOOT**3 / 60 / PSI,
    },
    "conductivity": {
        "W/(m K)": 1.0,
        "W/m/K": 1.0,
        "BTU/(h ft R)": BTU / 3600 / FOOT / RANKINE,
        "BTU/(h ft degF)": BTU / 3600 / FOOT / RANKINE,
    },
    "heat conductance": {
        "W/K": 1.0,
        "mW/K": 1e-3,
        "BTU/(h R)": BTU / 3600 / RANKINE,
        "BTU/(h degF)": BTU / 3600 / RANKINE,
    },
    "surface": {"m2": 1.0, "dm2": 1e-2, "cm2": 1e-4, "mm2": 1e-6, "in2": INCH**2, "ft2": FOOT**2},
    "density": {"kg/m3": 1.0, "kg/dm3": 1e3, "g/cm3": 1e3, "lb/ft3": POUND / FOOT**3},
    "specific heat": {
        "J/(kg K)": 1.0,
        "kJ/(kg K)": 1e3,
        "BTU/(lb R)": BTU / POUND / RANKINE,
        "BTU/(lb degF)": BTU / POUND / RANKINE,
    },
    "velocity": {"m/s": 1.0, "km/h": 1 / 3.6, "ft/s": FOOT, "ft/min": FOOT / 60},
    "rate": {"1/s": 1.0, "Hz": 1.0, "1/min": 1 / 60, "1/h": 1 / 3600},
    "ratio": {"%": 1e-2, "": 1.0},
    "number": {"": 1.0},
}

SCALES: dict[str, tuple[float, float]] = {
    "K": (1.0, 0.0),
    "degC": (1.0, 273.15),
    "degF": (RANKINE, 459.67 * RANKINE),
    "R": (RANKINE, 0.0),
}
"""Temperature unit to (size of its degree, its zero) in kelvin."""

_SIGNS = {
    "°": "deg",
    "º": "deg",
    "µ": "u",
    "μ": "u",
    "²": "2",
    "³": "3",
    "·": " ",
    "⋅": " ",
    "*": " ",
    "^": "",
    "℃": "degC",
    "℉": "degF",
}
_WORDS = {"inch": "in", "inches": "in", "sec": "s"}


def tidy(value: float) -> float:
    """Drop the noise of a conversion: 40 cm3 is 4e-05 m3, not 3.9999999999999996e-05."""
    return float(f"{value:.15g}")


def spell(unit: str) -> str:
    """Return a unit in the table's spelling."""
    if not unit.isascii() or "*" in unit or "^" in unit:
        for typed, meant in _SIGNS.items():
            unit = unit.replace(typed, meant)
    unit = " ".join(unit.split())
    return _WORDS.get(unit, unit.replace("Btu", "BTU"))


def list_units(dimension: str) -> tuple[str, ...]:
    """Return the units a dimension may be written in."""
    if dimension == "temperature":
        return tuple(SCALES)
    if dimension == "pressure":
        return tuple(f"{unit}({mark})" for unit in FACTORS["pressure difference"] for mark in "ag")
    return tuple(unit for unit in FACTORS[dimension] if unit)


def find_dimensions(unit: str) -> tuple[str, ...]:
    """Return every dimension a unit can stand for."""
    found = [name for name, units in FACTORS.items() if unit and unit in units]
    if unit in SCALES:
        found.append("temperature")
    if unit[-3:] in ("(a)", "(g)") and unit[:-3] in FACTORS["pressure difference"]:
        found.append("pressure")
    return tuple(found)


def example(dimension: str) -> str:
    """Return a quantity that shows how the dimension is written."""
    return {
        "length": "12.5 mm",
        "volume": "40 cm3",
        "pressure": "7 bar(g)",
        "pressure difference": "0.1 bar",
        "temperature": "20 degC",
        "temperature difference": "5 K",
        "time": "30 ms",
        "mass": "3.5 kg",
        "force": "60 N",
        "mass flow": "2 g/s",
        "volume flow": "2400 L/min",
        "flow coefficient": "0.3 m3/h",
        "conductance": "5 dm3/(s bar)",
        "conductivity": "16 W/(m K)",
        "heat conductance": "1 W/K",
        "surface": "1.2 m2",
        "density": "7850 kg/m3",
        "specific heat": "480 J/(kg K)",
        "rate": "1.2 1/s",
        "velocity": "3 m/s",
        "ratio": "5 %",
        "number": "1.5",
    }[dimension]


def join_units(dimension: str) -> str:
    """Return the units of a dimension as text."""
    return ", ".join(list_units(dimension)) or "no unit"
