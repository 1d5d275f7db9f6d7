"""Published cases, one test a check; the cases and their tolerances are data of the package."""

from __future__ import annotations

import pytest

from jacketcalc.verification.quantities import QUANTITIES
from jacketcalc.verification.reading import published_checks
from jacketcalc.verification.record import Check
from jacketcalc.verification.run import find

CHECKS = published_checks()
SOUND = [check for check in CHECKS if not check.doubtful]
DOUBTFUL = [check for check in CHECKS if check.doubtful]


@pytest.mark.parametrize("check", SOUND, ids=lambda check: check.id)
def test_published_case(check: Check) -> None:
    finding = find(check)
    assert finding.agrees, (
        f"{check.what}: found {finding.found:g}, published {check.printed}; {check.source.citation}"
    )


@pytest.mark.parametrize("check", DOUBTFUL, ids=lambda check: check.id)
def test_doubtful_case_is_still_run_and_explained(check: Check) -> None:
    """Whether it agrees is open; that the program has an answer and a reason is not."""
    assert find(check).found > 0.0
    assert len(check.doubtful) > 40


def test_there_are_enough_sources_outside_the_project() -> None:
    outside = [check for check in CHECKS if check.obtained != "computed for this project"]
    sources = {check.source.key for check in outside}
    read = {check.source.key for check in outside if check.obtained == "read"}
    assert len(outside) >= 60
    assert len(sources) >= 20
    assert len(read) >= 10


def test_every_registered_quantity_is_asked_for() -> None:
    assert {check.quantity for check in CHECKS} == set(QUANTITIES)


def test_a_loose_tolerance_says_why() -> None:
    for check in CHECKS:
        assert check.because, check.id
