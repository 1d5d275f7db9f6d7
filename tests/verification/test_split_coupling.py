"""Is it fair to split the strokes from the passage by a flow curve and ten phases?

`tests/plain/instant_split` couples them instant by instant: whenever the plain strokes ask
what leaves an exhaust node, the passage is marched at that pressure and temperature; heat is
added up over every instant. It needs long, so what it found is kept in
`tests/plain/instant.json` beside a hash of its inputs. Renew it by

    python -m tests.plain.instant_split

Cheap checks of the two halves of the split run live: the curve against direct marches, and
phases against instants, along the package's own pulses.
"""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest
from plain import instant_split, plain_machine
from plain.instant_cycle import HeldMachine
from plain.split_side import NOTHING, SplitSide

from jacketcalc.core.outcome import Outcome
from jacketcalc.core.read_outcome import read_outcome

KEPT: dict[str, Any] = json.loads(instant_split.STORE.read_text())
CURVE, INSTANTS, WALLS = KEPT["curve"], KEPT["instants"]["results"], KEPT["walls"]["results"]
MACHINE = plain_machine.read_machine()

COST = {
    "cycle rate": 2e-4,
    "delivered mass flow": 2e-4,
    "specific air consumption": 2e-4,
    "back mean": 1e-3,
    "back peak": 1.5e-3,
    "heat": 2e-3,
}
"""Most that the split may cost, same integrator and same walls, relative. The curve is off by
up to 2 % at the cold end of a pulse, where little flows, and by 0.14 % between levels, which the
peak, one instant, may meet; ten phases cost 0.15 % of heat [-]."""
AGREEMENT = {
    "cycle rate": 1e-3,
    "delivered mass flow": 1e-3,
    "specific air consumption": 1e-3,
    "back mean": 2e-3,
    "back peak": 3.5e-3,
    "heat": 5e-3,
    "outlet": 1e-3,
}
"""The package's own outcome against the instants: the split, and beside it the steps of the
strokes (twice as many move headline numbers by 0.1 %) and, where walls follow, another solver of
the wall (0.4 % of heat) [-]."""
PLACES = 50
"""Instants of a pulse at which the curve is held against direct marches."""


@pytest.fixture(scope="module")
def side() -> SplitSide:
    """Solve the case with the package."""
    return SplitSide(MACHINE)


@pytest.fixture(scope="module")
def package(side: SplitSide) -> dict[str, float]:
    """Its numbers under the names kept."""
    return numbers(read_outcome(side.solution))


def numbers(outcome: Outcome) -> dict[str, float]:
    """Numbers compared, under the plain script's names."""
    found = {
        "cycle rate": outcome.cycle_rate,
        "delivered mass flow": outcome.delivered_mass_flow,
        "specific air consumption": outcome.specific_air_consumption,
    }
    for i in (0, 1):
        found[f"port {i + 1}: back mean"] = outcome.back_pressure_mean[i]
        found[f"port {i + 1}: back peak"] = outcome.back_pressure_peak[i]
    for stage in outcome.stages:
        assert stage.jacket is not None
        found[f"{stage.name}: heat"] = stage.jacket.heat
        found[f"{stage.name}: outlet"] = stage.jacket.outlet_temperature
    return found


def too_far(found: dict[str, float], right: dict[str, float], bounds: dict[str, float]) -> Any:
    """Differences that exceed their bounds, as text."""
    return {
        key: f"{value / right[key] - 1.0:+.3%}"
        for key, value in found.items()
        if abs(value / right[key] - 1.0) > bounds[key.split(": ")[-1]]
    }


def test_kept_results_belong_to_these_inputs() -> None:
    assert KEPT["inputs"] == plain_machine.fingerprint(MACHINE), (
        "the case has changed: run `python -m tests.plain.instant_split`"
    )


def test_kept_marches_are_what_the_direct_march_gives() -> None:
    assert instant_split.probe(MACHINE) == pytest.approx(KEPT["probe"], rel=1e-6)


@pytest.mark.parametrize("name", ["instants", "walls"])
def test_direct_cycle_repeats_the_one_before(name: str) -> None:
    # The one before ran by a curve put right at 60 places: 1e-4 in the peak, 3e-5 elsewhere.
    assert KEPT[name]["last change"] < 2e-4


def test_what_the_split_costs() -> None:
    split = {
        key: CURVE[key] for key in INSTANTS if key.split(": ")[-1] in COST and "heat" not in key
    }
    for stage in ("first", "second"):
        split[f"{stage}: heat"] = CURVE[f"{stage}: package heat, phases"]
    right = INSTANTS | {
        f"{stage}: heat": INSTANTS[f"{stage}: package heat, instants"]
        for stage in ("first", "second")
    }
    assert len(split) == 9
    assert not too_far(split, right, COST)


def test_package_agrees_with_instants_between_its_walls(package: dict[str, float]) -> None:
    assert not too_far(package, INSTANTS, AGREEMENT)


def test_package_agrees_with_instants_whose_walls_follow(package: dict[str, float]) -> None:
    assert not too_far(package, WALLS, AGREEMENT)


def instants_of_pulses(side: SplitSide, count: int) -> tuple[np.ndarray, ...]:
    """Flow, pressure, temperature, time weight at even places of both pulses."""
    exhaust = side.exhaust()
    rows = []
    for column in exhaust[0].T:
        flows = np.flatnonzero(column > 0.01 * column.max())
        rows.append(flows[np.linspace(0, len(flows) - 1, count).astype(int)])
    at = np.stack(rows, axis=1)
    return tuple(np.take_along_axis(a, at, axis=0) for a in exhaust)


def test_curve_against_direct_marches_along_a_pulse(side: SplitSide) -> None:
    split, p, T, dt = instants_of_pulses(side, PLACES)
    apart = split / side.flow_at(p, T, split) - 1.0
    weight = split * dt / (split * dt).sum(axis=0)
    # One power of port temperature serves all levels: too high for a pulse's slow, cold end.
    assert np.abs(apart).max() < 0.02
    assert np.sqrt((apart**2).mean(axis=0)).max() < 0.01
    assert np.abs((weight * apart).sum(axis=0)).max() < 0.0025


def test_both_marches_let_the_same_flow_out_along_a_pulse(side: SplitSide) -> None:
    # 26 cells and a property table against Runge-Kutta steps and CoolProp, between equal walls.
    flow, p, T, _ = instants_of_pulses(side, 8)
    own = side.flow_at(p, T, flow)
    run = HeldMachine(MACHINE, side)
    for i, ask in enumerate(run.asks):
        other = [ask.flow(*at) for at in zip(p[:, i], T[:, i], strict=True)]
        assert own[:, i] == pytest.approx(other, rel=5e-4)


def test_phases_against_instants_along_a_pulse(side: SplitSide, package: dict[str, float]) -> None:
    flow, _, T, dt = side.exhaust()
    phases = side.heat_in_phases(flow, T, dt)
    each = side.heat_at_instants(flow, T, dt, dt * (flow > NOTHING * flow.max(axis=0)))
    own = [package["second: heat"], package["first: heat"]]
    assert phases == pytest.approx(own, rel=1e-5)
    assert phases == pytest.approx(each, rel=0.002)
