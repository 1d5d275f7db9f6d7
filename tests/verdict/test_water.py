"""Frost and dew in a machine, place by place and instant by instant, against plain loops.

The loops share nothing with the package but the arrays of the solved machine; dew and frost points
are those of CoolProp's humid air (ASHRAE RP-1485).
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from humid_air import VAPOUR, humidity, library_point
from places import CASES
from plain.plain_ports import without_ports
from sample import Solved, run

from jacketcalc.assessment.notes import collect_notes
from jacketcalc.casefile.reading import read_case
from jacketcalc.findings.passage_water import PassagePart, PortTrack, exhaust_water, wall_water
from jacketcalc.findings.stage_water import StageTrack, stage_water
from jacketcalc.findings.water import Water
from jacketcalc.studies.columns import measure
from jacketcalc.studies.limits import Limits, list_bounds


def made_stage(cold_far: float) -> StageTrack:
    """A stroke from 100 mm to 6 mm and back, 8 to about 80 bar; rings cold far from the head."""
    there = np.linspace(0.1, 6e-3, 90)
    bared = np.concatenate([there, there[::-1]])
    pressure = np.concatenate([8e5 * (0.106 / (there + 6e-3)) ** 1.05, np.full(90, 8e5)])
    z = (np.arange(20) + 0.5) * 6e-3
    return StageTrack(
        name="made", bared=bared, pressure=pressure, ring_position=z,
        ring_temperature=335.0 - cold_far * z / 0.1, head=345.0, crown=340.0,
    )  # fmt: skip


def by_rings(track: StageTrack) -> float:
    """Least margin by a loop over instants and a fine scale of places [K]."""
    water, least = humidity(), np.inf
    for bared, p in zip(track.bared, track.pressure, strict=True):
        point = library_point(p, water)
        places = np.linspace(track.ring_position[0], bared, 60)
        surfaces = [track.head, track.crown]
        surfaces += [float(np.interp(z, track.ring_position, track.ring_temperature))
                     for z in places if z <= bared]  # fmt: skip
        least = min(least, min(surfaces) - point)
    return float(least)


@pytest.mark.parametrize("cold_far", [10.0, 45.0, 60.0])
def test_each_place_of_a_stage_meets_the_pressures_it_is_bared_at(cold_far: float) -> None:
    """A loop with CoolProp's dew points; what was printed before cries wolf by 20 K or more."""
    track = made_stage(cold_far)
    found = stage_water(track, VAPOUR)
    assert found.margin == pytest.approx(by_rings(track), abs=0.4)
    cries = track.ring_temperature.min() - library_point(track.pressure.max(), humidity())
    if cold_far > 40.0:
        assert cries < found.margin - 15.0
    assert found.part == "barrel of stage made" and found.distance is not None
    assert found.temperature - found.point == pytest.approx(found.margin)


def test_head_and_crown_meet_the_peak() -> None:
    """The cylinder's own peak, at the instant of it."""
    track = made_stage(10.0)
    cold = StageTrack(**{**vars(track), "crown": 300.0})
    found = stage_water(cold, VAPOUR)
    assert found.part == "crown of stage made" and found.pressure == track.pressure.max()
    peak = library_point(float(track.pressure.max()), humidity())
    assert found.margin == pytest.approx(300.0 - peak, abs=0.4)


def test_a_wall_meets_the_pressure_of_its_own_cell_and_phase() -> None:
    """Worked out one by one: the coldest wall is not the one nearest to frost."""
    pressure = np.array([[7e5, 2e5], [6e5, 1.9e5], [5e5, 1.8e5], [1.1e5, 1.05e5]])
    walls = np.array([271.0, 269.9, 268.0])
    part = PassagePart(
        place="tube of port 1", distance=np.array([0.0, 0.1, 0.2, 0.3]), origin="its port",
        pressure=pressure, air=np.full((4, 2), 280.0), walls={"wall": walls},
    )  # fmt: skip
    found = wall_water([part], VAPOUR)
    assert found is not None
    every = {}
    for cell, wall in enumerate(walls):
        for phase in range(2):
            middle = (pressure[cell, phase] + pressure[cell + 1, phase]) / 2
            every[cell, phase] = wall - library_point(middle, humidity())
    worst = min(every, key=lambda place: every[place])
    assert worst == (0, 0) and walls[0] == walls.max()
    assert found.margin == pytest.approx(every[worst], abs=0.05)
    assert found.distance == pytest.approx(0.05 + 0.1 * worst[0])
    assert found.moment == "in phase 1 of 2 of its pulses"
    assert wall_water([], VAPOUR) is None


