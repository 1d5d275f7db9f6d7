"""Units against pint (an independent unit library) and against the standards' own numbers."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jacketcalc.materials import MATERIALS
from jacketcalc.quantities import QuantityError, read_quantity
from jacketcalc.unit_display import display_unit, find_display, format_quantity, to_display
from jacketcalc.units import FACTORS, SCALES, SI_UNITS, example, list_units, spell

ORACLE: pint.UnitRegistry[float] = pint.UnitRegistry()
ROOM = 101325.0

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
    "Hz": "1/s",
    "": "dimensionless",
}
"""Our spelling to pint's, where they differ."""

SI_FOR_PINT = {
    "volume": "m**3",
    "conductance": "m**3/(s*Pa)",
    "conductivity": "W/(m*kelvin)",
    "heat conductance": "W/kelvin",
    "temperature difference": "delta_degree_Celsius",
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
    ours = read_quantity(f"12.5 {unit}", dimension, ROOM).value
    assert ours == pytest.approx(theirs.magnitude, rel=1e-12)


@pytest.mark.parametrize("unit", SCALES)
def test_each_temperature_scale_agrees_with_pint(unit: str) -> None:
    theirs = {"K": "kelvin", "degC": "degC", "degF": "degF", "R": "degR"}[unit]
    expected = ORACLE.Quantity(98.6, theirs).to("kelvin").magnitude
    assert read_quantity(f"98.6 {unit}", "temperature").value == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("unit", FACTORS["pressure difference"])
def test_gauge_counts_from_the_room_and_absolute_does_not(unit: str) -> None:
    span = ORACLE.Quantity(3.0, unit).to("Pa").magnitude
    absolute = read_quantity(f"3 {unit}(a)", "pressure", ROOM).value
    gauge = read_quantity(f"3 {unit}(g)", "pressure", ROOM).value
    assert absolute == pytest.approx(span, rel=1e-12)
    assert gauge == pytest.approx(span + ROOM, rel=1e-12)


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


@pytest.mark.parametrize(
    ("text", "dimension", "value"),
    [
        ("20 °C", "temperature", 293.15),
        ("−20 degC", "temperature", 253.15),
        ("3 µm", "length", 3e-6),
        ("3 μm", "length", 3e-6),
        ("40 cm³", "volume", 4e-5),
        ("5 dm³/(s·bar)", "conductance", 5e-8),
        ("5 dm3/(s*bar)", "conductance", 5e-8),
        ("2 in^3", "volume", 2 * 0.0254**3),
        ("12.5mm", "length", 0.0125),
        ("  12.5   mm ", "length", 0.0125),
        ("1.2e1 mm", "length", 0.012),
        (".5 in", "length", 0.0127),
        ("0.05", "ratio", 0.05),
        ("5 %", "ratio", 0.05),
        ("1.5", "number", 1.5),
    ],
)
def test_other_spellings_are_read(text: str, dimension: str, value: float) -> None:
    assert read_quantity(text, dimension).value == pytest.approx(value, rel=1e-13)


@pytest.mark.parametrize(
    ("text", "dimension", "half"),
    [
        ("100 mm +- 0.1 mm", "length", 1e-4),
        ("100 mm ± 2 %", "length", 2e-3),
        ("100 mm +/- 0.01 in", "length", 2.54e-4),
        ("20 degC +- 2 K", "temperature", 2.0),
        ("7 bar(g) +- 0.1 bar", "pressure", 1e4),
        ("7 bar(g) +- 1 %", "pressure", 7e3),
        ("5 % +- 1 %", "ratio", 0.01),
        ("1.5 +- 10 %", "number", 0.15),
        ("5 dm3/(s bar) +- 10 %", "conductance", 5e-9),
    ],
)
def test_tolerances(text: str, dimension: str, half: float) -> None:
    assert read_quantity(text, dimension, ROOM).tolerance == pytest.approx(half, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "name", "fix"),
    [
        ("12,5 mm", "length", "unit-comma", '"12.5 mm"'),
        ("1,5 mm", "length", "unit-comma", '"1.5 mm"'),
        ("1,500 mm", "length", "unit-comma", '"1.500 mm" or "1500 mm"'),
        ("1,500,000 mm", "length", "unit-comma", "decimal point"),
        ("7,5 bar(g)", "pressure", "unit-comma", '"7.5 bar(g)"'),
        ("7 bar", "pressure", "pressure-reference", '"7 bar(a)" or "7 bar(g)"'),
        ("100 psi", "pressure", "pressure-reference", '"100 psi(g)"'),
        ("0.1 bar(g)", "pressure difference", "unit-dimension", '"0.1 bar"'),
        ("7 barg", "pressure", "unit-unknown", '"7 bar(g)"'),
        ("20 C", "temperature", "unit-unknown", '"20 degC"'),
        ("5 degC", "temperature difference", "unit-dimension", ""),
        ("12", "length", "unit-missing", ""),
        ("12 kg", "length", "unit-dimension", ""),
        ("12 furlong", "length", "unit-unknown", ""),
        ("inf mm", "length", "number-not-finite", ""),
        ("-Infinity mm", "length", "number-not-finite", ""),
        ("nan mm", "length", "number-not-finite", ""),
        ("1e400 mm", "length", "number-huge", ""),
        ("1e30 mm", "length", "number-huge", ""),
        ("30 000 kPa(a)", "pressure", "number-grouped", '"30000 kPa(a)"'),
        ("30'000 kPa(a)", "pressure", "number-grouped", '"30000 kPa(a)"'),
        ("1/8 in", "length", "number-fraction", '"0.125 in"'),
        ("about 12 mm", "length", "number-unreadable", ""),
        ("", "length", "number-unreadable", ""),
        ("mm", "length", "number-unreadable", ""),
        ("١٢ mm", "length", "number-unreadable", ""),
        ("12 mm 5", "length", "unit-unknown", ""),
        ("5 %", "number", "unit-dimension", ""),
        ("100 mm +- -1 mm", "length", "tolerance-wrong", ""),
        ("20 degC +- 5 %", "temperature", "tolerance-wrong", ""),
        ("0.3 +- 10 %", "ratio", "tolerance-wrong", ""),
        ("100 mm +- 1", "length", "unit-missing", ""),
        ("100 mm +- 0,1 mm", "length", "unit-comma", '"0.1 mm"'),
        ("20 degC +- 2 degC", "temperature", "unit-dimension", ""),
    ],
)
def test_refusals(text: str, dimension: str, name: str, fix: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_quantity(text, dimension, ROOM)
    assert caught.value.name == name
    assert fix in caught.value.fix
    assert caught.value.why and caught.value.fix
    assert 0 <= caught.value.start <= len(text)
    assert caught.value.start + caught.value.width <= len(text) + 1


def test_gauge_is_refused_where_it_has_nothing_to_count_from() -> None:
    with pytest.raises(QuantityError) as caught:
        read_quantity("0 bar(g)", "pressure")
    assert caught.value.name == "pressure-reference"


@pytest.mark.parametrize("dimension", SI_UNITS)
def test_examples_and_listed_units_are_read(dimension: str) -> None:
    assert math.isfinite(read_quantity(example(dimension), dimension, ROOM).value)
    for unit in list_units(dimension):
        assert read_quantity(f"1 {unit}", dimension, ROOM).unit == spell(unit)


@pytest.mark.parametrize("system", ["SI", "inch-pound"])
@pytest.mark.parametrize("dimension", SI_UNITS)
@given(number=st.floats(1e-6, 1e6))
def test_what_is_shown_can_be_read_again(system: str, dimension: str, number: float) -> None:
    value = number * find_display(dimension).size
    shown = format_quantity(value, dimension, system, digits=17)  # type: ignore[arg-type]
    assert read_quantity(shown, dimension, ROOM).value == pytest.approx(value, rel=1e-9, abs=1e-9)


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


def test_materials_are_plausible_and_sourced() -> None:
    for name, record in MATERIALS.items():
        assert name == record.solid.name
        assert record.conductivity_source and record.service_source and record.emissivity_source
        assert 0.1 <= record.solid.conductivity <= 400.0
        assert 0.0 < record.solid.emissivity <= 1.0
        assert 50.0 < record.solid.lowest < 283.15 < record.solid.highest < 1400.0


def test_material_anchors() -> None:
    # Conductivities usually tabulated at room temperature, from memory: 304 16.2, 17-4PH 18.3,
    # 6061-T6 167 W/(m K). PTFE 0.25 at 20 degC, Springer Handbook of Materials Data, 3.3-13.
    expected = {
        "stainless 304": 16.2,
        "stainless 17-4PH": 18.3,
        "aluminium 6061": 167.0,
        "PTFE": 0.25,
    }
    for name, conductivity in expected.items():
        assert MATERIALS[name].solid.conductivity == conductivity
