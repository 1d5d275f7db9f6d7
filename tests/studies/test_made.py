"""Studies and searches give values that can be made; what is typed and cannot be is a gap.

What is expected is worked out by hand from `tests/machines/single.toml` (rib 3 mm, one port's tube
like the other's) and the shop of `unjacketed.MAKE`: cutters of 12, 16, 20 and 27 mm, tubes of 8 and
12 mm, steps of 0.5 mm, ribs from 2 mm, two turns at least.
"""

from __future__ import annotations

import itertools
import math
import tomllib

import pytest
from places import CASES
from study_sample import COARSE
from unjacketed import with_make

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.core.resolution import COARSE as QUICK
from jacketcalc.core.run import run
from jacketcalc.designs import Design, without_jackets
from jacketcalc.errors import CaseError
from jacketcalc.show.optimum_text import make_optimum_text
from jacketcalc.show.study_text import make_study_text
from jacketcalc.studies.axes import parse_axis
from jacketcalc.studies.grid import make_points
from jacketcalc.studies.limits import Limits
from jacketcalc.studies.optimise import find_aim, optimise
from jacketcalc.studies.search import SizeRange, descend
from jacketcalc.studies.study import pitch_axis, run_study
from jacketcalc.studies.variables import make_variables, usual_ribs, usual_tubes

TEXT = with_make((CASES / "single.toml").read_text("utf-8"))
CASE = read_case_text(TEXT)
CUTTERS = (12, 16, 20, 27)
IGNORED = frozenset(("discharge", "condensation"))


def values(text: str) -> list[float]:
    return [round(1e3 * value, 6) for value in parse_axis(CASE, text).values]


def test_pitches_of_a_range_are_cutters_beside_the_rib() -> None:
    assert [round(1e3 * v, 6) for v in pitch_axis(CASE).values] == [15, 19, 23, 30]
    assert values("jacket.pitch=16mm:24mm:1mm") == [19, 23]
    assert values("jacket.pitch=24mm:16mm") == [23, 19]


def test_sizes_of_a_range_are_in_steps() -> None:
    assert values("jacket.gap=2mm:4mm:0.7mm") == [2, 2.5, 3.5]
    assert values("jacket.gap=2.1mm:2.9mm:3") == [2.5]
    assert parse_axis(CASE, "jacket.gap=0.1in:0.2in:3").texts[0].endswith(" in")


def test_tubes_of_a_range_are_those_on_the_shelf() -> None:
    assert values("tube.bore=6mm:20mm") == [8, 12]


def test_a_range_without_anything_that_can_be_made_is_refused() -> None:
    with pytest.raises(CaseError) as caught:
        parse_axis(CASE, "tube.bore=13mm:20mm")
    assert "can be made" in caught.value.problems[0].message


def test_what_is_listed_and_cannot_be_made_is_a_gap() -> None:
    points = make_points(CASE, [parse_axis(CASE, "jacket.pitch=23mm,28mm")])
    assert [p.machine is not None for p in points] == [True, False]
    assert points[1].gap.startswith("cannot be made: stage.main: no cutter is 25 mm wide")
    # 60 mm over 100 mm of length are fewer than two turns, and 57 mm no cutter's width.
    (point,) = make_points(CASE, [parse_axis(CASE, "jacket.starts=4")])
    assert "0.893 turns are fewer than 2" in point.gap


def test_what_is_not_varied_makes_no_gap() -> None:
    """The drawn channel, 25 mm, is no cutter's; the gap of 7 mm can be made beside it."""
    (point,) = make_points(CASE, [parse_axis(CASE, "jacket.gap=7mm")])
    assert point.machine is not None


@pytest.fixture(scope="module")
def found():
    wanted = {"pitch": "8mm:40mm", "gap": "4mm:9mm", "starts": "1:2", "rib": usual_ribs(CASE),
              "tube": usual_tubes(CASE)}  # fmt: skip
    return optimise(
        CASE, make_variables(CASE, "jacket", wanted), find_aim(CASE, "flow"),
        Limits(turns=2.0, ignored=IGNORED), quick=True, scan_count=3, resolution=COARSE,
    )  # fmt: skip


def test_every_design_of_a_search_can_be_made(found) -> None:
    # A quick search: some 15 ms each in coarse steps on one core.
    assert 40 < len(found.tried) < 300
    for trial in found.tried:
        pitch, gap, _, rib, bore = (float(text.split(" ")[0]) for text in trial.texts)
        assert min(abs(pitch - rib - width) for width in CUTTERS) < 1e-6
        assert bore in (8.0, 12.0)
        assert 2.0 <= rib <= 6.0 and (2 * rib).is_integer() and (2 * gap).is_integer()


def test_the_best_is_written_as_it_was_found(found) -> None:
    tree = tomllib.loads(found.best_case.text)
    jacket, tube = tree["stage"][0]["jacket"], tree["exhaust"]["port_1"]["tube"]
    typed = (jacket["pitch"], jacket["gap"], str(jacket["starts"]), jacket["rib"], tube["bore"])
    assert typed == found.best.texts
    assert tree["exhaust"]["port_2"]["tube"]["bore"] == tube["bore"]


