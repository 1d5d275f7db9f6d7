"""How far a number may lie: what the case says of it, else what its source is worth."""

from __future__ import annotations

import math

import numpy as np
import pytest
from bench_sample import NAMES, changed, shipped, table, with_tables
from scipy.stats import norm

from jacketcalc.casefile.describe import field_at
from jacketcalc.casefile.overrides import set_value, with_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.inputs import Case, Given
from jacketcalc.statistics.limited import Rectangular
from jacketcalc.statistics.normals import Normal
from jacketcalc.statistics.samples import SampleDesign
from jacketcalc.statistics.within import Within, within
from jacketcalc.uncertainty.spans import find_span, general_tolerance, spread
from jacketcalc.uncertainty.uncertain import UncertainInput, draw, list_uncertain, with_draw


def one(case: Case, path: str) -> UncertainInput:
    return next(found for found in list_uncertain(case) if found.path == path)


def test_a_tolerance_is_rectangular_and_u_is_normal() -> None:
    """JCGM 100, 4.3.7: between limits alone, u = a / sqrt(3)."""
    case = set_value(shipped(), "drive.bore", "100 mm +- 0.3 mm")
    bore = one(case, "drive.bore")
    assert isinstance(bore.distribution, Rectangular)
    assert bore.distribution.standard_uncertainty == pytest.approx(0.3e-3 / math.sqrt(3.0))
    assert bore.origin == "tolerance of the case"
    case = set_value(shipped(), "ambient.temperature", "20 degC u 0.5 K")
    warm = one(case, "ambient.temperature")
    assert isinstance(warm.distribution, Normal)
    assert (warm.distribution.mean, warm.distribution.standard_uncertainty) == (293.15, 0.5)
    assert warm.ends == pytest.approx((293.15 - 1.95996 * 0.5, 293.15 + 1.95996 * 0.5), abs=1e-4)
    assert warm.origin == "standard uncertainty of the case"


@pytest.mark.parametrize(
    ("length", "half"),
    [(0.5, 0.1), (3, 0.1), (6, 0.1), (6.1, 0.2), (30, 0.2), (30.1, 0.3), (120, 0.3), (120.1, 0.5),
     (400, 0.5), (401, 0.8), (1000, 0.8), (1001, 1.2), (2000, 1.2)],
)  # fmt: skip
def test_a_drawn_length_has_the_general_tolerance(length: float, half: float) -> None:
    """ISO 2768-1, table 1, class m, mm: values from memory."""
    assert general_tolerance(length * 1e-3) == pytest.approx(half * 1e-3)


def test_the_source_says_how_wide_a_span_is() -> None:
    def given(source: str, value: float, **more: bool) -> Given:
        return Given(path="drive.bore", text="", value=value, unit="m", source=source, **more)

    drawn = find_span(given("drawing", 0.05), "length")
    assert (drawn.form, drawn.size) == ("half width", 0.3e-3) and "2768" in drawn.words
    measured = find_span(given("measured", 0.05), "length")
    assert measured.size < drawn.size and "calliper" in measured.words
    assumed = find_span(given("drawing", 0.05, assumed=True), "length")
    assert assumed.form == "factor" and "assumed" in assumed.words
    law, words = spread(given("assumed", 0.05), "length")
    assert float(law.ppf(0.025)) == pytest.approx(0.05 / 1.15)
    assert float(law.ppf(0.975)) == pytest.approx(0.05 * 1.15)
    assert words == assumed.words
    share, _ = spread(given("catalogue", 2e-8), "conductance")
    assert (float(share.ppf(0.0)), float(share.ppf(1.0))) == pytest.approx((1.8e-8, 2.2e-8))


@pytest.mark.parametrize("name", NAMES)
def test_every_input_says_where_its_span_comes_from(name: str) -> None:
    for found in list_uncertain(shipped(name)):
        low, high = found.ends
        assert found.origin and low < high
        assert found.distribution.standard_uncertainty > 0.0
        assert found.nominal == pytest.approx(
            float(next(g.value for g in shipped(name).given if g.path == found.path))
        )


@pytest.mark.parametrize("name", NAMES)
def test_what_is_sampled_is_a_case_that_the_reader_takes(name: str) -> None:
    case = shipped(name)
    inputs = list_uncertain(case)
    points = SampleDesign(inputs=len(inputs), per_replicate=4, replicates=2, seed=5).points()
    for row in draw(inputs, points.reshape(-1, len(inputs))):
        text = case.text
        for found, value in zip(inputs, row, strict=True):
            text = with_value(text, found.path, float(value))
        read_case_text(text, "sampled.toml")


