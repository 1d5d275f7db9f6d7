"""Which readings to take: what each would leave, and that it then leaves about so much."""

from __future__ import annotations

import json
from functools import cache

import numpy as np
import pytest
from bench_sample import near_break_even, shipped, shown_by, table, with_tables

from jacketcalc.casefile.overrides import set_value
from jacketcalc.inputs import Case
from jacketcalc.show.bench_json import make_plan_json
from jacketcalc.show.bench_text import make_plan_text
from jacketcalc.statistics.distributions import COVERAGE_FACTOR
from jacketcalc.statistics.residuals import slopes
from jacketcalc.uncertainty.candidates import list_candidates, separating
from jacketcalc.uncertainty.plan_test import TestPlan as Plan
from jacketcalc.uncertainty.plan_test import plan_test
from jacketcalc.uncertainty.reconcile import STEP, Bench, reconcile
from jacketcalc.uncertainty.unknowns import list_unknowns, with_unknowns


@cache
def planned() -> Plan:
    return plan_test(shipped())


def test_readings_never_leave_more_than_there_was() -> None:
    plan = planned()
    chosen = [one for one in plan.proposed if one.chosen]
    assert [one.chosen for one in chosen] == [1, 2, 3, 4]
    for one in plan.proposed:
        assert 0.0 < one.uncertainty_after <= plan.before
    for one in chosen:
        assert one.after_chosen <= one.uncertainty_after * (1.0 + 1e-12)
    after = [one.after_chosen for one in chosen]
    assert after == sorted(after, reverse=True)
    others = [one.uncertainty_after for one in plan.proposed if not one.chosen]
    assert others == sorted(others)
    assert chosen[0].uncertainty_after == min(one.uncertainty_after for one in plan.proposed)
    assert len(plan_test(shipped(), count=20).proposed) == len(plan.proposed)


def test_the_chosen_are_the_greedy_ones_computed_by_inverses() -> None:
    """Information of independent readings adds up (JCGM 102 and any text on least squares)."""
    case = shipped()
    readings = [one.reading for one in planned().proposed]
    bench = Bench(case, readings)
    every = range(len(bench.unknowns))
    start = np.zeros(len(bench.unknowns))
    J = slopes(bench.residuals(every), start, STEP)
    rows = np.concatenate((STEP * np.eye(len(start)), -STEP * np.eye(len(start))))
    gains = bench.gains(rows, every)
    a = (gains[: len(start)] - gains[len(start) :]) / (2.0 * STEP)
    assert planned().before == pytest.approx(np.linalg.norm(a), rel=1e-6)
    information, taken = np.eye(len(start)), []
    for _ in range(4):
        left = [
            np.inf if i in taken else
            a @ np.linalg.solve(information + np.outer(J[i], J[i]), a) for i in range(len(J))
        ]  # fmt: skip
        best = int(np.argmin(left))
        taken.append(best)
        information += np.outer(J[best], J[best])
        one = planned().proposed[best]
        assert one.chosen == len(taken)
        assert one.after_chosen == pytest.approx(np.sqrt(left[best]), rel=1e-6)


@pytest.mark.parametrize("z", [0.0, 0.4])
def test_a_proposed_reading_that_is_taken_narrows_the_answer_about_as_foretold(z: float) -> None:
    case, first = shipped(), planned().proposed[0]
    unknowns = list_unknowns(case.machine)
    machine = with_unknowns(case.machine, unknowns, np.full(len(unknowns), z))
    found = reconcile(case, shown_by(machine, [first.reading], case.machine))
    u = (found.joint.gain.high - found.joint.gain.low) / (2.0 * COVERAGE_FACTOR)
    assert u == pytest.approx(first.uncertainty_after, rel=0.3)


def test_readings_that_the_case_holds_count_already() -> None:
    first = planned().proposed[0].reading
    assert first.kind in ("wall temperature", "exhaust temperature", "cycle time", "delivered mass")
    held = with_tables(
        shipped(),
        table(cycle_time="0.73 s u 0.02 s"),
        table(valve_pressure="7 bar(g) u 0.01 bar"),
    )
    plan = plan_test(held)
    assert plan.before < planned().before
    sagged = next(one for one in plan.proposed if one.reading.kind == "valve pressure")
    assert sagged.uncertainty_after > 0.999 * plan.before
    assert "With the 2 readings of the case" in make_plan_text(plan)
    assert "Before any reading" in make_plan_text(planned())


def half_fed() -> Case:
    """Return the laboratory with a jacket that no exhaust reaches."""
    return set_value(shipped("impact_laboratory"), "exhaust.port_2.to", "atmosphere")


def test_what_the_machine_does_not_show_is_not_proposed() -> None:
    plan = plan_test(half_fed())
    told = {(one.reading.kind, one.reading.stage) for one in plan.proposed}
    assert ("exhaust temperature", "second") in told
    assert ("exhaust temperature", "first") not in told
    assert ("wall temperature", "first") in told


def test_every_candidate_has_an_instrument_and_its_uncertainty() -> None:
    found = list_candidates(shipped("impact_laboratory"))
    assert len({reading.name for reading, _ in found}) == len(found)
    assert all(words and reading.standard_uncertainty > 0.0 for reading, words in found)


def test_the_reading_that_separates_is_the_one_with_most_u_between() -> None:
    shown = np.array([[1.0, 300.0, np.nan], [1.1, 303.0, 5.0], [0.9, 301.0, 1.0]])
    assert separating(shown, [0.02, 1.0, 0.1]) == (0, pytest.approx(10.0))
    assert separating(shown, [0.2, 1.0, 0.1]) == (1, pytest.approx(3.0))


def test_json_and_text_tell_the_same() -> None:
    told, text = json.loads(make_plan_json(planned())), make_plan_text(planned())
    assert max(map(len, text.split("\n"))) <= 80
    assert told["standard_uncertainty_before"] == planned().before
    assert f"{100 * planned().before:.2f} points" in " ".join(text.split())
    words = " ".join(text.split())
    for row, one in zip(told["readings"], planned().proposed, strict=True):
        assert row["standard_uncertainty_after"] == one.uncertainty_after
        assert row["chosen"] == one.chosen and "value" not in row
        if one.chosen:
            assert f"{100 * row['after_chosen']:.2f} points" in words
            assert f"{one.chosen}. {one.reading.kind}" in words


def test_a_plan_speaks_the_units_of_the_case() -> None:
    case = set_value(near_break_even(), "judge.by", "discharge temperature")
    text = make_plan_text(plan_test(set_value(case, "document.units", "inch-pound")))
    assert "°F" in text or "degF" in text or " R" in text
    assert " K" not in text.split("reading", 1)[1]