def test_the_best_of_a_quick_search_is_near_the_best_of_all(found) -> None:
    """Every makeable design with the best rib, gaps in steps of 1 mm: solved one by one."""
    best = found.best.texts
    rib = float(best[3].split(" ")[0])
    top = 0.0
    for width, gap, bore in itertools.product(CUTTERS, range(4, 10), (8, 12)):
        text = TEXT.replace('pitch = "28 mm"', f'pitch = "{width + rib} mm"')
        text = text.replace('rib = "3 mm"', f'rib = "{rib} mm"')
        text = text.replace('gap = "7 mm"', f'gap = "{gap} mm"')
        case = read_case_text(text.replace('bore = "12 mm", wall', f'bore = "{bore} mm", wall'))
        jacket = case.machine.stages[0].jacket
        assert jacket is not None
        if jacket.length / jacket.pitch >= 2.0:
            (result,) = run([Design(machine=case.machine)], resolution=QUICK)
            top = max(top, result.outcome.delivered_mass_flow)
    (result,) = run([Design(machine=found.best_case.machine)], resolution=QUICK)
    assert result.outcome.delivered_mass_flow > top * (1.0 - 2e-3)


def test_the_text_says_what_bound_the_sizes(found) -> None:
    text = " ".join(make_optimum_text(found).split())
    assert "Pitches by 4 cutters, 2 tubes. Sizes in steps of 0.5 mm" in text
    assert "most of them in coarse steps" in text
    assert "The drawn design cannot be made with [make]: stage.main: no cutter is 25 mm" in text


def test_a_pitch_that_no_cutter_leaves_is_refused() -> None:
    with pytest.raises(CaseError) as caught:
        make_variables(CASE, "jacket", {"pitch": "40mm:48mm"})
    assert "no cutter" in caught.value.problems[0].message


def test_coarse_steps_change_the_gain_little() -> None:
    """Machines of the tests, far apart: gain over no jackets in coarse and in standard steps."""
    for name in ("hot", "single", "tight"):
        machine = read_case_text((CASES / f"{name}.toml").read_text("utf-8")).machine
        pair = [Design(machine=machine), Design(machine=without_jackets(machine, tubes=False))]
        gains = []
        for steps in (None, QUICK):
            new, old = (r.outcome.delivered_mass_flow for r in run(pair, resolution=steps))
            gains.append(new / old - 1.0)
        assert gains[1] == pytest.approx(gains[0], abs=3e-3)


def test_a_descent_finds_the_least_of_a_bowl() -> None:
    """Closed form: the least of a bowl stands at its centre, here tilted between two axes."""
    ranges = [SizeRange(low=0.0, high=20.0, made=0.5), SizeRange(low=0.0, high=20.0, made=0.5),
              SizeRange(low=1.0, high=7.0, choices=(1.0, 2.0, 4.0, 7.0))]  # fmt: skip
    asked: list[int] = []

    def bowl(points):
        asked.append(len(points))
        return [(x - 13.0) ** 2 + (y - 4.5) ** 2 + 0.6 * (x - 13.0) * (y - 4.5) + abs(z - 4.2)
                for x, y, z in points]  # fmt: skip

    assert descend(bowl, (0.0, 20.0, 1.0), ranges, rounds=40) == (13.0, 4.5, 4.0)
    assert descend(bowl, (13.0, 4.5, 4.0), ranges, rounds=40) == (13.0, 4.5, 4.0)
    assert math.isfinite(sum(asked))


def test_choices_are_moved_along_by_their_places() -> None:
    own = SizeRange(low=1.0, high=7.0, choices=(1.0, 2.0, 4.0, 7.0))
    assert [own.move(2.0, n) for n in (-5, -1, 1, 2, 5)] == [1.0, 1.0, 4.0, 7.0, 7.0]
    assert own.settle(3.1) == 4.0 and own.spread(9) == [1.0, 2.0, 4.0, 7.0]


def test_a_study_says_what_of_the_drawn_design_cannot_be_made() -> None:
    table = run_study(CASE, ["jacket.pitch=14mm:24mm"], band=False, resolution=QUICK)
    text = " ".join(make_study_text(table).split())
    assert "The drawn design cannot be made with [make]: stage.main: no cutter is 25 mm" in text
    assert [row.texts[0] for row in table.rows] == ["15 mm", "19 mm", "23 mm"]
    free = read_case_text((CASES / "single.toml").read_text("utf-8"))
    table = run_study(free, ["jacket.pitch=14mm:24mm:2"], band=False, resolution=QUICK)
    assert "cannot be made" not in make_study_text(table)


def test_what_the_shop_can_make_is_no_entry_to_vary() -> None:
    with pytest.raises(CaseError) as caught:
        parse_axis(CASE, "make.step=1mm,2mm")
    assert "changes no machine" in caught.value.problems[0].message
