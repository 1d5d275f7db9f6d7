"""A whole fill: mass and energy close, steps do not matter, stall, short air, from below."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fill_sample import CASE, COARSE, RECEIVER, fill_case, march

from jacketcalc.assessment.variants import bare_machine
from jacketcalc.core.stall import stall_pressure
from jacketcalc.designs import without_jackets
from jacketcalc.fill.compare import compare_fills, helped_share
from jacketcalc.fill.repeat import repeat_fills
from jacketcalc.fill.result import Fill, read_fill
from jacketcalc.fill.words import answer, describe_currency
from jacketcalc.inputs import Machine

BARE = bare_machine(CASE.machine, "exhaust direct")


def filled(machine: Machine, target: float, **more: float) -> Fill:
    run, vessel, _ = march(machine, target, **more)  # type: ignore[arg-type]
    return read_fill(run, machine, vessel)


@pytest.mark.parametrize("machine", [CASE.machine, BARE], ids=["with jackets", "no jackets"])
def test_mass_and_energy_close_and_the_receiver_holds_what_came(machine: Machine) -> None:
    """Contents at the end: CoolProp's density."""
    found = filled(machine, 150e5)
    assert found.ended == "target" and found.pressure == pytest.approx(150e5, rel=2e-6)
    assert abs(found.mass_closure) < 1e-6 and abs(found.energy_closure) < 1e-6
    rho = PropsSI("D", "T", found.temperature, "P", found.pressure, "Air")
    assert found.mass == pytest.approx(RECEIVER.volume * rho, rel=5e-6)
    cold = PropsSI("P", "T", 293.15, "D", found.mass / RECEIVER.volume, "Air")
    assert found.rest_pressure == pytest.approx(cold, rel=5e-6)
    start = PropsSI("D", "T", 293.15, "P", RECEIVER.start_pressure, "Air") * RECEIVER.volume
    assert found.delivered == pytest.approx(found.mass - start, rel=1e-6)


def test_the_stated_error_is_the_one_that_is_made() -> None:
    """Steps let a hundredth of the error: times stay within 2e-4, temperatures within 0.1 K."""
    usual, fine = (filled(CASE.machine, 120e5, tolerance=t) for t in (3e-3, 3e-5))
    assert fine.steps > 2 * usual.steps
    assert usual.time == pytest.approx(fine.time, rel=2e-4)
    assert usual.drive_air == pytest.approx(fine.drive_air, rel=2e-4)
    assert usual.temperature == pytest.approx(fine.temperature, abs=0.1)
    hottest = fine.hottest_discharge.temperature
    assert usual.hottest_discharge.temperature == pytest.approx(hottest, abs=0.1)
    # What a fill costs, in solutions of the machine rather than in seconds.
    assert usual.solves < 200


def test_it_stalls_where_the_forces_end() -> None:
    """Static balance of forces, of this package; tests/machine/test_stall.py holds it by hand."""
    machine = replace(CASE.machine, supply=replace(CASE.machine.supply, pressure=5e5))
    reach = stall_pressure(machine)
    found = filled(machine, 1.5 * reach)
    assert found.ended == "stall"
    assert 0.97 * reach < found.pressure < reach
    assert abs(found.mass_closure) < 1e-6


def test_it_ends_where_clearance_takes_up_the_stroke() -> None:
    """What clearance c holds at the receiver's pressure fills the stroke on its way back to the
    supply's where p = p0 ((1 + c) / c)^n, n from 1, gas as warm as its walls, to 1.4."""
    first = CASE.machine.stages[0]
    single = replace(CASE.machine.stages[0], name="single", clearance=0.9)
    ends = (replace(CASE.machine.exhaust_1, to="atmosphere"),
            replace(CASE.machine.exhaust_2, to="single"))  # fmt: skip
    machine = replace(CASE.machine, stages=(single,), exhaust_1=ends[0], exhaust_2=ends[1])
    supply = CASE.machine.supply.pressure - first.inlet.cracking_pressure
    found = filled(machine, 60e5)
    assert found.ended == "dry"
    ratio = (found.pressure + first.delivery.cracking_pressure) / supply
    assert 1.9 / 0.9 * 0.97 < ratio < (1.9 / 0.9) ** 1.4 * 1.03


