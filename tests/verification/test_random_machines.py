"""Whole machines across the allowed ranges: each runs, stalls and says so, or is refused.

Hypothesis draws the machines, the case reader reads them, and those it accepts are solved side
by side. A failure prints the case, which `jacketcalc assess` takes as it stands. Two files, so
that two processes of the tests share the work.
"""

from __future__ import annotations

import pytest
from random_check import EACH, check_layout
from random_machines import LAYOUTS, Layout


def test_there_are_enough_machines() -> None:
    assert EACH * len(LAYOUTS) >= 500


@pytest.mark.parametrize("layout", LAYOUTS[::2], ids=lambda layout: layout.label)
def test_each_machine_runs_stalls_or_is_refused(layout: Layout) -> None:
    check_layout(LAYOUTS.index(layout))
