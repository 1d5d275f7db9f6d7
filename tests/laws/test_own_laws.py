"""Laws of a user's own: given in Python, used by the core, named in the result."""

from __future__ import annotations

import math

import pytest
from places import CASES

from jacketcalc import OwnLaws, assess, read_case
from jacketcalc.assessment.variants import list_variants, with_laws
from jacketcalc.casefile.overrides import set_value
from jacketcalc.core.run import run
from jacketcalc.designs import Design
from jacketcalc.errors import RangeError

CASE = read_case(str(CASES / "single.toml"))


def colburn(Re: float, Pr: float) -> float:
    """Colburn 1933, 0.023 Re^0.8 Pr^(1/3), as in Incropera eq. 8.59 (from memory)."""
    return 0.023 * Re**0.8 * Pr ** (1 / 3)


def blasius(Re: float) -> float:
    """Blasius 1913 in Darcy's form, 0.3164 Re^-0.25 (from memory)."""
    return 0.3164 / Re**0.25


def test_the_coefficient_is_what_the_law_says() -> None:
    design = Design(machine=CASE.machine, laws=OwnLaws(name="Colburn", nusselt=colburn))
    jacket = run([design])[0].outcome.stages[0].jacket
    assert jacket is not None
    # Doubled, the law doubles the coefficient but for the walls' small answer.
    double = OwnLaws(name="twice", nusselt=lambda Re, Pr: 2.0 * colburn(Re, Pr))
    other = run([Design(machine=CASE.machine, laws=double)])[0].outcome.stages[0].jacket
    assert other is not None
    assert other.coefficient / jacket.coefficient == pytest.approx(2.0, rel=0.02)
    assert other.heat > jacket.heat


def test_more_friction_means_less_conductance() -> None:
    C = []
    for factor in (1.0, 4.0):
        laws = OwnLaws(name="Blasius", friction=lambda Re, factor=factor: factor * blasius(Re))
        jacket = run([Design(machine=CASE.machine, laws=laws)])[0].outcome.stages[0].jacket
        assert jacket is not None
        C.append(jacket.sonic_conductance)
    assert C[1] < C[0]


def test_the_result_names_the_law() -> None:
    found = assess(CASE, laws=OwnLaws(name="our bench, 2026", nusselt=colburn))
    assert any("our bench, 2026" in note.text for note in found.notes)
    assert not any("our bench" in note.text for note in assess(CASE).notes)


@pytest.mark.parametrize("rate", ["", "1 1/s"])
def test_low_and_high_heat_transfer_stay_those_of_the_model_range(rate: str) -> None:
    """One at a time, all together, and once more where the imposed rate is taken away."""
    case = set_value(CASE, "valve.cycle_rate", rate) if rate else CASE
    variants = list_variants(case.machine, case.judgement.no_jackets)
    laws = OwnLaws(name="Colburn", nusselt=colburn)
    kept = {name for name, design in with_laws(variants, laws).items() if design.laws is None}
    ends = {f"jacketed, {label}" for label in (
        "jacket heat transfer low", "jacket heat transfer high", "all together, least",
        "all together, most")}  # fmt: skip
    assert kept == ends | ({f"free {name}" for name in ends} if rate else set())


@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_a_law_that_cannot_be_meant_is_refused(value: float) -> None:
    laws = OwnLaws(name="broken", nusselt=lambda Re, Pr: value)
    with pytest.raises(RangeError, match="broken"):
        run([Design(machine=CASE.machine, laws=laws)])
