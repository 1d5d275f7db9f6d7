"""One machine that does not settle takes its own line, and says so; two end an assessment.

The failures are put in by hand: what must still stand is what the other machines gave.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from printed import near
from report_sample import CASES, COARSE, report_of, result_of

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.result import Assessment
from jacketcalc.assessment.variants import list_variants
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError
from jacketcalc.report.html import make_html
from jacketcalc.show.text import make_text

CASE = set_value(read_case(str(CASES / "single.toml")), "valve.cycle_rate", "1.5 1/s")
VARIANTS = list_variants(CASE.machine, CASE.judgement.no_jackets)
WHY = "the invented fault"
LABELS = {
    "cooling alone": "cooling alone is left out of the split",
    "resistance alone": "resistance alone is left out of the split",
    "ratio 0.8": "the ratio 0.8 is left out",
    "ratio 1.5": "the ratio 1.5 is left out",
    "ratio 3": "the ratio 3 is left out",
    "other bare": "could not be made",
    "free bare": "without an imposed rate, could not be made",
    "free other bare": "without an imposed rate, could not be made",
    "free jacketed": "without an imposed rate, could not be made",
}
"""What is said of a machine that a comparison, the split or the table of ratios is made of."""


@cache
def solved(design: Design) -> Result:
    return run([design], resolution=COARSE, details=True)[0]


def assessed(*failing: str) -> Assessment:
    """Assess the case as if the machines named had not settled."""
    lost = [VARIANTS[name] for name in failing]

    def failed(designs: Sequence[Design], **_: Any) -> list[Result]:
        return [replace(solved(d), failure=WHY) if d in lost else solved(d) for d in designs]

    return assess(CASE, solver=failed)


def label_of(name: str) -> str:
    return LABELS.get(name, f"leaves {name.partition(', ')[2]} out of its range")


@pytest.mark.parametrize("name", [name for name in VARIANTS if name not in ("bare", "jacketed")])
def test_what_did_not_settle_is_left_out_and_said(name: str) -> None:
    whole, found = assessed(), assessed(name)
    assert (found.bare, found.jacketed, found.change) == (whole.bare, whole.jacketed, whole.change)
    plain = result_of(found)
    told = " ".join([*plain["verdict"]["missing"], *(n["text"] for n in plain["notes"])])
    for shown in (" ".join(make_text(found, full=True).split()), told):
        assert label_of(name) in shown and WHY in shown
        assert "nan" not in shown.replace("\u00a0", " ").split()
    assert WHY not in make_text(whole, full=True)
    assert "LEFT OUT Some of the machines did not settle" in make_text(found)
    assert "LEFT OUT" not in make_text(whole)


@pytest.mark.parametrize("name", ["cooling alone", "jacketed, in-cylinder mixing full"])
def test_a_report_says_what_is_left_out(name: str) -> None:
    page = make_html(report_of(assessed(name)))
    assert label_of(name) in page and WHY in page
    assert "nan" not in page.replace("\u00a0", " ").split()


def test_a_split_without_one_part_shows_the_other_and_no_rest() -> None:
    whole, found = assessed(), assessed("cooling alone")
    assert found.split.cooling_alone is None
    assert found.split.resistance_alone == whole.split.resistance_alone
    change = result_of(found)["change"]
    assert change["cooling_alone"] is None and change["resistance_alone"] is not None
    text = make_text(found, full=True)
    assert "resistance alone, without its cooling" in text
    assert "cooling alone, without its resistance" not in text
    assert "from both acting together" not in text
    assert "from both acting together" in make_text(whole, full=True)
    (why,) = [line for line in make_text(found).split("\n") if line.startswith("WHY")]
    assert whole.split.resistance_alone is not None
    ends = [100 * c.delivered_mass_flow for c in (whole.change, whole.split.resistance_alone)]
    printed = re.match(r"WHY      Delivery (\S+) %: resistance (\S+) %\. ", why)
    assert printed is not None and [near(text) for text in printed.groups()] == ends


def test_a_band_spans_the_members_that_settled() -> None:
    whole = assessed()
    found = assessed("jacketed, in-cylinder mixing full")
    kept = [m for m in whole.band.members if m.label != "in-cylinder mixing full"]
    assert len(kept) == len(whole.band.members) - 1
    assert [m.label for m in found.band.members] == [m.label for m in kept]
    flows = [m.change.delivered_mass_flow for m in kept]
    band = found.band.delivered_mass_flow
    assert (band.low, band.high) == (min(flows), max(flows))
    # The free machines keep their own members.
    assert len(found.verdict.standings) == len(whole.verdict.standings)


def test_no_answer_is_given_where_no_member_of_the_band_settled() -> None:
    members = [n for n in VARIANTS if n.startswith("jacketed, ")]
    found = assessed(*members)
    assert [m.label for m in found.band.members] == ["nominal"]
    assert found.verdict.answer == "cannot tell"
    answer, *_, last = make_text(found).split("\n\n")[1:]
    assert answer.startswith("CANNOT TELL") and answer.count("no model range") == 3
    assert "No model range could be computed." in last
    table = make_text(found).split("\n\n")[3]
    assert not re.search(r"\d to [-+\d]", table)


def test_break_even_is_sought_among_the_ratios_that_settled() -> None:
    whole, found = assessed(), assessed("ratio 1.5")
    lost = [pair for pair in whole.conductance.curve if math.isclose(pair[0], 1.5, rel_tol=0.02)]
    assert len(lost) == 1 and lost[0] not in found.conductance.curve


@pytest.mark.parametrize("names", [("bare",), ("jacketed",), ("bare", "jacketed")])
def test_without_bare_or_jacketed_there_is_no_assessment(names: tuple[str, ...]) -> None:
    with pytest.raises(ConvergenceError, match=WHY) as raised:
        assessed(*names, "ratio 0.8")
    assert all(f"\n  {name}: {WHY}" in str(raised.value) for name in names)
    assert "ratio" not in str(raised.value)
