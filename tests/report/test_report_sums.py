"""Printed sums of the report close, and its checks by hand agree."""

from __future__ import annotations

import pytest
from report_reader import main_report
from report_sample import found

from jacketcalc.assessment.hand_check import hand_checks
from jacketcalc.assessment.range_use import range_uses


def test_energy_balance_adds_up_as_printed() -> None:
    energy_balance = next(t for t in main_report().tables() if t.name == "energy_balance")
    for column in (1, 2):
        numbers = [row.cells[column].number or 0.0 for row in energy_balance.rows if not row.total]
        assert abs(sum(numbers)) < 1e-9


def test_split_adds_up_as_printed() -> None:
    split = next(t for t in main_report().tables() if t.name == "split")
    for column in (1, 2, 3):
        *parts, whole = [row.cells[column].number for row in split.rows]
        assert all(p is not None for p in parts)
        assert sum(p or 0.0 for p in parts) == pytest.approx(whole, abs=1e-9)


def test_hand_checks_agree() -> None:
    """First law on printed temperatures, air from the table: within 1 %."""
    checks = hand_checks(found("hot"))
    assert len(checks) == 3
    assert all(abs(check.difference) < 0.01 for check in checks)


def test_ranges_cover_the_case() -> None:
    uses = range_uses(found("hot"))
    curved = [u for u in uses if u.record == "coil, turbulent friction"]
    assert curved and all(u.found[0] > 0.0 for u in curved)
    assert all(u.found[0] <= u.found[1] for u in uses)
