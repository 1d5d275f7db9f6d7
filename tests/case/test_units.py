"""Units against pint (an independent unit library) and against the standards' own numbers."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jacketcalc.quantities import read_quantity
from jacketcalc.unit_display import display_unit, find_display, format_quantity, to_display
from jacketcalc.units import FACTORS, SCALES, SI_UNITS

ORACLE: pint.UnitRegistry[float] = pint.UnitRegistry()
AMBIENT = 101325.0

SPELLED_FOR_PINT = {
    "R": "delta_degree_Fahrenheit",
    "K": "delta_degree_Celsius",
    "l": "liter",
    "ml": "milliliter",
    "L": "liter",
    "mL": "milliliter",
    "cu in": "inch**3",
    "in3": "inch**3",
    "cu ft": "foot**3",
    "ft3": "foot**3",
    "in": "inch",
    "ft": "foot",
    "lb": "pound",
    "lbf": "force_pound",
    "%": "percent",
    "m3/(s Pa)": "m**3/(s*Pa)",
    "dm3/(s bar)": "dm**3/(s*bar)",
    "L/(s bar)": "liter/(s*bar)",
    "l/(s bar)": "liter/(s*bar)",
    "dm3/(min bar)": "dm**3/(min*bar)",
    "L/(min bar)": "liter/(min*bar)",
    "l/(min bar)": "liter/(min*bar)",
    "W/(m K)": "W/(m*kelvin)",
    "W/m/K": "W/(m*kelvin)",
    "BTU/(h ft R)": "Btu_it/(hour*foot*delta_degree_Fahrenheit)",
    "BTU/(h ft degF)": "Btu_it/(hour*foot*delta_degree_Fahrenheit)",
    "BTU/(h R)": "Btu_it/(hour*delta_degree_Fahrenheit)",
    "BTU/(h degF)": "Btu_it/(hour*delta_degree_Fahrenheit)",
    "W/K": "W/kelvin",
    "m2": "m**2",
    "dm2": "dm**2",
    "cm2": "cm**2",
    "mm2": "mm**2",
    "in2": "inch**2",
    "ft2": "foot**2",
    "kg/m3": "kg/m**3",
    "kg/dm3": "kg/dm**3",
    "g/cm3": "g/cm**3",
    "lb/ft3": "pound/ft**3",
    "J/(kg K)": "J/(kg*kelvin)",
    "kJ/(kg K)": "kJ/(kg*kelvin)",
    "BTU/(lb R)": "Btu_it/(pound*delta_degree_Fahrenheit)",
    "BTU/(lb degF)": "Btu_it/(pound*delta_degree_Fahrenheit)",
    "mW/K": "mW/kelvin",
    "m3": "m**3",
    "dm3": "dm**3",
    "cm3": "cm**3",
    "mm3": "mm**3",
    "lb/s": "pound/s",
    "lb/min": "pound/min",
    "lb/h": "pound/hour",
    "kg/h": "kg/hour",
    "h": "hour",
    "1/h": "1/hour",
    "ft3/(min psi)": "ft**3/(min*psi)",
    "m3/s": "m**3/s",
    "m3/min": "m**3/min",
    "m3/h": "m**3/hour",
    "dm3/s": "dm**3/s",
    "dm3/min": "dm**3/min",
    "L/s": "liter/s",
    "l/s": "liter/s",
    "L/min": "liter/min",
    "l/min": "liter/min",
    "ft3/min": "foot**3/min",
    "cfm": "foot**3/min",
    "Hz": "1/s",
    "": "dimensionless",
}
"""Our spelling to pint's, where they differ."""

SI_FOR_PINT = {
    "volume": "m**3",
    "volume flow": "m**3/s",
    "flow coefficient": "m**3/s",
    "conductance": "m**3/(s*Pa)",
    "conductivity": "W/(m*kelvin)",
    "heat conductance": "W/kelvin",
    "surface": "m**2",
    "density": "kg/m**3",
    "specific heat": "J/(kg*kelvin)",
    "temperature difference": "delta_degree_Celsius",
    "velocity": "m/s",
    "ratio": "dimensionless",
    "number": "dimensionless",
}


@pytest.mark.parametrize(
    ("dimension", "unit"), [(name, unit) for name, units in FACTORS.items() for unit in units]
)
def test_each_factor_agrees_with_pint(dimension: str, unit: str) -> None:
    theirs = ORACLE.Quantity(12.5, SPELLED_FOR_PINT.get(unit, unit)).to(
        SI_FOR_PINT.get(dimension, SI_UNITS[dimension])
    )
    ours = read_quantity(f"12.5 {unit}", dimension, AMBIENT).value
    assert ours == pytest.approx(theirs.magnitude, rel=1e-12)


