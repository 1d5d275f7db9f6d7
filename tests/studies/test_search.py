"""Searches on invented functions: sizes on steps that can be made, near the best that there is."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from study_sample import small_case

from jacketcalc.casefile.overrides import set_value
from jacketcalc.errors import CaseError
from jacketcalc.inputs import Case
from jacketcalc.studies.search import SizeRange, polish, rounding_loss, search
from jacketcalc.studies.variables import Variable, make_variable

CASE = small_case()


def variables(case: Case = CASE, **texts: str) -> list[Variable]:
    return [make_variable(case, f"jacket.{k}", text, f"--{k}") for k, text in texts.items()]


def test_sizes_stand_on_their_steps() -> None:
    own = SizeRange(low=7.3, high=48.2, made=0.5)
    assert [own.settle(v) for v in (0.0, 7.3, 20.2, 20.3, 48.2, 99.0)] == [
        7.5, 7.5, 20.0, 20.5, 48.0, 48.0,
    ]  # fmt: skip
    assert SizeRange(low=7.3, high=7.3, made=0.5).settle(9.0) == 7.3  # held as it was given
    assert SizeRange(low=8, high=48, made=2.0).spread(5) == [8.0, 18.0, 28.0, 38.0, 48.0]
    assert SizeRange(low=1, high=4, whole=True).spread(25) == [1.0, 2.0, 3.0, 4.0]


def test_steps_come_from_the_case_or_the_range_or_are_usual() -> None:
    assert variables(pitch="8mm:48mm")[0].range == SizeRange(low=8, high=48, made=0.5)
    coarse = set_value(CASE, "make.step", "0.1 in")
    assert variables(coarse, gap="2mm:12mm")[0].range.made == pytest.approx(2.54)
    assert variables(coarse, gap="2mm:12mm:1mm")[0].range.made == pytest.approx(1.0)
    inches = set_value(CASE, "document.units", "inch-pound")
    assert variables(inches, gap="0.1in:0.5in")[0].range.made == pytest.approx(1 / 64)
    with pytest.raises(CaseError, match="two ends, and a step"):
        variables(starts="1:4:2")


def test_the_best_that_can_be_made_is_within_a_hundredth_of_the_best() -> None:
    """A dome with a ridge across the axes whose top lies between the steps, by hand."""

    def height(x: float, y: float) -> float:
        u, v = x - 27.27, y - 5.13
        return 100.0 - 0.3 * u * u - 2.0 * v * v - 0.6 * u * v

    def dome(points: Sequence[tuple[float, ...]]) -> list[float]:
        return [-height(*point) for point in points]

    ranges = [SizeRange(low=8, high=48, made=0.5), SizeRange(low=2, high=12, made=0.5)]
    best = search(dome, ranges, population=20, generations=3)
    best = polish(dome, best, ranges)
    assert all((value / 0.5).is_integer() for value in best)
    assert height(*best) >= 99.0
    every = [(8 + i / 2, 2 + j / 2) for i in range(81) for j in range(21)]
    assert height(*best) == max(height(*point) for point in every)


def test_a_better_point_elsewhere_is_taken() -> None:
    def hills(points: Sequence[tuple[float, ...]]) -> list[float]:
        return [-max(5.0 - abs(x - 10.0), 9.0 - abs(x - 40.0)) for (x,) in points]

    own = SizeRange(low=8, high=48, made=0.5)
    assert polish(hills, (11.0,), [own]) == (10.0,)
    assert polish(hills, (11.0,), [own], [(v,) for v in own.spread(9)]) == (40.0,)


def test_what_finer_steps_could_gain() -> None:
    # 10 - (x - 0.2)² at -1, 0 and 1: its top is 0.04 above the middle.
    assert rounding_loss(10 - 1.44, 10 - 0.04, 10 - 0.64) == pytest.approx(0.04)
    assert rounding_loss(9.0, 10.0, 9.0) == 0.0
    # Beyond a limit half a step away the slope of 1.5 a step goes on at most.
    assert rounding_loss(8.5, 10.0, None) == 1.5
    assert rounding_loss(None, 10.0, None) == 0.0


def test_a_search_finds_a_known_optimum_and_asks_for_nothing_twice() -> None:
    asked: list[tuple[float, ...]] = []

    def bowl(points):  # type: ignore[no-untyped-def]
        asked.extend(points)
        return [(x - 27.3) ** 2 + 4 * (y - 5.1) ** 2 + 9 * (n - 3) ** 2 for x, y, n in points]

    ranges = [
        SizeRange(low=8, high=48),
        SizeRange(low=2, high=12),
        SizeRange(low=1, high=6, whole=True),
    ]
    best = search(bowl, ranges, population=40, generations=60)
    assert best == pytest.approx((27.3, 5.1, 3), abs=0.11)
    assert len(asked) == len(set(asked))
    assert all(8 <= x <= 48 and 2 <= y <= 12 and n == int(n) for x, y, n in asked)


def test_a_search_keeps_to_the_edge_of_what_is_allowed() -> None:
    def limited(points):  # type: ignore[no-untyped-def]
        return [-x if x <= 20.0 else 1e3 + x for (x,) in points]

    assert search(limited, [SizeRange(low=0, high=48)], population=20, generations=40) == (20.0,)
