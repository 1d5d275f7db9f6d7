"""The head of a study says what the verdict of its case says."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from judged_case import STEPS, judged, narrow, plain, same
from study_sample import invented

from jacketcalc.assessment.result import Standing
from jacketcalc.inputs import Case
from jacketcalc.show.study_json import make_study_json
from jacketcalc.show.study_text import make_study_text
from jacketcalc.studies.study import run_study


def head_of(standings: tuple[Standing, ...], case: Case | None = None) -> str:
    """Return the head of an invented study of the main case."""
    table = invented("jacket.pitch=20mm,30mm", number=lambda p, m: p)
    table = replace(table, standings=standings, case=case or table.case)
    kept = json.loads(make_study_json(table))["drawn"]["standings"]
    assert [entry["reference"] for entry in kept] == [s.reference for s in standings]
    return plain(make_study_text(table).split("\n\n")[1])


def test_heads_of_studies_say_what_the_verdict_says() -> None:
    both = judged((-4.0, -1.6, 1.0), (6.0, 8.7, 11.0)).verdict.standings
    assert head_of(both) == (
        "As drawn, delivery: cannot tell, -1.6 % (-4.0 % to +1.0 %), against direct "
        "exhaust; pays, +8.7 % (+6.0 % to +11.0 %), against the exhaust through its tube."
    )
    free = judged((3.0, 5.4, 8.0), free=(-8.0, -3.5, 1.0))
    assert head_of(free.verdict.standings, free.case).endswith(
        "The cycle rate of 0.8 a second is imposed. Without an imposed rate, delivery: "
        "cannot tell, -3.5 % (-8.0 % to +1.0 %)."
    )


@pytest.mark.parametrize("band", [True, False])
def test_a_study_solves_the_comparisons_of_its_case(band: bool) -> None:
    """Its head holds what `assess` finds for the same case; without a band, no answer."""
    wanted = narrow("1 1/s")
    table = run_study(wanted.case, ["jacket.pitch=20mm,28mm"], band=band, split=False,
                      resolution=STEPS)  # fmt: skip
    assert len(table.standings) == len(wanted.verdict.standings) == 4
    for one, two in zip(table.standings, wanted.verdict.standings, strict=True):
        if band:
            same(one, two)
        assert one.answer == (two.answer if band else None)
        assert one.delivered_mass_flow.value == pytest.approx(
            two.delivered_mass_flow.value, rel=1e-6, abs=1e-7
        )
    assert "The cycle rate of 1 a second is imposed." in plain(make_study_text(table))