def test_nothing_leaves_its_limits_even_where_the_case_is_vague() -> None:
    case = changed(
        shipped(),
        {
            "valve.exhaust_path.b": "0.55 u 0.3",
            "stage.single.clearance": "6 % u 5 %",
            "models.mixing": "0.1 u 0.09",
            "models.in_cylinder_factor": 4.5,
            "valve.switching_time": "30 ms u 25 ms",
        },
    )
    inputs = list_uncertain(case)
    edge = np.array([[1e-10] * len(inputs), [0.5] * len(inputs), [1.0 - 1e-10] * len(inputs)])
    for found, values in zip(inputs, draw(inputs, edge).T, strict=True):
        field = field_at(found.path)
        assert np.all((values >= field.low) & (values <= field.high)), found.path
        assert values[0] < values[1] < values[2], found.path
    by_path = dict(zip([i.path for i in inputs], draw(inputs, edge).T, strict=True))
    assert by_path["valve.exhaust_path.b"].max() < 1.0
    assert by_path["models.mixing"].min() >= 0.0
    assert by_path["stage.single.clearance"].min() > 0.0


def test_a_stated_uncertainty_of_a_law_comes_before_its_scatter() -> None:
    case = set_value(shipped(), "models.jacket_factor", "1.1 u 0.02")
    known = one(case, "models.jacket_factor")
    assert known.distribution.standard_uncertainty == pytest.approx(0.02)
    assert known.origin == "standard uncertainty of the case" and not known.assumed
    assert one(shipped(), "models.jacket_factor").assumed


def test_a_distribution_that_is_cut_is_the_one_of_those_that_are_left() -> None:
    """Normal above zero: mean and spread of the half-normal, Leone et al. 1961 (from memory)."""
    cut = within(Normal(mean=0.0, standard_uncertainty=2.0), 0.0, math.inf)
    assert isinstance(cut, Within)
    assert cut.mean == pytest.approx(2.0 * math.sqrt(2.0 / math.pi), rel=1e-3)
    assert cut.standard_uncertainty == pytest.approx(2.0 * math.sqrt(1.0 - 2.0 / math.pi), rel=2e-3)
    p = np.array([0.1, 0.5, 0.9])
    assert cut.ppf(p) == pytest.approx(2.0 * norm.ppf(0.5 + 0.5 * p), rel=1e-9)
    whole = Normal(mean=5.0, standard_uncertainty=0.1)
    assert within(whole, 0.0, 10.0) is whole


def test_readings_are_no_inputs() -> None:
    case = with_tables(shipped(), table(cycle_time="0.7 s u 0.01 s"))
    assert [i.path for i in list_uncertain(case)] == [i.path for i in list_uncertain(shipped())]


@pytest.mark.parametrize("name", NAMES)
def test_a_gauge_pressure_stays_gauge_when_ambient_pressure_moves(name: str) -> None:
    """The case read again at another ambient pressure has the same pressures, stated ones apart."""
    case = shipped(name)
    case = set_value(case, "ambient.pressure", "101 kPa(a)")
    inputs = list_uncertain(case)
    moved = [95e3 if i.path == "ambient.pressure" else i.nominal for i in inputs]
    drawn = with_draw(case.machine, inputs, np.array(moved))
    again = set_value(case, "ambient.pressure", "95 kPa(a)").machine
    assert drawn.supply.pressure == pytest.approx(again.supply.pressure, rel=1e-12)
    assert drawn.receiver_pressure == pytest.approx(again.receiver_pressure, rel=1e-12)
    assert drawn.supply.pressure == pytest.approx(case.machine.supply.pressure - 6e3, rel=1e-12)


def test_an_absolute_pressure_stays_where_it_is_when_ambient_pressure_moves() -> None:
    case = set_value(shipped(), "supply.pressure", "7.5 bar(a) +- 0.1 bar")
    inputs = list_uncertain(case)
    moved = [95e3 if i.path == "ambient.pressure" else i.nominal for i in inputs]
    assert with_draw(case.machine, inputs, np.array(moved)).supply.pressure == 7.5e5
    assert not one(case, "supply.pressure").gauge and one(case, "receiver.pressure").gauge
