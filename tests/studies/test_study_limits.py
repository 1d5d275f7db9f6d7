"""Limits of a study: which designs break them, by hand on invented numbers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from study_sample import invented, main_case

from jacketcalc.casefile.overrides import set_value
from jacketcalc.report.figures.study_map import pitch_map
from jacketcalc.show.limit_text import bounds_of, describe_bound, limit_block
from jacketcalc.show.page import Page
from jacketcalc.studies.limits import Limits, list_bounds

CASE = main_case()
# Every column of every stage is 400 + pitch in mm: 150 degC is 423.15 in kelvin.
MAP = invented(
    "jacket.pitch=2mm,10mm,20mm,30mm,40mm", "jacket.gap=4mm,6mm,8mm",
    number=lambda pitch, gap, member: 400.0 + pitch,
)  # fmt: skip


def test_limits_come_from_case_materials_and_what_is_asked() -> None:
    names = [bound.name for bound in list_bounds(CASE, Limits())]
    assert names == ["discharge", "seal", "barrel", "passage", "frost", "condensation"]
    asked = Limits(rib=2e-3, back_pressure=1e5, discharge=400.0, frost=3.0)
    found = {bound.name: bound for bound in list_bounds(CASE, asked)}
    assert found["back-pressure"].terms == (
        ("back_pressure_peak.first", 1e5), ("back_pressure_peak.second", 1e5),
    )  # fmt: skip
    assert found["discharge"].terms == (("hottest_discharge", 400.0),)
    seal = {stage.name: stage.seal.highest for stage in CASE.machine.stages}
    assert dict(found["seal"].terms) == {f"seal_temperature.{n}": v for n, v in seal.items()}
    case = set_value(CASE, "make.smallest_rib", "4 mm")
    rib = next(b for b in list_bounds(case, Limits()) if b.name == "rib")
    assert rib.excess({"rib.first": 3e-3, "rib.second": 5e-3}) == pytest.approx(1e-3)


def test_a_limit_that_is_just_kept_is_not_broken() -> None:
    rib = next(b for b in list_bounds(CASE, Limits(rib=1.5e-3)) if b.name == "rib")
    assert (rib.excess({"rib.first": 1.5e-3 * (1 - 1e-12)}) or 0.0) < 0.0
    assert rib.excess({"turns.first": 4.0}) is None


def test_the_worst_stage_decides() -> None:
    passage = next(b for b in list_bounds(CASE, Limits()) if b.name == "passage")
    limit = passage.terms[0][1]
    numbers = {"passage_coldest.first": limit + 10.0, "passage_coldest.second": limit - 2.0}
    assert passage.excess(numbers) == pytest.approx(2.0, abs=1e-6)


def test_designs_that_break_a_limit_are_counted() -> None:
    found = {bound.name: excess for bound, excess in bounds_of(MAP)}
    broken = [None if e is None else e > 0 for e in found["discharge"]]
    assert broken == [None] * 3 + [False] * 6 + [True] * 6
    text = "\n".join(limit_block(MAP, Page()))
    assert "6 of 12  discharge above 150 °C" in text
    assert "0 of 12  wall at a seal above 260 °C" in text


def test_limits_are_said_in_the_units_of_the_case() -> None:
    bound = list_bounds(CASE, Limits())[0]
    assert describe_bound(bound, "SI") == "discharge above 150 degC"
    assert describe_bound(bound, "inch-pound") == "discharge above 302 degF"


def test_the_map_hatches_what_some_break_and_names_what_all_break() -> None:
    data = pitch_map(MAP)
    (limit,) = data.limits
    assert limit.name == "discharge above 150 °C"
    assert limit.excess[:, 1:] == pytest.approx(np.tile([-13.15, -3.15, 6.85, 16.85], (3, 1)),
                                                abs=1e-5)  # fmt: skip
    assert np.isnan(limit.excess[:, 0]).all()
    (gap,) = data.gaps
    assert gap.name == "cannot be built" and gap.mask[:, 0].all() and not gap.mask[:, 1:].any()
    assert any("Broken by none: wall at a seal above 260 °C" in words for words in data.remarks)
    asked = pitch_map(replace(MAP, limits=Limits(discharge=400.0)))
    assert not asked.limits
    assert any("Broken by every design: discharge above" in words for words in asked.remarks)
