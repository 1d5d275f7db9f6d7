"""What a number's source is, and how it reached the project, is stated once and truly."""

from __future__ import annotations

import fluids
import numpy as np
import pytest

from jacketcalc.casefile.fields import CaseTable, Field
from jacketcalc.casefile.schema import ROOT
from jacketcalc.correlations.friction import rectangle_constant
from jacketcalc.correlations.records import RECORDS, catalogue
from jacketcalc.formula import Correlation
from jacketcalc.materials import MATERIALS
from jacketcalc.references import SOURCES


def _fields(table: CaseTable) -> list[Field]:
    return [*table.fields, *(field for inner in table.tables for field in _fields(inner))]


NAMED = {"ISO 8573-1": "iso-8573-1", "API 618": "api-618"}
"""Words by which a default names a source, to the source's record."""


def test_a_default_says_of_its_source_what_the_record_says() -> None:
    found = set()
    for field in _fields(ROOT):
        for words, key in NAMED.items():
            if words in field.why:
                assert field.cites == key
                assert field.why.endswith(f", {SOURCES[key].obtained}")
                found.add(key)
    assert found == set(NAMED.values())


def test_the_dew_point_of_class_4_was_read() -> None:
    """OPC 40250-1, table 128, after ISO 8573-1: class 4, at most +3 degC; read."""
    field = next(field for field in _fields(ROOT) if field.key == "pressure_dew_point")
    assert field.default == "3 degC" and field.why == "ISO 8573-1 class 4, read"


def test_the_discharge_limit_says_whose_it_is() -> None:
    """API 618 (2007) is titled for petroleum, chemical and gas industry services; title read."""
    field = next(field for field in _fields(ROOT) if field.key == "discharge_limit")
    assert field.why == "limit for process compressors, API 618, from memory"
    assert "Petroleum, Chemical, and Gas" in SOURCES["api-618"].citation


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.name)
def test_a_scatter_says_where_it_is_from(record: Correlation) -> None:
    assert (record.scatter == (0.0, 0.0)) == (record.scatter_from == "exact")
    remark = record.remark.lower()
    assert "scatter from" not in remark and "scatter is judgement" not in remark


def test_six_laws_of_transition_span_the_scatter() -> None:
    """Reference: the library fluids 1.3.1, which owns all six, at Dh/Dc 0.07."""
    record = catalogue()["coil, critical Reynolds number"]
    laws = {
        "Seth and Stahel": fluids.helical_transition_Re_Seth_Stahel(0.07, 1.0),
        "Kutateladze and Borishanskii": fluids.helical_transition_Re_Kutateladze_Borishanskii(
            0.07, 1.0
        ),
        "Kubair and Kuloor": fluids.helical_transition_Re_Kubair_Kuloor(0.07, 1.0),
        "this law": fluids.helical_transition_Re_Schmidt(0.07, 1.0),
        "Ito": fluids.helical_transition_Re_Ito(0.07, 1.0),
        "Srinivasan": fluids.helical_transition_Re_Srinivasan(0.07, 1.0),
    }
    for name, value in laws.items():
        assert name in record.remark and f"{value / 1e3:.1f}" in record.remark
    ratios = np.array(list(laws.values())) / laws["this law"] - 1.0
    low, high = record.scatter
    assert low <= ratios.min() < low + 0.01 and high - 0.01 < ratios.max() <= high


def test_the_polynomial_of_the_rectangle_keeps_its_scatter() -> None:
    """Against the exact series of laminar flow in a rectangle (any textbook; from memory)."""
    low, high = catalogue()["rectangle, laminar friction"].scatter
    odd = np.arange(1, 400, 2)
    for aspect in np.linspace(0.02, 1.0, 50):
        series = np.sum(np.tanh(odd * np.pi / (2.0 * aspect)) / odd**5.0)
        exact = 96.0 / ((1.0 + aspect) ** 2 * (1.0 - 192.0 * aspect / np.pi**5 * series))
        assert low <= float(rectangle_constant(aspect)) / exact - 1.0 <= high


def test_a_material_says_which_of_its_values_were_read() -> None:
    assert MATERIALS["stainless 304"].origin == "from memory"
    assert MATERIALS["NBR"].origin == "service range read, rest from memory"
    assert MATERIALS["POM"].origin == "conductivity and service range read, rest from memory"
