"""What pulses resolved in time say of quasi-steady ones: how far they differ, and where.

`tests/gas_dynamics` resolves an exhaust pulse in time; it needs minutes, so what it found is
kept in `tests/gas_dynamics/results.json` beside a hash of the case. Renew it by

    python -m tests.gas_dynamics.study
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from gas_dynamics import study
from gas_dynamics.euler import Gas
from gas_dynamics.pulse import Pulse, ideal_air, read_pulse
from gas_dynamics.quasi_steady import run_quasi_steady
from gas_dynamics.resolved import run_resolved

from jacketcalc.assessment.quasi_steady import (
    CHECKS,
    DOUBTFUL,
    expected_difference,
    quasi_steady_note,
)

KEPT: dict[str, Any] = json.loads(study.STORE.read_text())
PULSES = KEPT["pulses"]


@pytest.fixture(scope="module")
def pulse() -> Pulse:
    return read_pulse(0)


@pytest.fixture(scope="module")
def gas() -> Gas:
    return ideal_air()


def test_kept_results_belong_to_this_case() -> None:
    assert KEPT["inputs"] == study.fingerprint(), (
        "the case has changed: run `python -m tests.gas_dynamics.study`"
    )


def test_plain_node_finds_what_the_machine_found(pulse: Pulse, gas: Gas) -> None:
    """The quasi-steady side of the comparison is the package's own.

    Real air cools by 1 K where it is throttled and the ideal gas does not: 2 % of the heat,
    on both sides of the comparison.
    """
    found = run_quasi_steady(pulse, gas, 1.0).numbers
    for name in ("back-pressure mean", "back-pressure peak"):
        assert found[name] == pytest.approx(pulse.machine[name], rel=0.005)
    for name in ("heat", "rest heat", "transit share"):
        assert found[name] == pytest.approx(pulse.machine[name], rel=0.025)
    assert pulse.machine["heat"] == pytest.approx(KEPT["machine"]["heat"], rel=0.01)


def test_live_pulse_is_the_kept_one(pulse: Pulse, gas: Gas) -> None:
    """The coarse run of the grid study once more.

    Between renewals the machine's numbers may move by 0.3 %; heat follows a difference of
    40 K between wall and air, so that it may move by three times as much.
    """
    found = run_resolved(pulse, gas, study.STRETCHES["x1/3"], study.GRIDS[0]).numbers
    kept = KEPT["grids"][f"{study.GRIDS[0]:g}"]
    for name in ("heat", "back-pressure mean", "back-pressure peak", "mass"):
        assert found[name] == pytest.approx(kept[name], rel=0.01)


def test_grids_agree() -> None:
    """Halving the cells moves the differences found by far less than they are."""
    coarse, used, fine = (KEPT["grids"][f"{dx:g}"] for dx in study.GRIDS)
    for name in ("heat", "back-pressure mean", "back-pressure peak"):
        assert used[name] == pytest.approx(fine[name], rel=0.003)
        assert coarse[name] == pytest.approx(fine[name], rel=0.01)


def test_every_cycle_had_become_periodic() -> None:
    for found in (*PULSES.values(), KEPT["other port"]):
        assert abs(found["resolved"]["last change"]) < 2e-3


@pytest.mark.parametrize(("name", "check"), list(zip(PULSES, CHECKS, strict=True)))
def test_the_tools_record_is_what_was_found(name: str, check: Any) -> None:
    """Half a per cent of room for renewals: both sides of a difference move together."""
    found = PULSES[name]["difference"]
    assert check.transit_share == pytest.approx(PULSES[name]["transit share"], rel=0.01)
    assert check.heat == pytest.approx(found["heat"], abs=0.005)
    assert check.back_pressure_mean == pytest.approx(found["back-pressure mean"], abs=0.005)
    assert check.back_pressure_peak == pytest.approx(found["back-pressure peak"], abs=0.02)


def test_other_port_lies_where_the_record_is_read() -> None:
    """Another passage, another pulse: read from the record, then found by its own run."""
    port = KEPT["other port"]
    read, found = expected_difference(port["transit share"]), port["difference"]
    assert read.heat == pytest.approx(found["heat"], abs=0.01)
    assert read.back_pressure_mean == pytest.approx(found["back-pressure mean"], abs=0.01)
    assert read.back_pressure_peak == pytest.approx(found["back-pressure peak"], abs=0.1)


def test_long_pulses_are_quasi_steady_but_for_the_surge() -> None:
    for name in ("x3", "x1"):
        found = PULSES[name]["difference"]
        assert abs(found["heat"]) < 0.03
        assert abs(found["back-pressure mean"]) < 0.02
        assert abs(found["peak after surge"]) < 0.015
        assert found["back-pressure peak"] > 0.3


def test_surge_costs_the_piston_nothing() -> None:
    """The valve is choked while the surge lasts, so that the chamber does not feel it."""
    for found in PULSES.values():
        assert abs(found["difference"]["push-out work"]) < 1e-3


def test_surge_falls_with_a_slower_valve() -> None:
    peaks = [PULSES["x1/3"], *KEPT["openings"].values()]
    surge = [found["difference"]["back-pressure peak"] for found in peaks]
    assert surge == sorted(surge, reverse=True)
    assert surge[-1] < 0.25 * surge[0]


def test_heat_at_rest_is_what_differs_in_short_pulses() -> None:
    """Once the port shuts the air swings in the passage, and swinging air takes heat.

    With coefficients that follow the flow's mean instead, a good part of it is gone.
    """
    calm = KEPT["coefficients that do not follow the ringing"]
    for name in ("x1", "x1/3"):
        found = PULSES[name]["difference"]
        assert found["heat at rest"] > found["heat of the pulse"]
        assert calm[name]["heat at rest"] < 0.6 * found["heat at rest"]


def test_note_is_raised_where_the_record_ends() -> None:
    well, doubtful, beyond = (quasi_steady_note("second", share) for share in (0.02, 0.15, 0.5))
    assert well.level == "note"
    assert "2.0 % of a pulse" in well.text
    assert doubtful.level == beyond.level == "warning"
    assert "the shortest pulse checked" in beyond.text
    assert expected_difference(0.15).heat > DOUBTFUL > expected_difference(0.02).heat
