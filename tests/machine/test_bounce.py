"""Pistons that turn back, creep, stick or are thrown on their stop.

`tests/plain/plain_bounce.py` integrates such strokes in time with scipy's LSODA, with CoolProp's
air and laws of its own; what it found is kept beside a hash of its inputs. Closed forms follow
from the balance of energy alone.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from flown_stroke import Flown
from plain.plain_bounce import CASES, STORE, Start, starts
from random_check import read
from random_machines import LAYOUTS, draw_machines

from jacketcalc.assessment.assess import assess
from jacketcalc.casefile.reading import read_case
from jacketcalc.core.layout import constants
from jacketcalc.core.run import solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design
from jacketcalc.show.to_json import make_object

KEPT: dict[str, Any] = json.loads(STORE.read_text())
STARTS = starts()
ARRIVES = [name for name in STARTS if KEPT[name]["results"]["arrived"]]

SOLVED, STALLED = constants()["SOLVED"], constants()["STALLED"]
GAMMA = 1.4
"""Ratio of the specific heats of a diatomic ideal gas [-]."""


@pytest.fixture(scope="module")
def flown() -> dict[str, Flown]:
    """Run every stroke by the core."""
    return {name: Flown(start) for name, start in STARTS.items()}


def test_kept_results_are_of_these_strokes() -> None:
    assert {name: kept["inputs"] for name, kept in KEPT.items()} == {
        name: start.inputs() for name, start in STARTS.items()
    }


@pytest.mark.parametrize("name", ARRIVES)
def test_stroke_is_the_plain_one(flown: dict[str, Flown], name: str) -> None:
    """Turns, their places, time, and what is left in every volume after the rest.

    Time within 0.5 % where 2 % is what a designer needs; places within 0.3 % of the stroke.
    """
    kept, f = KEPT[name]["results"], flown[name]
    assert f.found["ended"] == SOLVED
    assert f.found["turns"] == kept["turns"]
    assert f.time == pytest.approx(kept["time"], rel=5e-3)
    stroke = STARTS[name].machine.drive.stroke
    assert f.turned[: len(kept["turned"])] == pytest.approx(kept["turned"], abs=3e-3 * stroke)
    assert f.at_end("mass") == pytest.approx(kept["mass"], rel=1e-2)
    assert f.at_end("temperature") == pytest.approx(kept["temperature"], abs=2.0)


def test_friction_holds_the_piston_where_it_stops(flown: dict[str, Flown]) -> None:
    """It turns twice, and then the gas never again outdoes friction: it does not creep on."""
    kept, f = KEPT["sticks"]["results"], flown["sticks"]
    stroke = STARTS["sticks"].machine.drive.stroke
    assert not kept["arrived"] and f.found["ended"] == STALLED
    assert f.found["turns"] == kept["turns"]
    place = f.found["place"][f.travel]
    assert place[-1] == pytest.approx(kept["place"], abs=3e-3 * stroke)
    held = f.found["rub"][f.travel] == 0.0
    assert np.ptp(place[held][-10:]) == 0.0


def test_piston_thrown_on_its_stop_loses_its_energy_there(flown: dict[str, Flown]) -> None:
    """The kinetic energy lost at both stops; a piston that only passed by would lose none."""
    kept = KEPT["thrown back"]["results"]
    assert kept["lost"] > 1.0
    assert flown["thrown back"].found["impact"] == pytest.approx(kept["lost"], rel=0.05)


@pytest.mark.parametrize("name", ARRIVES)
def test_energy_of_a_stroke_closes(flown: dict[str, Flown], name: str) -> None:
    """First law: what flows in, less work against friction and stops, and heat, stays [J]."""
    start, f = STARTS[name], flown[name]
    m, s = start.machine, f.found
    d, rows, count = m.drive, slice(0, int(s["instants"])), len(f.volumes)
    area = [np.pi / 4 * (d.bore**2 - rod**2) for rod in (d.rod_1, d.rod_2)]
    rate = np.zeros(count)
    rate[start.number - 1], rate[2 - start.number] = area[start.number - 1], -area[2 - start.number]
    for i, stage in enumerate(m.stages):
        sign = -1.0 if stage.compresses_on == start.number else 1.0
        rate[2 + i] = sign * np.pi / 4 * stage.bore**2
    gauge = s["p"][rows][:, f.volumes] - m.ambient.pressure
    work = float(np.sum(gauge @ rate * s["dx"][rows]))
    rub = np.full(int(s["instants"]), d.friction)
    rub += d.friction_share * gauge[:, start.number - 1] * area[start.number - 1]
    for i, stage in enumerate(m.stages):
        rub += stage.seal_friction * gauge[:, 2 + i] * np.pi / 4 * stage.bore**2
    rubbed = float(np.sum(rub * s["rub"][rows] * s["dx"][rows]))
    assert rubbed > 0.0
    assert work - rubbed == pytest.approx(float(s["impact"]), abs=1e-9 * abs(work) + 1e-9)
    assert float(s["dx"][rows].sum()) == pytest.approx(d.stroke, rel=1e-12)


def shut(pressure: list[float], *, friction: float = 0.0, mass: float = 30.0) -> Start:
    """Return a large single stage whose valves are shut: gas springs, hardly cooled in a stroke."""
    m = STARTS["bounces"].machine
    tiny = replace(m.valve.supply_path, sonic=1e-16)
    stage = m.stages[0]
    check = replace(stage.inlet, conductance=replace(stage.inlet.conductance, sonic=1e-16))
    stage = replace(stage, bore=0.5, clearance=0.5, inlet=check, delivery=check, seal_friction=0.0)
    drive = replace(
        m.drive, bore=0.7, rod_1=0.0, rod_2=0.0, stroke=0.5, moving_mass=mass, friction=friction,
        friction_share=0.0, dead_volume_1=0.1, dead_volume_2=0.1,
    )  # fmt: skip
    valve = replace(m.valve, supply_path=tiny, exhaust_path=tiny)
    machine = replace(m, valve=valve, drive=drive, stages=(stage,))
    return Start(machine=machine, number=1, pressure=pressure, temperature=300.0)


def spring_work(start: Start, x: float) -> float:
    """Work of three adiabatic gas springs and the surroundings over a travel, less friction [J]."""
    m, d, ambient = start.machine, start.machine.drive, start.machine.ambient.pressure
    drive, face = np.pi / 4 * d.bore**2, np.pi / 4 * m.stages[0].bore ** 2
    volumes = [
        (d.dead_volume_1, drive), (d.dead_volume_2 + drive * d.stroke, -drive),
        (face * d.stroke * (1 + m.stages[0].clearance), -face),
    ]  # fmt: skip
    work = -d.friction * x
    for p, (V, area) in zip(start.pressure, volumes, strict=True):
        ratio = V / (V + area * x)
        work += p * V / (GAMMA - 1.0) * (1.0 - ratio ** (GAMMA - 1.0)) - ambient * area * x
    return float(work)


def test_gas_springs_turn_the_piston_where_their_work_is_spent() -> None:
    """Mass between gas springs: it goes until the sum of p dV is none, whatever its mass.

    Ideal gas; heat in the 50 ms of the flight moves the place by a few tenths of a per cent.
    """
    start = shut([4e5, 1.5e5, 3e5])
    f = Flown(start)
    far = np.linspace(1e-3, 0.999 * start.machine.drive.stroke, 20001)
    work = np.array([spring_work(start, x) for x in far])
    want = far[np.argmax(work < 0.0)]
    assert 0.1 < want < 0.9 * start.machine.drive.stroke
    assert f.found["turns"] > 0
    assert f.turned[0] == pytest.approx(want, abs=5e-3 * start.machine.drive.stroke)


def test_friction_stops_a_piston_where_its_work_has_gone() -> None:
    """Friction takes force x travel, and then holds: there the piston stays, and stalls."""
    start = shut([4e5, 1.5e5, 3e5], friction=3e4)
    f = Flown(start)
    far = np.linspace(1e-3, 0.999 * start.machine.drive.stroke, 20001)
    want = far[np.argmax(np.array([spring_work(start, x) for x in far]) < 0.0)]
    assert f.found["ended"] == STALLED and f.found["turns"] == 0
    place = float(f.found["place"][f.travel][-1])
    assert place == pytest.approx(want, abs=5e-3 * start.machine.drive.stroke)


def test_a_piston_that_turns_back_is_told() -> None:
    """In the outcome, in a note of the assessment and in JSON; the shipped machine has none."""
    case = read_case(str(CASES / "single.toml"))
    stage = case.machine.stages[0]
    check = replace(stage.delivery, conductance=replace(stage.delivery.conductance, sonic=1e-9))
    wide = replace(case.machine.valve.supply_path, sonic=15e-8)
    valve = replace(case.machine.valve, supply_path=wide, exhaust_path=wide)
    drive = replace(case.machine.drive, moving_mass=30.0)
    stages = (replace(stage, delivery=check),)
    machine = replace(case.machine, valve=valve, drive=drive, stages=stages)
    found = assess(replace(case, machine=machine))
    told = [note.text for note in found.notes if note.name == "turns"]
    assert found.jacketed.turns >= 1 and not found.jacketed.stalled
    assert len(told) == 1 and "intermittent piston motion" in told[0]
    assert abs(found.jacketed.energy_closure) < 3e-7
    assert make_object(found)["with_jackets"]["turns"] == found.jacketed.turns
    assert not any(note.name == "turns" for note in assess(case).notes)


@pytest.mark.parametrize("place", [1, 3])
def test_every_stalled_machine_is_held(place: int) -> None:
    """Random machines: where one stalls, the gas does not outdo friction, nor leave its stop.

    Forces are summed here from the pressures of the last instant; friction is Coulomb's.
    """
    texts = draw_machines(LAYOUTS[place], 60, start=40 + place)
    machines = [machine for text in texts if (machine := read(text)) is not None]
    solved = [solve(Design(machine=machine)) for machine in machines]
    stalled = [s for s in solved if s.stalled]
    assert len(stalled) >= 5
    for s in stalled:
        gas, rub, at_stop = last_forces(s)
        assert (gas if at_stop else abs(gas)) <= 1.01 * abs(rub), s.machine


def last_forces(s: Solution) -> tuple[float, float, bool]:
    """Force of the gas along the stroke that stalled and friction at its last instant [N]."""
    m, number = s.machine, int(s.found["stalled_on"])
    part, d = s.parts[number - 1], m.drive
    gauge = part["p"][-1] - m.ambient.pressure
    area = [np.pi / 4 * (d.bore**2 - rod**2) for rod in (d.rod_1, d.rod_2)]
    fed, emptied = number - 1, 2 - number
    gas = gauge[fed] * area[fed] - gauge[emptied] * area[emptied]
    rub = d.friction + d.friction_share * gauge[fed] * area[fed]
    for stage, v in zip(m.stages, s.numbering.stages, strict=True):
        push = gauge[v] * np.pi / 4 * stage.bore**2
        gas += -push if stage.compresses_on == number else push
        rub += stage.seal_friction * push
    return float(gas), float(rub), float(part["place"][-1]) <= 0.0
