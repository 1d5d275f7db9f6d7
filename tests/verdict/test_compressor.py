"""A compressor that cannot keep up is told, with the share of the time that the machine rests."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from command_line import laboratory

from jacketcalc.assessment.compressor import SupplyShare, describe_share, supply_share
from jacketcalc.casefile.overrides import set_value

LITRE = 1.185e-3 / 60
"""One litre a minute of the reference atmosphere of ISO 8778, 1.185 kg/m3 [kg/s]."""


def test_what_stands_in_the_sentence_is_worked_out_by_hand() -> None:
    """400 of 1990 is a fifth: the machine rests four fifths of the time."""
    share = SupplyShare(need=1990 * LITRE, capacity=400 * LITRE)
    assert share.running == pytest.approx(400 / 1990)
    assert describe_share(share) == (
        "This machine needs 1990 L/min (ANR); the compressor gives 400: it will rest 80 % of the "
        "time, or the supply pressure falls."
    )
    # 1 ft3 is 28.317 L (exact by definition of the foot).
    assert describe_share(share, "inch-pound").startswith("This machine needs 70.3 ft3/min (ANR);")


def test_a_compressor_that_keeps_up_is_said_to_suffice() -> None:
    share = SupplyShare(need=380 * LITRE, capacity=400 * LITRE)
    assert share.suffices and share.running == 1.0
    assert describe_share(share).endswith("the compressor gives 400, which suffices.")
    assert not SupplyShare(need=403 * LITRE, capacity=400 * LITRE).suffices
    resting = SupplyShare(need=0.0, capacity=400 * LITRE)
    assert resting.suffices and resting.running == 1.0


def test_the_need_is_all_air_that_leaves_the_supply() -> None:
    """In the steady state the supply gives what the drive exhausts and what is delivered."""
    found = laboratory()
    assert supply_share(found.case.machine, found.jacketed) is None
    case = set_value(found.case, "compressor.capacity", "100 L/min")
    share = supply_share(case.machine, found.jacketed)
    assert share is not None
    printed = found.jacketed.delivered_mass_flow * (1.0 + found.jacketed.specific_air_consumption)
    assert share.need == pytest.approx(printed, rel=1e-6)
    # Free air of 20 degC and 1.013 bar weighs 1.2039 kg/m3 (ideal gas, 287.05 J/(kg K)).
    assert share.capacity == pytest.approx(0.1 / 60 * 1.013e5 / 287.05 / 293.15)
    said = re.search(r"gives (\d+)", describe_share(share))
    assert said is not None and int(said[1]) == 102


def test_a_machine_that_stands_still_needs_nothing() -> None:
    found = laboratory()
    case = set_value(found.case, "compressor.capacity", "100 L/min")
    still = replace(found.jacketed, drive_air_mass_flow=0.0, delivered_mass_flow=0.0)
    share = supply_share(case.machine, still)
    assert share is not None and share.suffices
