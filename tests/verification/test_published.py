"""Published cases, one test a check; the cases and their tolerances are data of the package."""

from __future__ import annotations

import pytest

from jacketcalc.verification.published import PublishedCheck
from jacketcalc.verification.quantities import QUANTITIES
from jacketcalc.verification.read_sources import published_checks
from jacketcalc.verification.run_published import find

CHECKS = published_checks()
SOUND = [check for check in CHECKS if not check.doubtful and not check.disagrees]
KNOWN = [check for check in CHECKS if check.disagrees]
DOUBTFUL = [check for check in CHECKS if check.doubtful]


@pytest.mark.parametrize("check", SOUND, ids=lambda check: check.id)
def test_published_case(check: PublishedCheck) -> None:
    finding = find(check)
    assert finding.agrees, (
        f"{check.what}: found {finding.found:g}, published {check.printed}; {check.source.citation}"
    )


@pytest.mark.parametrize("check", KNOWN, ids=lambda check: check.id)
def test_known_disagreement_still_stands(check: PublishedCheck) -> None:
    """Measured accumulators (Rexer 2024) lie beyond the scatter stated for the gas spring."""
    finding = find(check)
    assert finding.state == "DISAGREES"
    assert finding.found < check.expected.value / 1.45


def test_natural_convection_does_not_mend_it() -> None:
    """1.6 to 1.9 times what gas spring and convection give together, at two stages' own states."""
    joined = [c for c in KNOWN if c.quantity == "gas spring with natural convection"]
    ratios = [c.expected.value / find(c).found for c in joined]
    assert len(ratios) == 3
    assert min(ratios) > 1.5 and max(ratios) < 2.0


def test_the_real_march_stands_against_exact_ducts() -> None:
    """Fanno, Rayleigh, isothermal and a wall of one temperature: none by a closed form alone."""
    marched = {c.quantity for c in CHECKS if c.quantity.startswith("marched")}
    for duct in ("adiabatic pipe", "heated duct", "isothermal pipe", "tube of one transfer unit"):
        assert any(duct in quantity for quantity in marched), duct
    assert not any(c.same_formula for c in CHECKS if c.quantity in marched)


def test_no_judgement_is_checked_by_its_own_limits() -> None:
    """A choice of this project agrees with the range it was chosen from, whatever it is."""
    assert not any("convex over straight" in c.quantity for c in CHECKS)


@pytest.mark.parametrize("check", DOUBTFUL, ids=lambda check: check.id)
def test_doubtful_case_is_still_run_and_explained(check: PublishedCheck) -> None:
    """Whether it agrees is open; that the program has an answer and a reason is not."""
    assert find(check).found > 0.0
    assert len(check.doubtful) > 40


def test_there_are_enough_sources_outside_the_project() -> None:
    own = "computed for this project"
    outside = [c for c in CHECKS if c.obtained != own and not c.same_formula]
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