@pytest.mark.parametrize("unit", SCALES)
def test_each_temperature_scale_agrees_with_pint(unit: str) -> None:
    theirs = {"K": "kelvin", "degC": "degC", "degF": "degF", "R": "degR"}[unit]
    expected = ORACLE.Quantity(98.6, theirs).to("kelvin").magnitude
    assert read_quantity(f"98.6 {unit}", "temperature").value == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("unit", FACTORS["pressure difference"])
def test_gauge_counts_from_the_ambient_and_absolute_does_not(unit: str) -> None:
    span = ORACLE.Quantity(3.0, unit).to("Pa").magnitude
    absolute = read_quantity(f"3 {unit}(a)", "pressure", AMBIENT).value
    gauge = read_quantity(f"3 {unit}(g)", "pressure", AMBIENT).value
    assert absolute == pytest.approx(span, rel=1e-12)
    assert gauge == pytest.approx(span + AMBIENT, rel=1e-12)


def test_anchors_from_the_standards() -> None:
    # ISO 80000-5: 1 Btu(IT) = 1055.05585262 J; NIST SP 811 B.8: 1 psi = 6.894757 kPa,
    # 1 lbf = 4.448222 N, 1 Btu(IT)/(h ft degF) = 1.730735 W/(m K).
    assert read_quantity("1 psi", "pressure difference").value == pytest.approx(6894.757, abs=5e-4)
    assert read_quantity("1 lbf", "force").value == pytest.approx(4.448222, abs=5e-7)
    conductivity = read_quantity("1 BTU/(h ft degF)", "conductivity").value
    assert conductivity == pytest.approx(1.730735, abs=5e-7)
    # ISO 6358-1: 1 dm3/(s bar) = 1e-8 m3/(s Pa).
    assert read_quantity("1 dm3/(s bar)", "conductance").value == 1e-8
    assert (
        read_quantity("-40 degF", "temperature").value
        == read_quantity("-40 degC", "temperature").value
    )


def test_conversion_leaves_no_noise() -> None:
    assert read_quantity("40 cm3", "volume").value == 4e-5
    assert read_quantity("1.013 bar(a)", "pressure").value == 101300.0


@pytest.mark.parametrize("system", ["SI", "inch-pound"])
@pytest.mark.parametrize("dimension", SI_UNITS)
@given(number=st.floats(1e-6, 1e6))
def test_what_is_shown_can_be_read_again(system: str, dimension: str, number: float) -> None:
    value = number * find_display(dimension).size
    shown = format_quantity(value, dimension, system, digits=17)  # type: ignore[arg-type]
    assert read_quantity(shown, dimension, AMBIENT).value == pytest.approx(
        value, rel=1e-9, abs=1e-9
    )


def test_display_in_both_sets() -> None:
    assert format_quantity(0.1, "length") == "100 mm"
    assert format_quantity(3e-6, "length") == "3 um"
    assert format_quantity(0.0254, "length", "inch-pound") == "1 in"
    assert format_quantity(293.15, "temperature") == "20 degC"
    assert format_quantity(293.15, "temperature", "inch-pound") == "68 degF"
    assert format_quantity(0.03, "time") == "30 ms"
    assert format_quantity(801300.0, "pressure") == "8.013 bar(a)"
    assert display_unit("pressure") == "bar"
    assert display_unit("pressure", "inch-pound") == "psi"
    assert to_display(1e-3, "mass flow") == pytest.approx(1.0)


DISPLAYED = {
    "power": ("W", "BTU/hour"),
    "energy": ("J", "Btu_it"),
    "specific energy": ("kJ/kg", "Btu_it/pound"),
    "velocity": ("m/s", "foot/s"),
    "density": ("kg/m**3", "pound/foot**3"),
    "heat transfer coefficient": (
        "W/(m**2*kelvin)",
        "Btu_it/(hour*foot**2*delta_degree_Fahrenheit)",
    ),
    "area": ("mm**2", "inch**2"),
}


@pytest.mark.parametrize("dimension", DISPLAYED)
def test_units_that_are_only_shown_agree_with_pint(dimension: str) -> None:
    metric, imperial = DISPLAYED[dimension]
    ratio = ORACLE.Quantity(1.0, imperial.replace("BTU", "Btu_it")).to(metric).magnitude
    ours = find_display(dimension, "inch-pound").size / find_display(dimension).size
    assert ours == pytest.approx(ratio, rel=1e-12)
