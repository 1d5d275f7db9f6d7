"""Quantities as typed: spellings, tolerances, and refusals that name the cure."""

from __future__ import annotations

import math

import pytest

from jacketcalc.quantities import read_quantity
from jacketcalc.quantity_problems import QuantityError
from jacketcalc.units import SI_UNITS, example, list_units, spell

AMBIENT = 101325.0


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
    assert read_quantity(text, dimension, AMBIENT).tolerance == pytest.approx(half, rel=1e-12)


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
        read_quantity(text, dimension, AMBIENT)
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
    assert math.isfinite(read_quantity(example(dimension), dimension, AMBIENT).value)
    for unit in list_units(dimension):
        assert read_quantity(f"1 {unit}", dimension, AMBIENT).unit == spell(unit)
