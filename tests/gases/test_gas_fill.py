"""A receiver filled with another gas holds it: mass and energy close, contents by CoolProp."""

from __future__ import annotations

from dataclasses import replace

import pytest
from CoolProp.CoolProp import PropsSI
from fill_sample import CASE, RECEIVER, march

from jacketcalc.fill.result import read_fill
from jacketcalc.gases import FLUIDS
from jacketcalc.inputs import Gas, GasName, Machine, Source

OWN = replace(RECEIVER, volume=0.1e-3)
TARGET = 120e5


def fed(gas: GasName, capacity: float | None = None) -> Machine:
    """The shipped machine, its first stage on a bottle of a gas."""
    m = CASE.machine
    return replace(
        m,
        stages=(replace(m.stages[0], draws_from="source"), *m.stages[1:]),
        gas=Gas(name=gas),
        source=Source(pressure=9e5, temperature=293.15),
        supply=replace(m.supply, capacity=capacity),
    )


@pytest.mark.parametrize("gas", ["helium", "methane"])
def test_a_fill_closes_and_ends_with_what_the_vessel_can_hold(gas: GasName) -> None:
    machine = fed(gas)
    run, vessel, _ = march(machine, TARGET, OWN)
    found = read_fill(run, machine, vessel)
    assert abs(found.mass_closure) < 1e-5 and abs(found.energy_closure) < 1e-4
    rho = PropsSI("D", "T", found.temperature, "P", found.pressure, FLUIDS[gas].coolprop)
    assert found.mass == pytest.approx(rho * OWN.volume, rel=1e-5)
    start = PropsSI("D", "T", vessel.around, "P", OWN.start_pressure, FLUIDS[gas].coolprop)
    assert found.delivered == pytest.approx((rho - start) * OWN.volume, rel=1e-4)


def test_what_a_source_gives_is_not_taken_of_the_compressor() -> None:
    """A compressor that gives the drive's air and no more: it rests for no gas of a bottle."""
    free, _, _ = march(fed("nitrogen"), 30e5, OWN)
    most = max(one.cycle.drive_air for one in free.instants)
    held, _, _ = march(fed("nitrogen", capacity=1.001 * most), 30e5, OWN)
    assert held.instants[-1].time == pytest.approx(free.instants[-1].time, rel=1e-3)
    assert all(one.cycle.taken == pytest.approx(one.cycle.drive_air) for one in held.instants)
