"""Readings of a bench whose machine is known: found again, doubted, or left open, and said so."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from bench_sample import gain_of, near_break_even, shipped, shown_by, table, with_tables
from command_line import run as command

from jacketcalc import read_case
from jacketcalc.casefile.reading_csv import with_readings
from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.inputs import Case
from jacketcalc.readings import Reading
from jacketcalc.show.bench_json import make_bench_json
from jacketcalc.show.bench_text import make_bench_text
from jacketcalc.uncertainty.predict import predict
from jacketcalc.uncertainty.reconcile import Reconciliation, reconcile
from jacketcalc.uncertainty.unknowns import list_unknowns, with_unknowns

ASKED = (
    Reading(kind="cycle time", value=0.0, standard_uncertainty=0.005),
    Reading(kind="cycle time", value=0.0, standard_uncertainty=0.005, jackets="bypassed"),
    Reading(kind="wall temperature", value=0.0, standard_uncertainty=1.0, stage="single",
            jackets="bypassed"),
    Reading(kind="exhaust temperature", value=0.0, standard_uncertainty=1.0, stage="single"),
    Reading(kind="valve pressure", value=0.0, standard_uncertainty=3e3),
    Reading(kind="delivered mass", value=0.0, standard_uncertainty=2e-3, duration=600.0),
)  # fmt: skip
TRUTH = np.array([-0.8, -0.5, 0.3, 0.9, 0.6, -0.7, 0.5, -0.4])
"""The known machine, in prior standard deviations of its unknowns [-]."""


def known_machine() -> tuple[Case, list[Reading], dict[str, float]]:
    """Return a case, what a known machine shows, and the values of its unknowns."""
    case = shipped()
    unknowns = list_unknowns(case.machine)
    machine = with_unknowns(case.machine, unknowns, TRUTH)
    values = {one.name: one.value(z) for one, z in zip(unknowns, TRUTH.tolist(), strict=True)}
    return case, shown_by(machine, ASKED, case.machine), values


@cache
def recovered() -> Reconciliation:
    case, readings, _ = known_machine()
    return reconcile(case, readings)


def test_a_known_machine_is_found_again() -> None:
    case, _, values = known_machine()
    joint = recovered().joint
    assert joint.explains and not recovered().unexplained
    for unknown, found in zip(joint.unknowns, joint.values, strict=True):
        assert found.low < values[unknown.name] < found.high, unknown.name
    machine = with_unknowns(case.machine, list_unknowns(case.machine), TRUTH)
    true_gain = gain_of(replace(case, machine=machine))
    assert joint.gain.low < true_gain < joint.gain.high
    sag = joint.values[[u.name for u in joint.unknowns].index("supply sag")]
    assert sag.high - sag.low < 0.02, "a gauge at the valve leaves little of it open"
    assert recovered().joint.gain.high - recovered().joint.gain.low < (
        recovered().nominal.high - recovered().nominal.low
    )
    for one in recovered().compared:
        own = one.reading.standard_uncertainty
        assert abs(one.reading.value - one.fitted) < 1.5 * own
        assert one.joint_uncertainty > own


def test_the_models_own_predictions_leave_nothing_to_explain() -> None:
    case = shipped()
    found = reconcile(case, shown_by(case.machine, ASKED, case.machine))
    assert found.chi_square == pytest.approx(0.0, abs=1e-9)
    assert all(one.residual == pytest.approx(0.0, abs=1e-6) for one in found.compared)
    assert found.nominal.value == pytest.approx(gain_of(case), rel=1e-6)
    by_name = {one.name: one for one in found.single}
    for name in ("valve C", "supply sag", "switching time", "friction"):
        # Priors whose middle is what the case states.
        assert by_name[name].chi_square == pytest.approx(0.0, abs=1e-6)
        assert by_name[name].values[0].value == pytest.approx(1.0, abs=1e-4)
        assert by_name[name].answer == "pays"
        assert by_name[name].gain.value == pytest.approx(found.nominal.value, abs=1e-5)
    assert (found.joint.answer, found.unexplained) == ("pays", False)
    assert "After the readings: PAYS" in make_bench_text(found)


def test_readings_that_no_parameters_explain_are_called_so() -> None:
    case = shipped()
    readings = shown_by(case.machine, ASKED[:2], case.machine)
    torn = [replace(readings[0], value=0.7 * readings[0].value), readings[1]]
    found = reconcile(case, torn)
    assert found.unexplained and found.joint.p_value < 0.05
    assert not any(one.explains for one in found.single)
    text = make_bench_text(found)
    assert "NO PARAMETERS EXPLAIN THE READINGS" in text and "After the readings" not in text
    assert json.loads(make_bench_json(found))["unexplained"] is True


@cache
def stop_watch() -> Reconciliation:
    """Take a stop-watch alone to a slow machine whose jackets neither pay nor cost."""
    case = with_tables(near_break_even(),
                       table(cycle_time="0.85 s u 0.01 s", jackets="bypassed"))  # fmt: skip
    return reconcile(case, case.readings)


def test_a_stop_watch_alone_does_not_settle_it() -> None:
    found = stop_watch()
    answers = {one.name: one.answer for one in found.single if one.explains}
    assert answers["valve C"] == "pays" and answers["supply sag"] == "does not pay"
    text = " ".join(make_bench_text(found).split())
    assert "THE READINGS DO NOT SETTLE IT" in text
    assert "DOES NOT PAY or PAYS" in text


def test_the_next_reading_is_one_that_parts_the_explanations() -> None:
    found = stop_watch()
    part = found.parting
    assert part is not None and part.apart > 3.0
    assert set(part.names) == {one.name for one in found.single if one.explains}
    machines = [
        with_unknowns(found.case.machine, one.unknowns, np.array([_z(one)]))
        for one in found.single if one.explains
    ]  # fmt: skip
    shown = predict(machines, [part.reading], found.case.machine)[:, 0]
    apart = (shown.max() - shown.min()) / part.reading.standard_uncertainty
    assert apart == pytest.approx(part.apart, rel=1e-3)
    assert part.reading.name in " ".join(make_bench_text(found).split())


def _z(one) -> float:  # type: ignore[no-untyped-def]
    """Return where an unknown lies in its prior, by bisection [-]."""
    low, high, wanted = -6.0, 6.0, one.values[0].value
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if one.unknowns[0].value(middle) < wanted else (low, middle)
    return middle


def test_json_and_text_tell_the_same() -> None:
    found = stop_watch()
    told, text = json.loads(make_bench_json(found)), make_bench_text(found)
    assert max(map(len, text.split("\n"))) <= 80
    assert told["joint"]["gain"]["value"] == found.joint.gain.value
    assert told["nominal_gain"]["value"] == found.nominal.value
    assert [one["name"] for one in told["single"]] == [one.name for one in found.single]
    lines = text.split("ONE EXPLANATION ALONE")[1].split("\n")
    for one in told["single"]:
        line = next(line for line in lines if line.startswith(f"  {one['name']} "))
        value = one["values"][0]
        assert f"{value['value']:.2f} ({value['low']:.2f} to {value['high']:.2f})" in line
        assert f"{one['chi_square']:.1f}" in line
    assert f"chi-square {told['joint']['chi_square']:.1f}" in text
    assert told["readings"][0]["value"] == 0.85
    assert "0.8500 s" in text or "0.85 s" in text
    assert told["parting"]["parts"] == list(found.parting.names if found.parting else ())


def test_no_reading_and_a_reading_that_the_machine_does_not_show_are_errors() -> None:
    case = shipped("tight_jacket")
    with pytest.raises(RangeError, match=r"\[\[reading\]\]"):
        reconcile(case, ())
    high = Reading(kind="cycle time", value=1.0, standard_uncertainty=0.1, receiver_pressure=400e5)
    with pytest.raises(ConvergenceError, match="cycle time"):
        reconcile(shipped(), [high])


def test_a_reading_in_another_state_is_predicted_in_that_state() -> None:
    case = shipped()
    cold = replace(case.machine, ambient=replace(case.machine.ambient, temperature=278.15))
    reading = replace(ASKED[2], ambient_temperature=278.15)
    assert predict([case.machine], [reading], case.machine)[0, 0] == pytest.approx(
        predict([cold], [ASKED[2]], cold)[0, 0], rel=1e-12
    )


def test_a_fill_time_is_the_mass_that_fits_over_the_delivery() -> None:
    """A narrow span of pressure: what V holds more, over the delivery there.

    Virial gas: rho = p / (R T) (1 - B' p), with B of air at 22 degC about -7 cm3/mol (handbook
    value, from memory), so that its slope at 28 bar lies 1.6 % above that of an ideal gas.
    """
    case = shipped()
    low, high = 27.5e5, 28.5e5
    reading = Reading(kind="fill time", value=0.0, standard_uncertainty=1.0, receiver_volume=0.05,
                      pressure_from=low, pressure_to=high)  # fmt: skip
    mass = Reading(kind="delivered mass", value=0.0, standard_uncertainty=1.0, duration=1.0,
                   receiver_pressure=28e5)  # fmt: skip
    time, flow = predict([case.machine], [reading, mass], case.machine)[0]
    ideal = 1e5 * 0.05 / (287.05 * case.machine.ambient.temperature)
    assert time * flow == pytest.approx(1.016 * ideal, rel=0.004)
    warm = predict([case.machine], [replace(reading, ambient_temperature=313.15)], case.machine)
    assert warm[0, 0] < time


SHEET = """cycle_time;wall_temperature;stage;jackets
0.85 s u 0.01 s;;;bypassed
;45 degC u 2 K;single;bypassed
"""


def test_a_fitted_case_is_written_reads_and_agrees_better(tmp_path: Path) -> None:
    source = tmp_path / "bench.toml"
    source.write_text(shipped().text, "utf-8")
    (tmp_path / "bench.csv").write_text(SHEET, "utf-8")
    first = command("reconcile", "bench.toml", "--readings", "bench.csv", "--json",
                    "--fitted", "fitted.toml", cwd=tmp_path)  # fmt: skip
    assert first.returncode == 0, first.stderr
    told = json.loads(first.stdout)
    fitted = read_case(str(tmp_path / "fitted.toml"))
    stated = with_readings(read_case(str(source)), SHEET.encode(), "bench.csv")
    assert [r.value for r in fitted.readings] == [0.85, 318.15]
    assert fitted.readings == stated.readings

    def misfit(case: Case) -> float:
        shown = predict([case.machine], case.readings, case.machine)[0]
        return sum(((r.value - v) / r.standard_uncertainty) ** 2
                   for r, v in zip(case.readings, shown.tolist(), strict=True))  # fmt: skip

    assert misfit(stated) == pytest.approx(told["chi_square"], rel=1e-3)
    assert misfit(fitted) < 0.1 * misfit(stated)
    for row, value in zip(
        told["readings"], predict([fitted.machine], fitted.readings, fitted.machine)[0], strict=True
    ):
        assert value == pytest.approx(row["fitted"], rel=1e-4)
    text = fitted.text
    assert text.startswith("# Fitted by jacketcalc reconcile") and "High-pressure air" in text
    # Only what was fitted has changed, and it says how well it is known.
    sources = {g.path: g.source for g in stated.given if not g.assumed}
    for given in fitted.given:
        if given.path in sources:
            assert given.source == sources[given.path]
    uncertain = {g.path for g in fitted.given if g.standard_uncertainty and "reading" not in g.path}
    assert {"valve.supply_path.C", "supply.pressure", "models.mixing"} <= uncertain
    kept = (tmp_path / "fitted.toml").read_bytes()
    again = command("reconcile", "bench.toml", "--fitted", "fitted.toml", cwd=tmp_path)
    assert again.returncode == 2 and b"--force" in again.stderr
    assert (tmp_path / "fitted.toml").read_bytes() == kept
    itself = command("reconcile", "bench.toml", "--fitted", "bench.toml", "--force", cwd=tmp_path)
    assert itself.returncode == 2 and b"the case itself" in itself.stderr
    one = command("reconcile", "bench.toml", "-o", "a", "--fitted", "a", cwd=tmp_path)
    assert one.returncode == 2 and not (tmp_path / "a").exists()
    assert b"Traceback" not in again.stderr + itself.stderr + one.stderr


def test_a_broken_csv_is_refused_on_the_command_line(tmp_path: Path) -> None:
    (tmp_path / "case.toml").write_text(shipped().text, "utf-8")
    (tmp_path / "bench.csv").write_text("cycle_time\n0.73 s\n", "utf-8")
    broken = command("reconcile", "case.toml", "--readings", "bench.csv", cwd=tmp_path)
    assert broken.returncode == 2 and b"bench.csv:2:1" in broken.stderr
    assert b"Traceback" not in broken.stderr and not broken.stdout
