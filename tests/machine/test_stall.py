"""What stops a piston: force balances worked out by hand, face by face, in newtons.

All machines here have a drive of 100 mm bore without rods, so 78.53982 cm2, at 7 bar above an
ambient pressure of 1 bar: 5497.787 N. Friction of 97.787 N leaves 5400 N. Seals and valves take
nothing.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from sample import FIRST, JACKET, MACHINE, SECOND, TUBE, run

from jacketcalc.assessment.stop_words import say_reach, say_stop
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.stall import force_margin, stall_pressure
from jacketcalc.inputs import Ambient, CheckValve, Exhaust, Machine, Stage

COARSE = 0.35
A40, A30 = 12.566371e-4, 7.0685835e-4
"""Faces of 40 and 30 mm [m2]."""


def valve(check: CheckValve) -> CheckValve:
    return replace(check, cracking_pressure=0.0)


def stage(name: str, bore: float, stroke: int, source: str = "supply") -> Stage:
    of = FIRST if source == "supply" else SECOND
    return replace(
        of, name=name, bore=bore, compresses_on=stroke, draws_from=source, seal_friction=0.0,
        inlet=valve(of.inlet), delivery=valve(of.delivery), jacket=None,
    )  # fmt: skip


def machine(*stages: Stage, receiver: float, friction: float = 97.787) -> Machine:
    drive = replace(MACHINE.drive, rod_1=0.0, rod_2=0.0, friction=friction, friction_share=0.0)
    open_air = Exhaust(to="atmosphere")
    return replace(
        MACHINE, drive=drive, stages=stages, receiver_pressure=receiver, exhaust_1=open_air,
        exhaust_2=open_air, ambient=Ambient(temperature=293.15, pressure=1e5),
    )  # fmt: skip


def beside(receiver: float, friction: float = 97.787) -> Machine:
    """Two stages that both push on stroke 1, both from the supply to the receiver."""
    return machine(
        stage("wide", 0.04, 1), stage("narrow", 0.03, 1), receiver=receiver, friction=friction
    )


@cache
def solved(m: Machine) -> Outcome:
    return run([m], COARSE).outcomes[0]


def test_two_stages_that_push_at_once_share_the_force() -> None:
    """5400 N over 12.566 and 7.069 cm2 together: 27.502 bar; over the last alone 76.4 bar."""
    assert stall_pressure(beside(20e5)) == pytest.approx(1e5 + 5400.0 / (A40 + A30), rel=1e-6)
    assert stall_pressure(beside(20e5)) == pytest.approx(28.502e5, rel=1e-4)
    needed = 19e5 * (A40 + A30)
    assert force_margin(beside(20e5)) == pytest.approx(5400.0 / needed - 1.0, rel=1e-5)


def test_a_stage_that_fills_a_line_on_the_same_stroke_takes_its_force() -> None:
    """Faces 2 to 1, so that the line stands at 16 bar: 1885 N go there, 3515 N are left."""
    m = machine(stage("first", 0.04, 1), stage("last", 0.04 / 2**0.5, 1, "first"), receiver=50e5)
    last = A40 / 2
    assert stall_pressure(m) == pytest.approx(1e5 + (5400.0 - 15e5 * A40) / last, rel=1e-6)
    assert stall_pressure(m) == pytest.approx(56.94e5, rel=1e-4)


def test_a_stage_that_draws_from_a_line_helps() -> None:
    """Faces 4 to 2 to 1, lines at 16 and 32 bar; the middle one is pushed by 15 bar: 942.5 N."""
    m = machine(
        stage("first", 0.04, 1), stage("middle", 0.04 / 2**0.5, 2, "first"),
        stage("last", 0.02, 1, "middle"), receiver=50e5,
    )  # fmt: skip
    force = 5400.0 - 15e5 * A40 + 15e5 * A40 / 2
    assert stall_pressure(m) == pytest.approx(1e5 + force / (A40 / 4), rel=1e-6)


def test_the_weaker_of_two_strokes_is_told() -> None:
    """A 40 mm stage on one stroke, 30 mm on the other, each helped by the other's suction."""
    m = machine(stage("wide", 0.04, 1), stage("narrow", 0.03, 2), receiver=20e5)
    assert stall_pressure(m) == pytest.approx(1e5 + (5400.0 + 7e5 * A30) / A40, rel=1e-6)


@pytest.mark.parametrize("m", [beside(40e5), machine(stage("only", 0.04, 2), receiver=60e5)])
def test_a_machine_that_stalls_names_what_is_not_overcome(m: Machine) -> None:
    """Asked for more than the balance by hand (28.5 bar; 44.0 bar for 40 mm alone)."""
    found = solved(m)
    assert (found.stalled, found.held_by) == (True, "stage")
    assert found.stalls_in == m.stages[0].name
    assert found.stall_reach < found.stall_asked == m.receiver_pressure
    assert say_stop(found) == f"stalls in stage {found.stalls_in}"


def test_the_first_of_two_stages_in_series_is_named_where_it_stops() -> None:
    """63 mm (31.17 cm2) into a line that 30 mm draws from: 5400 N and that suction balance 22.4 bar
    above ambient; equal masses ask for 34.3."""
    m = machine(stage("first", 0.063, 2), stage("last", 0.03, 1, "first"), receiver=60e5)
    found = solved(m)
    assert found.stalled and found.held_by == "stage" and found.stalls_in == "first"
    assert found.stall_reach < found.stall_asked < m.receiver_pressure
    words = say_reach(m, found, "SI")
    assert "that stage reaches" in words and "is behind its delivery valve" in words


def test_below_the_balance_by_hand_it_runs() -> None:
    assert not solved(beside(0.93 * 28.502e5)).stalled


def test_friction_that_takes_all_force_is_no_stage_s() -> None:
    """6000 N of friction hold a drive of 5498 N on either stroke, whatever the receiver's."""
    found = solved(beside(20e5, friction=6000.0))
    assert (found.stalled, found.held_by, found.stalls_in) == (True, "friction", "")
    assert "friction" in say_stop(found) and "stall" not in say_stop(found)


def shut_in(outlet_bore: float) -> Machine:
    """By hand the forces suffice: 40 mm against 20 bar, 2388 N of 5400 N."""
    own = replace(stage("only", 0.04, 2), jacket=replace(JACKET, outlet_bore=outlet_bore))
    exhaust = Exhaust(to="only", tube=TUBE)
    return replace(machine(own, receiver=20e5), exhaust_1=exhaust, exhaust_2=exhaust)


def test_a_narrow_outlet_only_slows() -> None:
    """0.05 mm lets 4 mg a second go, choked at 8 bar (0.0404 p A / sqrt T), of the 9 g that a
    chamber of 0.94 litres holds: the stroke takes three quarters of an hour or so."""
    found = solved(shut_in(5e-5))
    assert not found.stalled and found.held_by == ""
    assert 0.2 < 9e-3 / 3.7e-6 * 2 * found.cycle_rate < 5.0


def test_a_passage_all_but_shut_is_no_stall() -> None:
    """5 micrometres let a hundredth of that go: more than a day."""
    m = shut_in(5e-6)
    found = solved(m)
    assert (found.stalled, found.held_by, found.stalls_in) == (True, "outflow", "")
    assert "leaves too slowly" in say_stop(found) and "stall" not in say_stop(found)
    assert found.stall_pressure == pytest.approx(1e5 + 5400.0 / A40, rel=1e-6)
    assert found.stall_pressure > m.receiver_pressure