def test_exhaust_counts_only_while_it_flows() -> None:
    track = PortTrack(
        place="port 1", pressure=np.array([5e5, 2e5, 1.013e5]),
        temperature=np.array([285.0, 250.0, 200.0]), flow=np.array([1.0, 0.5, 0.001]),
    )  # fmt: skip
    found = exhaust_water([], [track], VAPOUR)
    assert found.margin == pytest.approx(250.0 - library_point(2e5, humidity()), abs=0.05)


@cache
def tight() -> Solved:
    """The machine of which 16 K were printed: its heads had no ports, its line no wall."""
    return run([without_ports(read_case(str(CASES / "tight.toml")).machine)])


def water_of(solved: Solved) -> Water:
    found = solved.outcomes[0].water
    assert found is not None
    return found


def test_tight_jackets_freeze_where_16_kelvin_were_printed() -> None:
    """Every tube cell and phase of the solved machine, by a loop with CoolProp's frost points.

    At the mean pressure of its pulses, 5.2 bar, the coldest wall is 2.9 K below; while they are
    strongest, 6.7 K. At ambient pressure it would be 15 K above.
    """
    solution = tight().solutions[0]
    found, water, n = solution.found, humidity(), solution.tube
    phases = int(found["pulses"][0]["phases"])
    every = {}
    for port in (0, 1):
        for cell in range(n):
            for phase in range(phases):
                p = found["march"][port, phase]["p"][cell : cell + 2].mean()
                wall = found["around"][port]["outer"][cell]
                every[port + 1, cell, phase + 1] = wall - library_point(float(p), water)
    worst = min(every, key=lambda place: every[place])
    told = water_of(tight()).passage_wall
    assert told is not None and told.part == f"wall of the tube of port {worst[0]}"
    assert told.moment == f"in phase {worst[2]} of 10 of its pulses"
    assert told.margin == pytest.approx(every[worst], abs=0.05)
    assert told.margin == pytest.approx(-6.7, abs=0.2)
    mass = found["pulses"][1]["mass"][:phases]
    mean = float(found["march"][1, :phases]["p"][:, 0] @ mass / mass.sum())
    coldest = float(found["around"][1]["outer"][:n].min())
    assert mean == pytest.approx(5.2e5, rel=0.01)
    assert coldest - library_point(mean, water) == pytest.approx(-2.9, abs=0.15)
    assert coldest - library_point(1.013e5, water) == pytest.approx(15.0, abs=0.5)


def test_a_solved_stage_by_a_loop_over_its_rings() -> None:
    """The first stage of the tight machine: volumes, pressures and walls as the solver has them."""
    solution = tight().solutions[0]
    stage, barrel = solution.machine.stages[0], solution.found["barrel"][0]
    area = np.pi / 4 * stage.bore**2
    rings = barrel["inside"][: solution.rings]
    middle = (np.arange(rings.size) + 0.5) * stage.barrel_length / rings.size
    water, least = humidity(), np.inf
    chamber = solution.numbering.stages[0]
    for part in solution.parts:
        for volume, p in zip(part["volume"][:, chamber], part["p"][:, chamber], strict=True):
            places = np.linspace(middle[0], max(middle[0], volume / area), 100)
            surfaces = [float(np.interp(places, middle, rings).min())]
            surfaces += [float(barrel["head"]), float(barrel["crown"])]
            least = min(least, min(surfaces) - library_point(float(p), water))
    found = water_of(tight()).stages[0]
    assert found.margin == pytest.approx(least, abs=0.25)


def test_margins_of_studies_and_their_limits_follow() -> None:
    case = read_case(str(CASES / "tight.toml"))
    outcome, water = tight().outcomes[0], water_of(tight())
    numbers = measure(case.machine, outcome)
    assert water.passage_wall is not None
    assert numbers["frost_margin"] == water.passage_wall.margin
    for stage, found in zip(outcome.stages, water.stages, strict=True):
        assert numbers[f"condensation_margin.{stage.name}"] == found.margin
    (bound,) = [b for b in list_bounds(case, Limits(frost=1.0)) if b.name == "frost"]
    assert bound.excess(numbers) == pytest.approx(7.7, abs=0.2)


def test_the_sentence_says_where_and_when() -> None:
    case = read_case(str(CASES / "tight.toml"))
    outcome = tight().outcomes[0]
    (note,) = [n for n in collect_notes(case, outcome, outcome, ()) if n.level == "warning"
               and n.name == "frost"]  # fmt: skip
    assert "ice can form in the passage: wall of the tube of port 2" in note.text
    assert "bar(a) in phase 1 of 10" in note.text and "mm from its port" in note.text
