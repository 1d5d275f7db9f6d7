"""Fitted intervals hold the truth as often as they say: counts of synthetic benches."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from bench_sample import shipped
from scipy.special import erf, erfinv
from scipy.stats import binom

from jacketcalc.uncertainty.reconcile import BENCHES, HELD_GAIN, HELD_UNKNOWNS, LEVEL
from jacketcalc.uncertainty.unknowns import list_unknowns

KEPT = json.loads(Path(__file__).with_name("coverage.json").read_text("utf-8"))
"""What `python -m tests.uncertainty.coverage` kept."""
DEPTHS = np.array(KEPT["depths"])
"""Level at which each interval first holds the truth, of shape (benches, quantities) [-]."""
LEVELS = (0.02, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95, 0.98)
ACCEPTED = 0.999
"""Probability that one count of right intervals is accepted; fixed before any was counted [-]."""


def accepted(level: float, benches: int = len(DEPTHS)) -> tuple[float, float]:
    """Return the fewest and the most benches of which an interval may hold the truth [-]."""
    tail = 0.5 * (1.0 - ACCEPTED)
    fewest, most = binom.ppf([tail, 1.0 - tail], benches, level)
    return float(fewest), float(most)


def test_the_benches_are_of_the_unknowns_of_today() -> None:
    names = [one.name for one in list_unknowns(shipped("impact_laboratory").machine)]
    assert KEPT["quantities"] == [*names, "judged change"]
    assert len(DEPTHS) >= 100 and DEPTHS.shape[1] == len(names) + 1
    assert KEPT["failed"] <= 0.02 * len(DEPTHS)
    assert np.all((DEPTHS >= 0.0) & (DEPTHS <= 1.0))


@pytest.mark.parametrize("level", LEVELS)
def test_each_interval_holds_the_truth_as_often_as_chance_allows(level: float) -> None:
    fewest, most = accepted(level)
    for name, depths in zip(KEPT["quantities"], DEPTHS.T, strict=True):
        assert fewest <= np.sum(depths <= level) <= most, name


def test_what_reconcile_says_of_its_intervals_is_what_was_counted() -> None:
    held = np.mean(DEPTHS <= LEVEL, axis=0)
    assert len(DEPTHS) == BENCHES
    assert held[-1] == pytest.approx(HELD_GAIN, abs=5e-4)
    assert (held[:-1].min(), held[:-1].max()) == pytest.approx(HELD_UNKNOWNS, abs=5e-4)


def test_limits_would_notice_intervals_of_two_thirds_of_their_width() -> None:
    """The test can fail: at two thirds of their width the intervals leave the limits."""
    narrow = erf(erfinv(np.minimum(DEPTHS, 1.0 - 1e-12)) * 1.5)
    for name, depths in zip(KEPT["quantities"], narrow.T, strict=True):
        assert any(np.sum(depths <= level) < accepted(level)[0] for level in LEVELS), name