def test_below_the_supply_air_flows_straight_through_open_valves() -> None:
    """Two check valves in series by ISO 6358, the machine at rest, are the least that flows."""
    found = filled(BARE, 9e5)
    first, second = BARE.stages
    course = found.course
    low = course.pressure < 3e5
    # Critical flow of the narrowest valve on the way, C p rho0: nothing passes faster in the mean.
    narrowest = min(v.conductance.sonic for s in (first, second) for v in (s.inlet, s.delivery))
    choked = narrowest * BARE.supply.pressure * 1.185
    assert low.any()
    assert (course.delivery[low] < choked).all() and (course.delivery[low] > 0.7 * choked).all()
    strokes_alone = filled(BARE, 20e5).course
    after = strokes_alone.delivery[strokes_alone.pressure > 12e5]
    assert after.max() < 0.5 * course.delivery[low].min()


@pytest.mark.parametrize("rule", ["rests", "sags"])
def test_a_compressor_that_is_short_makes_air_the_currency(rule: str) -> None:
    """Once the receiver is above the supply all the compressor's air is taken, and no more."""
    capacity = 4e-3
    supply = replace(CASE.machine.supply, capacity=capacity, when_short=rule)
    found = compare_fills(fill_case(supply=supply), 40e5, resolution=COARSE)
    assert found.air_is_short and "Air, not strokes" in describe_currency(found)
    for fill in found.fills:
        assert fill.course.taken == pytest.approx(
            np.full(len(fill.course.taken), capacity), rel=1e-3
        )
        # All that was taken in is the compressor's air, for as long as it ran.
        assert fill.drive_air + fill.stage_air == pytest.approx(capacity * fill.time, rel=2e-3)
    jacketed = found.with_jackets
    assert jacketed is not None
    if rule == "sags":
        assert jacketed.lowest_supply < 0.8 * CASE.machine.supply.pressure
        assert jacketed.rest_share == 0.0
    else:
        assert jacketed.rest_share > 0.2
    free = compare_fills(fill_case(), 40e5, resolution=COARSE)
    assert not free.air_is_short and describe_currency(free) == ""
    assert free.no_jackets.time < found.no_jackets.time


def test_rests_of_an_imposed_cycle_rate_are_no_want_of_air() -> None:
    valve = replace(CASE.machine.valve, cycle_rate=0.3)
    for capacity in (None, 1.0):
        supply = replace(CASE.machine.supply, capacity=capacity)
        found = compare_fills(fill_case(valve=valve, supply=supply), 30e5, resolution=COARSE)
        assert not found.air_is_short and found.no_jackets.rest_share == 0.0
        assert found.no_jackets.course.cycle_rate[-1] == pytest.approx(0.3, rel=1e-6)


def test_a_machine_without_jackets_is_filled_as_it_is() -> None:
    plain = without_jackets(CASE.machine)
    case = replace(fill_case(), machine=replace(plain, receiver=RECEIVER))
    found = compare_fills(case, 30e5, resolution=COARSE)
    assert found.with_jackets is None and found.helped == 0.0
    assert answer(found).endswith(" s.")


def test_the_share_in_which_jackets_helped_is_that_of_the_time() -> None:
    """The same fill with its delivery raised by a tenth from one instant on, lowered before."""
    bare = filled(BARE, 60e5)
    c = bare.course
    k = len(c.time) - 3
    raised = np.where(np.arange(len(c.time)) > k, 1.1, 0.9) * c.delivery
    share = 1.0 - 0.5 * (c.time[k] + c.time[k + 1]) / c.time[-1]
    other = replace(bare, course=replace(c, delivery=raised))
    assert helped_share(bare, other) == pytest.approx(share, abs=0.02)
    assert helped_share(other, bare) == pytest.approx(1.0 - share, abs=0.02)


def test_fills_back_to_back_come_to_repeat() -> None:
    """Without pauses the second starts hotter; after a day's pause it only has a fuller line."""
    found = repeat_fills(fill_case(), 60e5, pause=0.0, count=6, resolution=COARSE)
    first, second = found.no_jackets.fills[:2]
    assert second.hottest_discharge.temperature > first.hottest_discharge.temperature + 0.5
    # 0.25 L of line, full from the fill before, go ahead into a receiver of 0.5 L.
    assert second.time < first.time
    rested = repeat_fills(fill_case(), 60e5, pause=86400.0, count=6, resolution=COARSE)
    assert rested.no_jackets.repeats and len(rested.no_jackets.fills) == 3
    again = rested.no_jackets.fills[1]
    assert again.hottest_discharge.temperature == pytest.approx(
        first.hottest_discharge.temperature, abs=0.2
    )
