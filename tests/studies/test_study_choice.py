"""Best points, plateaus and fronts of a study, on functions known in closed form."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from study_sample import invented

from jacketcalc.studies.choice import Aim, Choice, choose, choose_all, span
from jacketcalc.studies.search import SizeRange, level_range, non_dominated

MOST = Aim(name="most", column="x", lowest=False, same=0.25)
LEAST = Aim(name="least", column="x", lowest=True, same=0.25)


def pick(aim: Aim, *members: list[float | None]) -> Choice:
    return choose(aim, members, (len(members[0]),))


def test_the_best_is_the_best_under_the_stated_models() -> None:
    assert pick(MOST, [1.0, 5.0, 3.0], [9.0, 8.0, 1.0]).best == 1
    assert pick(LEAST, [1.5, 5.0, 0.5, 4.0]).best == 2


def test_points_are_compared_in_pairs_and_not_by_their_bands() -> None:
    # Bands 0 to 10 and 1 to 11 overlap almost wholly; the second is better by 1 in every pair.
    assert pick(MOST, [5.0, 6.0, 0.0], [0.0, 1.0, 0.0], [10.0, 11.0, 0.0]).plateau == (1,)
    # Bands 5.0 to 5.4 and 5.3 to 5.8 hardly overlap, but one pair is the other way round.
    assert pick(MOST, [5.0, 5.8, 0.0], [5.4, 5.3, 0.0]).plateau == (0, 1)


def test_small_differences_count_as_none() -> None:
    assert pick(MOST, [9.76, 10.0, 9.74]).plateau == (0, 1)
    share = Aim(name="most", column="x", lowest=False, same=0.0025, relative=True)
    assert pick(share, [399.1, 400.0, 398.9]).plateau == (0, 1)


def test_the_end_of_the_range_is_not_called_best() -> None:
    rising = pick(MOST, [1.0, 2.0, 3.0])
    assert (rising.verdict, rising.rising) == ("still rising", (0,))
    assert pick(MOST, [1.0, 3.0, 2.0]).verdict == "best"
    assert pick(MOST, [3.0, 3.1, 3.2]).verdict == "no difference"
    assert pick(MOST, [None, None]).verdict == "none"


def test_a_best_beside_a_gap_says_so() -> None:
    choice = choose(MOST, [[None, 9.0, 1.0, 0.0]], (4,), [True, False, False, False])
    assert (choice.verdict, choice.bounded) == ("best", (0,))


def test_the_plateau_runs_from_the_best_without_a_break() -> None:
    choice = pick(MOST, [9.9, 5.0, 9.9, 10.0, 9.8, 1.0])
    assert choice.plateau == (0, 2, 3, 4)
    assert span(choice, (6,), 0) == (2, 4)


def test_a_map_has_a_span_on_each_axis() -> None:
    values: list[float | None] = [0.0, 1.0, 0.0, 9.9, 10.0, 9.8, 0.0, 9.9, 0.0]
    choice = choose(MOST, [values], (3, 3))
    assert (choice.best, choice.rising) == (4, ())
    assert span(choice, (3, 3), 0) == (1, 2)
    assert span(choice, (3, 3), 1) == (0, 2)


def test_a_study_chooses_for_every_aim() -> None:
    table = invented("jacket.pitch=10mm:50mm:9", number=lambda p, m: (p - 30.0) ** 2 + 10 * m)
    found = {c.aim.name: c for c in choose_all(table)}
    assert set(found) == {
        "coldest charge, first", "coldest charge, second", "coolest discharge",
        "most mass per hour", "least drive air per kg",
    }  # fmt: skip
    assert table.rows[found["coolest discharge"].best or 0].texts == ("30 mm",)
    assert found["most mass per hour"].verdict == "still rising"


@pytest.mark.parametrize(("low", "high", "step"), [(8, 48, 0.1), (2, 12, 0.02), (0, 1, 0.002)])
def test_values_are_told_apart_in_round_steps(low: float, high: float, step: float) -> None:
    assert SizeRange(low=low, high=high).step == pytest.approx(step)


def test_the_front_is_what_no_other_point_beats_in_both() -> None:
    rng = np.random.default_rng(7)
    more, less = rng.random(200).round(2), rng.random(200).round(2)
    front = set(non_dominated(list(more), list(less)))
    pairs = {(more[i], less[i]) for i in front}
    for i, j in itertools.product(range(200), range(200)):
        beaten = more[j] >= more[i] and less[j] <= less[i]
        if beaten and (more[j] > more[i] or less[j] < less[i]):
            assert i not in front
    undominated = [
        i for i in range(200)
        if not any(more[j] >= more[i] and less[j] <= less[i]
                   and (more[j], less[j]) != (more[i], less[i]) for j in range(200))
    ]  # fmt: skip
    assert pairs == {(more[i], less[i]) for i in undominated}


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_the_level_range_of_a_parabola(sign: float) -> None:
    x = np.linspace(8.0, 48.0, 401)
    y = sign * (100.0 - 0.05 * (x - 27.0) ** 2)
    low, high = level_range(list(x), list(y), 1.0, sign)
    assert (low, high) == pytest.approx((27.0 - math.sqrt(20.0), 27.0 + math.sqrt(20.0)), abs=1e-3)


def test_the_level_range_ends_with_the_points() -> None:
    assert level_range([1, 2, 3, 4], [None, 5.0, 5.1, 5.2], 1.0, 1.0) == (2, 4)
