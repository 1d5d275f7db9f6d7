"""The best jacket of a case: limits heeded, and a case of its own that says so."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
from study_sample import COARSE, small_case

from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.overrides import set_value
from jacketcalc.casefile.reading import read_case_text
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.inputs import Case
from jacketcalc.progress import Share
from jacketcalc.show.optimum_text import make_optimum_text
from jacketcalc.show.study_json import make_optimum_json
from jacketcalc.show.study_sheet import make_sheet
from jacketcalc.show.study_text import make_study_text
from jacketcalc.studies.limits import Limits
from jacketcalc.studies.optimise import find_aim, optimise
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.trials import Trials
from jacketcalc.studies.variables import Variable, best_case, make_variable

CASE = small_case()
OUT_OF_REACH = frozenset(("discharge", "condensation"))
"""Limits that no jacket of the small case keeps."""


def variables(case: Case = CASE, **texts: str) -> list[Variable]:
    return [make_variable(case, f"jacket.{k}", text, f"--{k}") for k, text in texts.items()]


@pytest.fixture(scope="module")
def solved() -> Result:
    return run([Design(machine=CASE.machine)], resolution=COARSE)[0]


@pytest.fixture(scope="module")
def told() -> list[float]:
    return []


@pytest.fixture(scope="module")
def found(told: list[float]) -> Optimum:
    """Search the pitch alone, the limits out of reach ignored."""
    return optimise(
        CASE, variables(pitch="20mm:32mm", gap="7.5mm", starts="1"), find_aim(CASE, "flow"),
        Limits(turns=2.0, ignored=OUT_OF_REACH), population=5, generations=1, scan_count=3,
        resolution=COARSE, progress=told.append,
    )  # fmt: skip


def test_every_limit_of_the_case_is_heeded_unless_told_not_to(solved: Result) -> None:
    hot = solved.outcome.stages[0].discharge_temperature
    point = (28.0,)

    def broken(limits: Limits, degrees: float) -> set[str]:
        case = set_value(CASE, "judge.discharge_limit", f"{hot + degrees:.6f} K")
        trials = Trials(
            case, variables(case, pitch="8mm:48mm"), find_aim(case, "flow"), limits,
            lambda designs: [solved] * len(designs),
        )  # fmt: skip
        trials.score([point])
        return set(trials.seen[point].broken) - {"condensation"}

    assert broken(Limits(), -1.0) == {"discharge"}
    assert broken(Limits(), +1.0) == set()
    assert broken(Limits(ignored=frozenset(("discharge",))), -1.0) == set()


def test_fewer_turns_and_thinner_lands_are_not_even_solved(solved: Result) -> None:
    """The jacket winds over 100 mm: by hand, two turns of 2 starts need a pitch of 25 mm."""
    case = set_value(CASE, "make.smallest_rib", "2 mm")
    asked: list[Design] = []

    def solve(designs: Sequence[Design]) -> list[Result]:
        asked.extend(designs)
        return [solved] * len(designs)

    def make(limits: Limits) -> Trials:
        asked.clear()
        own = variables(case, pitch="8mm:48mm", starts="1:4", rib="1mm:4mm")
        return Trials(case, own, find_aim(case, "flow"), limits, solve)

    points = [(25.0, 2.0, 3.0), (25.5, 2.0, 3.0), (25.0, 2.0, 1.5), (46.0, 4.0, 3.0)]
    trials = make(Limits(turns=2.0))
    scores = trials.score(points)
    assert len(asked) == 3  # bare, drawn, and the first point
    assert [trials.seen[p].reason for p in points] == [
        "", "fewer turns than 2", "rib thinner than 2 mm", "fewer turns than 2",
    ]  # fmt: skip
    assert scores[0] < scores[1] < scores[3]
    told_not_to = make(Limits(ignored=frozenset(("turns", "rib"))))
    told_not_to.score(points[:3])
    assert len(asked) == 5


def test_limits_that_nothing_keeps_are_found(solved: Result) -> None:
    own = variables(pitch="8mm:48mm")
    trials = Trials(
        CASE, own, find_aim(CASE, "flow"), Limits(), lambda designs: [solved] * len(designs)
    )
    score = trials.score([(28.0,)])
    assert trials.seen_breaks((28.0,)) and score[0] >= 1e3
    out = {bound.name for bound in trials.out_of_reach()}
    assert "discharge" in out and "seal" not in out
    trials.let_go = frozenset(out)
    flow = solved.outcome.delivered_mass_flow
    assert trials.rate((28.0,)) == pytest.approx(-1e3 * flow)


def test_the_best_is_a_case_of_its_own(found: Optimum) -> None:
    """The file is read and solved anew: its numbers are the ones stated."""
    data = found.best_case.text.encode()
    digest = hashlib.sha256(data).hexdigest()
    assert found.best_case.sha256 == found.scan.case.sha256 == digest
    plain = json.loads(make_optimum_json(found))
    assert plain["best_case"]["sha256"] == plain["scan"]["case"]["sha256"] == digest
    assert plain["case"]["sha256"] == CASE.sha256
    assert digest in make_optimum_text(found)
    again = read_case_text(data.decode())
    machines = [again.machine, bare_machine(CASE.machine, CASE.judgement.no_jackets), CASE.machine]
    results = run([Design(machine=m) for m in machines], resolution=COARSE)
    best, bare, drawn = (r.outcome.delivered_mass_flow for r in results)
    assert found.best.numbers["delivered_mass_flow"] == pytest.approx(best, rel=1e-9)
    first = " ".join(make_optimum_text(found).split("\n\n")[1].split())
    change, against = 100 * (best / bare - 1), 100 * (best / drawn - 1)
    way = "more" if against > 0 else "less"
    assert f"{change:.1f} % more than the machine without jackets" in first
    assert f"{abs(against):.1f} % {way} than the drawn design (range " in first
    jacket = next(g for g in again.given if g.path == "stage.main.jacket.pitch")
    assert (jacket.source, jacket.reference) == ("assumed", "found by jacketcalc optimise")


def test_the_best_is_set_against_both_bare_machines(found: Optimum) -> None:
    """Both machines without jackets solved on their own."""
    assert CASE.judgement.no_jackets == "exhaust direct"
    bares = [
        bare_machine(CASE.machine, "exhaust direct"),
        bare_machine(CASE.machine, "exhaust through tube"),
    ]
    flows = [r.outcome.delivered_mass_flow
             for r in run([Design(machine=m) for m in bares], resolution=COARSE)]  # fmt: skip
    first = " ".join(make_optimum_text(found).split("\n\n")[1].split())
    names = ("direct exhaust", "the exhaust through its tube")
    for flow, name in zip(flows, names, strict=True):
        change = 100 * (found.best.numbers["delivered_mass_flow"] / flow - 1)
        told = first.partition("The best design, delivery: ")[2].partition(name)[0]
        assert f", {change:+.1f} % (" in told
        first = first.replace(told, "", 1)


def test_a_best_case_survives_foreign_line_ends() -> None:
    data = ("\ufeff" + CASE.text.replace("\n", "\r\n")).encode()
    case = read_case_text(data.decode())
    own = variables(case, pitch="8mm:48mm")
    made = best_case(case, own, ["20 mm"], "most")
    assert hashlib.sha256(made.text.encode()).hexdigest() == made.sha256
    assert made.machine.stages[0].jacket.pitch == 0.02  # type: ignore[union-attr]


def test_no_pitch_beats_the_one_found_by_a_hundredth(found: Optimum) -> None:
    """Pitches between the steps on both sides, solved one by one on no search's way."""
    own = found.best.values[0]
    assert (2e3 * own).is_integer() or math.isclose(2e3 * own, round(2e3 * own))
    near = [own + d for d in (-4e-3, -2e-3, -7.5e-4, -2.5e-4, 2.5e-4, 7.5e-4, 2e-3, 4e-3)]
    cases = [set_value(found.best_case, "jacket.pitch", v) for v in near if 0.02 <= v <= 0.032]
    flows = [
        r.outcome.delivered_mass_flow
        for r in run([Design(machine=c.machine) for c in cases], resolution=COARSE)
    ]
    best = found.best.numbers["delivered_mass_flow"]
    assert max(flows) <= 1.01 * best
    # What is said of finer steps holds, to a tenth of a thousandth.
    assert max(flows[1:-1]) <= best + found.rounding + 1e-4 * best


