"""Fitted intervals hold the truth as often as they say: counts of synthetic benches."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from bench_sample import shipped
from scipy.stats import binom

from jacketcalc.uncertainty.reconcile import HELD_FILM, HELD_GAIN, LEVEL
from jacketcalc.uncertainty.unknowns import list_unknowns

KEPT = json.loads(Path(__file__).with_name("coverage.json").read_text("utf-8"))
"""What `python -m tests.uncertainty.coverage` kept: 390 benches."""
DEPTHS = np.array(KEPT["depths"])
"""Level at which each interval first holds the truth, of shape (benches, quantities) [-]."""
LEVELS = (0.02, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95, 0.98)
BY_CHANCE = 0.01
"""Probability that right intervals fail any of these tests by chance [-]."""
TAIL = 0.015
"""How much less than they say the intervals may hold at 90 % and above, all quantities taken
together; intervals are straight, the model and its bounded priors are not [-]."""


def test_the_benches_are_of_the_unknowns_of_today() -> None:
    names = [one.name for one in list_unknowns(shipped("impact_laboratory").machine)]
    assert KEPT["quantities"] == [*names, "judged change"]
    assert len(DEPTHS) >= 100 and DEPTHS.shape[1] == len(names) + 1
    assert KEPT["failed"] <= 0.02 * len(DEPTHS)
    assert np.all((DEPTHS >= 0.0) & (DEPTHS <= 1.0))


@pytest.mark.parametrize("level", LEVELS)
def test_each_interval_holds_the_truth_as_often_as_chance_allows(level: float) -> None:
    """Binomial limits, shared by all counts (Bonferroni; from memory)."""
    tail = BY_CHANCE / (2.0 * len(LEVELS) * DEPTHS.shape[1])
    fewest, most = binom.ppf([tail, 1.0 - tail], len(DEPTHS), level)
    for name, depths in zip(KEPT["quantities"], DEPTHS.T, strict=True):
        assert fewest <= np.sum(depths <= level) <= most, name


@pytest.mark.parametrize("level", [0.90, 0.95, 0.98])
def test_far_ends_are_not_much_too_near(level: float) -> None:
    assert level - TAIL <= np.mean(level >= DEPTHS) <= level + TAIL


def test_what_reconcile_says_of_its_intervals_is_what_was_counted() -> None:
    held = np.mean(DEPTHS <= LEVEL, axis=0)
    names = KEPT["quantities"]
    assert held[names.index("judged change")] == pytest.approx(HELD_GAIN, abs=5e-4)
    assert held[names.index("film factor")] == pytest.approx(HELD_FILM, abs=5e-4)
    assert held.min() == pytest.approx(HELD_FILM, abs=5e-4)


def test_limits_would_notice_intervals_that_are_a_fifth_too_narrow() -> None:
    """The test can fail: u that is 0.8 of what it ought to be leaves the limits somewhere."""
    from scipy.special import erf, erfinv

    narrow = erf(erfinv(np.minimum(DEPTHS, 1.0 - 1e-12)) / 0.8)
    tail = BY_CHANCE / (2.0 * len(LEVELS) * DEPTHS.shape[1])
    outside = [
        not binom.ppf(tail, len(DEPTHS), level) <= np.sum(column <= level)
        for level in LEVELS for column in narrow.T
    ]  # fmt: skip
    assert sum(outside) >= 5
