"""Break-even: closed-form curves first, then the machine solved again where it is printed."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

import pytest
from study_sample import COARSE, main_case

from jacketcalc.assessment.assess import assess
from jacketcalc.assessment.break_even import CLOSE, MOST, BreakEven, ScaledPassage, find_break_even
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.show.page import Page
from jacketcalc.show.reasons import split_block

DRAWN = 4.0
"""Ratio of the drawn machine in the curves below [-]."""


def find(
    curve: Callable[[float], float], ratios: tuple[float, ...], wide: bool = True
) -> tuple[BreakEven, list[float]]:
    """Search on a curve of change over ratio; return what was asked for too."""
    asked: list[float] = []

    def solve(factor: float) -> ScaledPassage:
        asked.append(factor)
        return point(factor)

    def point(factor: float) -> ScaledPassage:
        return ScaledPassage(factor=factor, ratio=DRAWN * factor, change=curve(DRAWN * factor))

    known = [point(r / DRAWN) for r in (*ratios, DRAWN)]
    return find_break_even(known, solve, gains_wide_open=wide), asked


@pytest.mark.parametrize(
    ("curve", "root"),
    [
        (lambda r: 0.08 - 0.2 / r**2, math.sqrt(2.5)),
        (lambda r: 0.10 * math.log(r / 1.575), 1.575),
        (lambda r: 0.05 - 0.3 * math.exp(-r), math.log(6.0)),
        (lambda r: -1.0 if r < 0.9 else 0.08 - 0.2 / r**2, math.sqrt(2.5)),  # stalls below
        (lambda r: max(-1.0, 0.02 - 5.0 / r**6), 250.0 ** (1.0 / 6.0)),
    ],
)
def test_the_root_of_a_known_curve(curve: Callable[[float], float], root: float) -> None:
    """Roots by hand."""
    found, asked = find(curve, (0.8, 1.5, 3.0))
    assert found.point is not None and abs(curve(found.point.ratio)) <= CLOSE
    assert found.point.ratio == pytest.approx(root, rel=5e-3)
    assert found.solved == len(asked) <= MOST
    assert [p.factor for p in found.points] == sorted(p.factor for p in found.points)


def test_resistances_in_series_take_one_machine() -> None:
    found, asked = find(lambda r: 0.08 - 0.2 / r**2, (0.8, 1.5, 3.0))
    assert len(asked) == 1 == found.solved


def test_a_wider_passage_is_tried_where_cooling_alone_gains() -> None:
    found, _ = find(lambda r: 0.01 - 0.36 / r**2, (0.8, 1.5, 3.0))
    assert found.point is not None and found.point.ratio == pytest.approx(6.0, rel=0.02)
    none, asked = find(lambda r: 0.01 - 0.36 / r**2, (0.8, 1.5, 3.0), wide=False)
    assert none.point is None and not asked
    assert none.words == "the jackets lose up to a ratio of 4"


def test_no_break_even_where_every_passage_gains() -> None:
    none, asked = find(lambda r: 0.05, (0.8, 1.5, 3.0))
    assert none.point is None and not asked
    assert none.words == "the jackets gain down to a ratio of 0.8"


def test_a_machine_that_does_not_settle_ends_the_search_aloud() -> None:
    points = [ScaledPassage(factor=r, ratio=r, change=c) for r, c in ((1.0, -0.1), (3.0, 0.1))]
    found = find_break_even(points, lambda factor: None, gains_wide_open=True)
    assert found.point is None and "between 1 and 3 the search did not settle" in found.words


def test_the_machine_at_the_printed_ratio_breaks_even() -> None:
    """The case is solved anew with its passages narrowed to the ratio as printed."""
    case = main_case()
    found = assess(case, resolution=COARSE)
    words = " ".join(" ".join(split_block(found, Page())).split())
    said = re.search(r"at ([0-9.]+) times the jackets would break even", words)
    assert said is not None
    printed = float(said[1])
    valve = case.machine.valve.exhaust_path.sonic
    factor = printed / found.conductance.ratio
    bare = Design(machine=bare_machine(case.machine, case.judgement.no_jackets))
    for _ in range(2):  # the ratio of a solved machine hangs a little on how cold its exhaust is
        narrowed = Design(machine=case.machine, conductance_factor=factor)
        results = run([bare, narrowed], resolution=COARSE)
        jackets = [s.jacket for s in results[1].outcome.stages if s.jacket is not None]
        ratio = min(j.sonic_conductance for j in jackets) / valve
        factor *= printed / ratio
    assert ratio == pytest.approx(printed, rel=1e-4)
    flows = [r.outcome.delivered_mass_flow for r in results]
    assert abs(flows[1] / flows[0] - 1.0) < 1e-3
    assert f"found by solving {found.conductance.solved} more machine" in words
    assert 1 <= found.conductance.solved <= 4