def test_the_scan_names_what_it_holds(found: Optimum) -> None:
    held = "with jacket.gap 7.5 mm, jacket.starts 1"
    assert held in " ".join(make_study_text(found.scan).split())
    assert held in " ".join(make_optimum_text(found).split())
    assert json.loads(make_optimum_json(found))["scan"]["held"] == {
        "jacket.gap": "7.5 mm", "jacket.starts": "1",
    }  # fmt: skip
    sheet = make_sheet(found.scan)
    place = sheet.names.index("jacket.gap")
    assert {row[place] for row in sheet.rows} == {"7.5 mm", None}


def test_a_design_worse_than_bare_is_not_sold_as_good(found: Optimum) -> None:
    column = "change.delivered_mass_flow"

    def shifted(low: float, high: float) -> str:
        rows = []
        for row in found.scan.rows:
            ends = (low, high)
            members = tuple({**m, column: ends[i % 2]} for i, m in enumerate(row.members))
            rows.append(replace(row, members=members))
        bare = {**found.bare, "delivered_mass_flow": 1.04 * found.best.numbers[
            "delivered_mass_flow"]}  # fmt: skip
        scan = replace(found.scan, rows=tuple(rows))
        return make_optimum_text(replace(found, bare=bare, scan=scan)).split("\n\n")[1]

    worse = " ".join(shifted(-0.05, -0.02).split())
    assert worse.startswith("NO DESIGN FOUND IS BETTER THAN NO JACKETS")
    assert (
        "3.8 % less than the machine without jackets (range -5.0 % to -2.0 %)" in worse
    )  # 1 / 1.04
    assert "BEST DESIGN FOUND; better than no jackets is not certain" in shifted(-0.05, 0.02)


def test_progress_counts_the_machines_of_the_search(found: Optimum, told: list[float]) -> None:
    shares = [share for share in told if isinstance(share, Share)]
    assert len(shares) == len(told)
    done = [share.done for share in shares]
    assert done == sorted(done) and shares[-1].done == shares[-1].total
    # Bare, drawn, every trial, and the scan: eleven members and two parts at each of its points,
    # both machines without jackets under the nine members that they feel, and the drawn design
    # under eleven.
    machines = 2 + len(found.tried) + 13 * len(found.scan.rows) + 9 + 9 + 11
    assert shares[-1].total == machines
    # The first share is told before anything is solved.
    assert shares[0].done == 0.0
