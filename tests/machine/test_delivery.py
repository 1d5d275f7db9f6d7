"""Machines that run and deliver nothing: what is left in the clearance fills the whole stroke."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from places import CASES

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.compare import compare
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.inputs import Case
from jacketcalc.report.study_figures import study_figures
from jacketcalc.show.text import make_text
from jacketcalc.show.to_json import make_json
from jacketcalc.studies.choice import choose_all
from jacketcalc.studies.study import run_study

CASE = CASES / "single.toml"
CLEARANCE = "stage.main.clearance"
EXPONENT = 1.4
"""Isentropic exponent of air at ambient temperature (handbook value, from memory)."""


@pytest.fixture(scope="module")
def case() -> Case:
    return read_case(str(CASE))


def largest_clearance(case: Case, exponent: float) -> float:
    """Share of the sweep at which volumetric efficiency is nought.

    eta = 1 + c - c r^(1/n), the form of every handbook of compressors (from memory), with what
    the valves take to open.
    """
    stage, supply = case.machine.stages[0], case.machine.supply.pressure
    out = case.machine.receiver_pressure + stage.delivery.cracking_pressure
    ratio = out / (supply - stage.inlet.cracking_pressure)
    return 1.0 / (ratio ** (1.0 / exponent) - 1.0)


def test_where_delivery_ends_is_where_handbooks_end_it(case: Case) -> None:
    """Beyond the clearance of isentropic expansion nothing is delivered, below isothermal's some.

    With the machine's own heat it ends in between.
    """
    cold, hot = (largest_clearance(case, n) for n in (1.0, EXPONENT))
    assert 0.15 < cold < hot < 0.45
    shares = [0.98 * cold, 0.5 * (cold + hot), 1.02 * hot]
    axis = f"{CLEARANCE}={','.join(f'{100 * s:.4g}%' for s in shares)}"
    table = run_study(case, [axis], band=False)
    assert [row.state for row in table.rows] == ["solved", "solved", "idle"]
    flows = table.series("delivered_mass_flow")
    assert flows[0] > flows[1] > 1e-6 > flows[2] >= 0.0  # type: ignore[operator]


def test_a_study_does_not_choose_what_delivers_nothing(case: Case) -> None:
    """Air shut in is coldest, and says nothing: its temperatures are left out."""
    table = run_study(case, [f"{CLEARANCE}=20%,60%"], band=False)
    works, idles = table.rows
    assert idles.state == "idle"
    assert "delivers nothing" in idles.reason
    for name in (
        "compression_start_temperature.main",
        "hottest_discharge",
        "specific_air_consumption",
    ):
        assert name in works.numbers
        assert name not in idles.numbers
    assert {choice.best for choice in choose_all(table)} == {0}


def test_there_is_no_change_from_a_bare_machine_that_delivers_nothing(case: Case) -> None:
    """Cooling can be what makes it deliver: then there are flows, and no changes to draw."""
    table = run_study(set_value(case, CLEARANCE, "38.7 %"), ["jacket.pitch=20mm,28mm"], band=False)
    assert [row.state for row in table.rows] == ["solved", "solved"]
    assert all(flow is not None and flow > 0.0 for flow in table.series("delivered_mass_flow"))
    assert table.series("change.delivered_mass_flow") == [None, None]
    assert study_figures(table) == {}


def test_an_assessment_says_so_and_judges_nothing(case: Case) -> None:
    """No change is stated of nothing; what the machine still does is."""
    found = assess(set_value(case, CLEARANCE, "60 %"))
    assert not found.delivers
    assert not found.bare.stalled
    assert found.verdict.answer == "cannot tell"
    text = " ".join(make_text(found, full=True).split())
    assert "CANNOT TELL: The machine delivers nothing, with and without jackets:" in text
    assert "warning: stage main delivers nothing" in text
    assert "temperature at start of compression °C - -" in text
    assert "MODEL RANGE of" not in text
    assert "discharge temperature, main" not in text
    told = json.loads(make_json(found))
    assert (told["no_jackets"]["delivers"], told["with_jackets"]["stalled"]) == (False, False)
    assert told["with_jackets"]["cycle_rate"] > 1.0
    assert told["model_range"]["discharge_temperature"]["value"] is None


def test_stages_side_by_side_deliver_together(case: Case) -> None:
    """Mass in a cycle is what all stages that lead to the receiver deliver, by conservation."""
    first = case.machine.stages[0]
    designs = []
    for share in (first.clearance, 0.6):
        beside = replace(first, name="beside", clearance=share, compresses_on=2, jacket=None)
        designs.append(Design(machine=replace(case.machine, stages=(first, beside))))
    both, one = (result.outcome for result in run(designs))
    assert [stage.delivers for stage in both.stages] == [True, True]
    assert [stage.delivers for stage in one.stages] == [True, False]
    for outcome in (both, one):
        delivered = sum(stage.mass_per_stroke for stage in outcome.stages)
        assert outcome.mass_per_cycle == pytest.approx(delivered, rel=1e-6)
    change = compare(one, both)
    assert change.mass_per_cycle < -0.4
    assert (1.0 + change.mass_per_cycle) * (1.0 + change.cycle_rate) == pytest.approx(
        1.0 + change.delivered_mass_flow
    )
