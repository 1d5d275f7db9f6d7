"""The package against a plain computation of the whole machine that shares no code with it.

`tests/plain` integrates the same model in time with scipy's LSODA, marches the passages with
solve_ivp and takes properties straight from CoolProp; it needs minutes, so what it found is
kept in `tests/plain/results.json` beside a hash of its inputs. Renew it by

    python -m tests.plain.plain_machine

The package is given the plain script's law of turbulent flow in an annulus, so that nothing else
differs by choice; the package's own is `ht`'s.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
from plain import plain_laws, plain_machine

from jacketcalc.core.outcome import JacketOutcome, Outcome, StageOutcome
from jacketcalc.core.run import run
from jacketcalc.designs import Design, OwnLaws

AGREEMENT = 0.005
"""Share within which every headline number agrees; temperatures in kelvin [-]."""
KEPT: dict[str, Any] = json.loads(plain_machine.STORE.read_text())
MACHINE, PROBED = plain_machine.read_whole(), plain_machine.read_machine()


def stage_numbers(stage: StageOutcome) -> dict[str, float]:
    """Headline numbers of a stage under the plain computation's names."""
    wall = stage.wall_temperature
    return {
        "temperature at start of compression": stage.compression_start_temperature,
        "discharge temperature": stage.discharge_temperature,
        "peak temperature": stage.peak_temperature,
        "mass per stroke": stage.mass_per_stroke,
        "volumetric efficiency": stage.volumetric_efficiency,
        "indicated work": stage.indicated_work,
        "wall min": wall.min,
        "wall mean": wall.mean,
        "wall max": wall.max,
    }


def jacket_numbers(jacket: JacketOutcome) -> dict[str, float]:
    """Headline numbers of a jacket."""
    return {
        "heat": jacket.heat,
        "inlet": jacket.inlet_temperature,
        "outlet": jacket.outlet_temperature,
        "C": jacket.sonic_conductance,
    }


def headline(outcome: Outcome) -> dict[str, float]:
    """Headline numbers of a machine under the plain computation's names."""
    out = {
        "cycle rate": outcome.cycle_rate,
        "delivered mass flow": outcome.delivered_mass_flow,
        "specific air consumption": outcome.specific_air_consumption,
        "drive wall temperature": outcome.drive_wall_temperature,
    }
    for stage in outcome.stages:
        numbers = stage_numbers(stage)
        if stage.jacket is not None:
            numbers |= jacket_numbers(stage.jacket)
        out |= {f"{stage.name}: {key}": value for key, value in numbers.items()}
    for i, temperature in enumerate(outcome.port_temperature):
        out[f"port {i + 1}: temperature"] = temperature
        if any(stage.jacket is not None for stage in outcome.stages):
            out[f"port {i + 1}: back mean"] = outcome.back_pressure_mean[i]
            out[f"port {i + 1}: back peak"] = outcome.back_pressure_peak[i]
    return out


@pytest.fixture(scope="module")
def outcomes() -> dict[str, Outcome]:
    """Solve the three designs with the package."""
    machines = [plain_machine.design(MACHINE, name) for name in plain_machine.DESIGNS]
    same = OwnLaws(name="the plain script's annulus", turbulent=plain_laws.annulus_nusselt)
    results = run([Design(machine=machine, laws=same) for machine in machines])
    assert [result.failure for result in results] == [""] * len(results)
    return {n: r.outcome for n, r in zip(plain_machine.DESIGNS, results, strict=True)}


@pytest.mark.parametrize("name", plain_machine.DESIGNS)
def test_kept_results_belong_to_these_inputs(name: str) -> None:
    machine = plain_machine.design(MACHINE, name)
    assert KEPT[name]["inputs"] == plain_machine.fingerprint(machine), (
        "the case has changed: run `python -m tests.plain.plain_machine`"
    )


@pytest.mark.parametrize("name", plain_machine.DESIGNS)
def test_every_headline_number_agrees(name: str, outcomes: dict[str, Outcome]) -> None:
    kept, found = KEPT[name]["results"], headline(outcomes[name])
    assert set(found) <= set(kept)
    apart = {key: value / kept[key] - 1.0 for key, value in found.items()}
    wrong = {key: f"{share:+.3%}" for key, share in apart.items() if abs(share) > AGREEMENT}
    assert not wrong


def test_kept_march_is_what_the_plain_code_gives() -> None:
    found = plain_machine.probe_march(PROBED)
    assert found == pytest.approx(KEPT["probe"]["march"], rel=1e-4)


def test_kept_strokes_are_what_the_plain_code_gives() -> None:
    found = plain_machine.probe_strokes(PROBED)
    assert found == pytest.approx(KEPT["probe"]["strokes"], rel=1e-3)
